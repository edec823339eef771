"""What unbalance, run-out and weight do to a shaft: orbits, forces at the bearings, sag."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.physics.structure.shaft import Bonds, ShaftModel, both_planes, first_plane, trimmed

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]


class Response(NamedTuple):
    """Once-per-turn motion of a shaft, as complex amplitudes; leading axes are cases."""

    first: Complexes
    """Deflection of every node in the first plane [m], shape (..., nodes)."""
    second: Complexes
    bearing_first: Complexes
    """Force of the shaft on each bond in the first plane [N], shape (..., bonds)."""
    bearing_second: Complexes


def unbalance_response(
    model: ShaftModel, speed: Floats, unbalance: Complexes, damping_ratio: Floats | float = 0.0
) -> Response:
    """Return the steady once-per-turn response to unbalance.

    Parameters
    ----------
    model : ShaftModel
        One case or a batch.
    speed : array, shape (...)
        Of the shaft [rad/s], one for each case.
    unbalance : array, shape (..., nodes)
        Mass times offset at every node as a complex number, its angle that of the heavy spot [kg m].
    damping_ratio : array, shape (...) or float
        Of the whole rotor on its mounts, on top of the bearings' own.

    Returns
    -------
    Response

    Notes
    -----
    (K(1 + 2iζ) + iΩC − Ω²M + iΩ²G) q = Ω² U in both planes, the second a quarter turn behind; damping of joints as a
    loss factor 2ζ of the whole stiffness. Real motion: Re(q e^{iΩt}).
    Source: M. I. Friswell et al., Dynamics of Rotating Machines (2010), ch. 6 (secondary).
    """
    spin = np.asarray(speed, dtype=np.float64)[..., None, None]
    loss = 1.0 + 2j * np.asarray(damping_ratio, dtype=np.float64)[..., None, None]
    force = np.zeros((*unbalance.shape[:-1], 2 * unbalance.shape[-1]), dtype=np.complex128)
    force[..., 0::2] = unbalance * spin[..., 0] ** 2
    if model.even:
        plane = first_plane(model)
        dynamic = loss * plane.stiffness + 1j * spin * plane.damping
        dynamic = dynamic - spin**2 * (plane.mass - plane.gyroscopic)
        answer = np.zeros(force.shape, dtype=np.complex128)
        answer[..., model.kept] = np.linalg.solve(dynamic, force[..., model.kept, None])[..., 0]
        one, two = answer, -1j * answer
    else:
        both = both_planes(model)
        dynamic = loss * both.stiffness + 1j * spin * (both.damping + spin * both.gyroscopic) - spin**2 * both.mass
        whole = np.concatenate([force, -1j * force], axis=-1)
        answer = np.zeros(whole.shape, dtype=np.complex128)
        answer[..., both.kept] = np.linalg.solve(dynamic, whole[..., both.kept, None])[..., 0]
        half = force.shape[-1]
        one, two = answer[..., :half], answer[..., half:]
    bonds = model.bonds
    turn, lossy = 1j * spin[..., 0], loss[..., 0]
    first = _pull(bonds, one, lossy * bonds.first_stiffness + turn * bonds.first_damping)
    second = _pull(bonds, two, lossy * bonds.second_stiffness + turn * bonds.second_damping)
    return Response(one[..., 0::2], two[..., 0::2], first, second)


def _pull(bonds: Bonds, answer: Complexes, stiffness: Complexes) -> Complexes:
    there = np.where(bonds.other >= 0, answer[..., 2 * np.maximum(bonds.other, 0)], 0.0)
    return stiffness * (answer[..., 2 * bonds.node] - there)


def peak_amplitude(first: Complexes, second: Complexes) -> Floats:
    """Return the largest radius of the orbit that two complex amplitudes describe.

    Parameters
    ----------
    first, second : array
        Amplitudes in both planes.

    Returns
    -------
    array
        Half the long axis of the ellipse, same unit.
    """
    forward, backward = 0.5 * (first + 1j * second), 0.5 * (first - 1j * second)
    return np.abs(forward) + np.abs(backward)


def static_deflection(model: ShaftModel, load: Floats, *, second: bool = True) -> Floats:
    """Return deflections and slopes under steady loads in one plane.

    Parameters
    ----------
    model : ShaftModel
        One case or a batch.
    load : array, shape (..., 2 nodes)
        Force [N] and moment [N m] at every node in turn.
    second : bool
        Use the bearings of the second plane (up and down) or of the first.

    Returns
    -------
    array, shape (..., 2 nodes)
        [m] and slope.
    """
    stiffness, kept = (model.second_stiffness, model.kept_second) if second else (model.first_stiffness, model.kept)
    answer = np.zeros(np.broadcast_shapes(load.shape, stiffness.shape[:-1]))
    answer[..., kept] = np.linalg.solve(trimmed(stiffness, kept), load[..., kept, None])[..., 0]
    return answer


def weight_load(model: ShaftModel, gravity: float) -> Floats:
    """Return the load of the shaft's own weight at every freedom.

    Parameters
    ----------
    model : ShaftModel
        One case or a batch.
    gravity : float
        [m/s²]

    Returns
    -------
    array, shape (..., 2 nodes)
    """
    down = np.zeros(model.mass.shape[-1])
    down[0::2] = gravity
    return np.asarray(model.mass @ down)


def bow_response(
    model: ShaftModel, shaft: Floats, speed: Floats, bow: Floats, damping_ratio: Floats | float = 0.0
) -> Response:
    """Return the steady once-per-turn motion of a shaft that is bent when nothing loads it.

    Parameters
    ----------
    model : ShaftModel
        With even bearings; one case or a batch.
    shaft : array, shape (..., 2 nodes, 2 nodes)
        Stiffness of the shaft without its bearings.
    speed : array, shape (...)
        [rad/s]
    bow : array, shape (2 nodes,)
        Deflection [m] and slope of the free shaft, turning with it.
    damping_ratio : array, shape (...) or float
        As `unbalance_response`.

    Returns
    -------
    Response

    Notes
    -----
    The bent shaft pushes as K_shaft q_bow would; the answer is the whole deflection, bow included. Slowly turned, the
    bearings carry nothing and the middle runs out by the bow.
    """
    spin = np.asarray(speed, dtype=np.float64)[..., None, None]
    loss = 1.0 + 2j * np.asarray(damping_ratio, dtype=np.float64)[..., None, None]
    plane = first_plane(model)
    dynamic = loss * plane.stiffness + 1j * spin * plane.damping - spin**2 * (plane.mass - plane.gyroscopic)
    push = shaft @ bow
    answer = np.zeros(push.shape, dtype=np.complex128)
    answer[..., model.kept] = np.linalg.solve(dynamic, push[..., model.kept, None].astype(np.complex128))[..., 0]
    bonds = model.bonds
    force = _pull(bonds, answer, loss[..., 0] * bonds.first_stiffness + 1j * spin[..., 0] * bonds.first_damping)
    return Response(answer[..., 0::2], -1j * answer[..., 0::2], force, -1j * force)
