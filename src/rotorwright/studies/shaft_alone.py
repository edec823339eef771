"""One shaft alone, as on a bench: whirl frequencies, damping, critical speeds, and what a known unbalance does."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity, exact
from rotorwright.physics.structure.critical import mixed_criticals, whirl_criticals
from rotorwright.physics.structure.elements import BeamElements
from rotorwright.physics.structure.response import peak_amplitude, unbalance_response
from rotorwright.physics.structure.sections import shear_form_factor, tube_second_moment
from rotorwright.physics.structure.shaft import Bonds, ShaftModel, add_disc, beam_matrices, on_bearings
from rotorwright.physics.structure.whirl import whirl_at
from rotorwright.studies.bench_inputs import mapping, number, whole

Floats = npt.NDArray[np.float64]

FEWEST_ELEMENTS = 6
"""Fewer elements than this as given are divided, unless the caller says how many to use."""
DIVIDED = 24
MOST_ELEMENTS = 200
SOURCES = ("friswell2010",)
ELEMENT = ("length", "outer", "inner", "modulus", "density")
ELEMENT_MORE = ("poisson", "shear_modulus", "shear_factor")
DISC_MORE = ("mass", "polar_inertia", "diametral_inertia", "outer", "inner", "thickness", "density")
SUPPORT_MORE = ("ky", "cx", "cy", "tilt_stiffness")


@dataclass(frozen=True)
class ShaftAlone:
    """A shaft as on a bench; lateral motion only (bending, rocking and bouncing; no twist, no stretch)."""

    frequencies: tuple[Quantity, ...]
    """Whirl frequencies at the speed asked for, slowest first [rad/s]."""
    damping: tuple[Quantity, ...]
    """Damping ratio of each; negative: it grows by itself."""
    critical_speeds: tuple[Quantity, ...]
    """Speeds at which a whirl keeps step with the shaft, forward and backward, slowest first [rad/s]."""
    forward_critical_speeds: tuple[Quantity, ...]
    """Of those the forward ones, which unbalance excites; empty with uneven supports, which excite both."""
    disc_amplitudes: tuple[Quantity, ...]
    """Radius of the orbit of each disc under the unbalance given [m]."""
    disc_amplitudes_x: tuple[Quantity, ...]
    disc_amplitudes_y: tuple[Quantity, ...]
    support_forces: tuple[Quantity, ...]
    """Largest once-per-turn force on each support [N]."""
    solver_elements: int
    """Elements that were used."""
    notes: tuple[str, ...]


def shaft_alone(
    *,
    elements: Sequence[Mapping[str, float]],
    discs: Sequence[Mapping[str, float]] = (),
    supports: Sequence[Mapping[str, float]],
    rotor_speed: float = 0.0,
    solver_elements: int | None = None,
    unbalance: Sequence[Mapping[str, float]] = (),
    modes: int = 12,
) -> ShaftAlone:
    """Ask one shaft alone.

    Parameters
    ----------
    elements : sequence of mappings
        From one end to the other: ``length``, ``outer`` and ``inner`` diameter [m], ``modulus`` [Pa], ``poisson`` or
        ``shear_modulus`` [Pa], ``density`` [kg/m³]; ``shear_factor`` instead of that of a round tube.
    discs : sequence of mappings
        ``position`` [m] with ``mass`` [kg], ``polar_inertia`` and ``diametral_inertia`` [kg m²], or with ``outer``,
        ``inner``, ``thickness`` [m] and ``density``.
    supports : sequence of mappings
        ``position`` [m], ``kx`` and ``ky`` [N/m] (``ky`` as ``kx`` unless told; infinite: held), ``cx`` and ``cy``
        [N s/m], ``tilt_stiffness`` [N m/rad] (infinite: clamped).
    rotor_speed : float
        [rad/s]
    solver_elements : int, optional
        Elements to calculate with. Unless told: those given, or 24 in all if fewer than 6 were given.
    unbalance : sequence of mappings
        ``position`` [m], ``moment`` mass times offset [kg m], ``angle`` of the heavy spot [rad].
    modes : int
        Frequencies and critical speeds wanted at most.

    Returns
    -------
    ShaftAlone
        SI throughout.

    Raises
    ------
    InputError
        If a number is missing, wrong or lies off the shaft.

    Notes
    -----
    Timoshenko elements with rotary inertia and gyroscopic moment; critical speeds from K q = Ω²(M − iG) q directly.
    Validity: linear, small motions, shaft of one stiffness all round. No band: what is asked is a described bench.
    Source: M. I. Friswell et al., Dynamics of Rotating Machines (2010), ch. 5 and 6 (secondary).
    """
    described = [_element(number_, given) for number_, given in enumerate(elements)]
    if not described:
        raise InputError("at least one element is needed", field="elements")
    total = sum(one["length"] for one in described)
    if solver_elements is not None:
        solver_elements = whole("solver_elements", solver_elements, low=1, high=MOST_ELEMENTS)
    discs_told = [_disc(place, given, total) for place, given in enumerate(discs)]
    supports_told = [_support(place, given, total) for place, given in enumerate(supports)]
    weights = [_unbalance(place, given, total) for place, given in enumerate(unbalance)]
    speed = number("rotor_speed", rotor_speed, low=-1.0e5, high=1.0e5, unit="rad/s")
    wanted = whole("modes", modes, low=1, high=60)
    must = [each["position"] for each in (*discs_told, *supports_told, *weights)]
    pieces = _divided(described, must, solver_elements)
    model = _model(pieces, discs_told, supports_told)
    notes: list[str] = []
    whirl = whirl_at(model, speed)
    frequencies = tuple(exact(float(each), "rad/s", SOURCES) for each in whirl.frequencies[:wanted])
    damping = tuple(exact(float(each), "1", SOURCES) for each in whirl.damping[:wanted])
    criticals, forward = _criticals(model, wanted, notes)
    nodes = [_node(model.places, each["position"]) for each in discs_told]
    orbit: tuple[tuple[Quantity, ...], ...] = ((), (), (), ())
    if weights:
        orbit = _amplitudes(model, speed, weights, nodes)
    return ShaftAlone(
        frequencies, damping, criticals, forward, orbit[0], orbit[1], orbit[2], orbit[3], len(pieces), tuple(notes)
    )


def _element(place: int, given: Mapping[str, float]) -> dict[str, float]:
    field = f"elements.{place}"
    told = mapping(field, given, needed=ELEMENT, optional=ELEMENT_MORE)
    found = {
        "length": number("length", told["length"], low=0.0, high=100.0, unit="m", open_low=True, place=field),
        "outer": number("outer", told["outer"], low=0.0, high=10.0, unit="m", open_low=True, place=field),
        "modulus": number("modulus", told["modulus"], low=0.0, high=2.0e12, unit="Pa", open_low=True, place=field),
        "density": number("density", told["density"], low=0.0, high=1.0e5, unit="kg/m3", place=field),
    }
    found["inner"] = number("inner", told["inner"], low=0.0, high=0.999 * found["outer"], unit="m", place=field)
    poisson = number("poisson", told.get("poisson", 0.3), low=0.0, high=0.5, unit="", place=field)
    found["poisson"] = poisson
    factor = told.get("shear_factor", shear_form_factor(found["outer"], found["inner"], poisson))
    found["shear_factor"] = number("shear_factor", factor, low=0.01, high=1.0, unit="", place=field)
    shear = told.get("shear_modulus", found["modulus"] / (2.0 * (1.0 + poisson)))
    found["shear_modulus"] = number("shear_modulus", shear, low=0.0, high=2.0e12, unit="Pa", open_low=True, place=field)
    return found


def _position(field: str, told: Mapping[str, float], total: float) -> float:
    return number("position", told["position"], low=0.0, high=total * (1.0 + 1e-9), unit="m", place=field)


def _disc(place: int, given: Mapping[str, float], total: float) -> dict[str, float]:
    field = f"discs.{place}"
    told = mapping(field, given, needed=("position",), optional=DISC_MORE)
    found = {"position": _position(field, told, total)}
    if "mass" in told:
        for name, unit in (("mass", "kg"), ("polar_inertia", "kg m2"), ("diametral_inertia", "kg m2")):
            found[name] = number(name, told.get(name, 0.0), low=0.0, high=1.0e6, unit=unit, place=field)
        return found
    told = mapping(field, given, needed=("position", "outer", "thickness", "density"), optional=("inner",))
    outer = number("outer", told["outer"], low=0.0, high=50.0, unit="m", open_low=True, place=field)
    inner = number("inner", told.get("inner", 0.0), low=0.0, high=outer, unit="m", place=field)
    thick = number("thickness", told["thickness"], low=0.0, high=10.0, unit="m", open_low=True, place=field)
    density = number("density", told["density"], low=0.0, high=1.0e5, unit="kg/m3", place=field)
    mass = density * math.pi / 4.0 * (outer**2 - inner**2) * thick
    polar = mass * (outer**2 + inner**2) / 8.0
    return found | {
        "mass": mass, "polar_inertia": polar, "diametral_inertia": 0.5 * polar + mass * thick**2 / 12.0,
    }  # fmt: skip


def _support(place: int, given: Mapping[str, float], total: float) -> dict[str, float]:
    field = f"supports.{place}"
    told = mapping(field, given, needed=("position", "kx"), optional=SUPPORT_MORE)
    found = {"position": _position(field, told, total)}
    told.setdefault("ky", told["kx"])
    told.setdefault("cy", told.get("cx", 0.0))
    for name, unit in (("kx", "N/m"), ("ky", "N/m"), ("tilt_stiffness", "N m/rad"), ("cx", "N s/m"), ("cy", "N s/m")):
        value = told.get(name, 0.0)
        if name[0] != "c" and value == math.inf:
            found[name] = math.inf
            continue
        found[name] = number(name, value, low=0.0, high=1.0e15, unit=unit, place=field)
    return found


def _unbalance(place: int, given: Mapping[str, float], total: float) -> dict[str, float]:
    field = f"unbalance.{place}"
    told = mapping(field, given, needed=("position", "moment"), optional=("angle",))
    return {
        "position": _position(field, told, total),
        "moment": number("moment", told["moment"], low=-1.0e6, high=1.0e6, unit="kg m", place=field),
        "angle": number("angle", told.get("angle", 0.0), low=-100.0, high=100.0, unit="rad", place=field),
    }


def _divided(described: list[dict[str, float]], must: list[float], wanted: int | None) -> list[dict[str, float]]:
    """Return the elements to calculate with: cut wherever something sits, then the longest halved until enough."""
    pieces: list[dict[str, float]] = []
    start, total = 0.0, sum(one["length"] for one in described)
    near = 1.0e-9 * total
    for one in described:
        end = start + one["length"]
        cuts = sorted({place for place in must if start + near < place < end - near})
        edges = [start]
        edges += [cut for cut in cuts if cut - edges[-1] > near]
        edges.append(end)
        pieces += [{**one, "length": b - a} for a, b in itertools.pairwise(edges)]
        start = end
    goal = wanted if wanted is not None else (DIVIDED if len(described) < FEWEST_ELEMENTS else 0)
    if goal <= len(pieces):
        return pieces
    counts = [1] * len(pieces)
    for _ in range(goal - len(pieces)):
        longest = max(range(len(pieces)), key=lambda place: pieces[place]["length"] / counts[place])
        counts[longest] += 1
    return [
        {**piece, "length": piece["length"] / count}
        for piece, count in zip(pieces, counts, strict=True)
        for _ in range(count)
    ]


def _model(
    pieces: list[dict[str, float]], discs: list[dict[str, float]], supports: list[dict[str, float]]
) -> ShaftModel:
    places = np.concatenate([[0.0], np.cumsum([piece["length"] for piece in pieces])])
    outer, inner = (np.array([piece[name] for piece in pieces]) for name in ("outer", "inner"))
    area = math.pi / 4.0 * (outer**2 - inner**2)
    moment = np.array([tube_second_moment(piece["outer"], piece["inner"]) for piece in pieces])
    shape = np.array([piece["shear_factor"] for piece in pieces])
    modulus, shear, density = (
        np.array([piece[name] for piece in pieces]) for name in ("modulus", "shear_modulus", "density")
    )
    length = np.diff(places)
    beam = BeamElements(
        length, modulus * moment, shape * shear * area, density * area, density * moment, 2.0 * density * moment
    )
    ends = [(start, start + 1) for start in range(len(pieces))]
    stiffness, mass, gyroscopic = beam_matrices(beam, ends, len(places))
    for disc in discs:
        add_disc(
            mass, gyroscopic, _node(places, disc["position"]), np.asarray(disc["mass"]),
            np.asarray(disc["diametral_inertia"]), np.asarray(disc["polar_inertia"]),
        )  # fmt: skip
    nodes = np.array([_node(places, each["position"]) for each in supports], dtype=np.int64)

    def column(name: str) -> Floats:
        return np.array([each[name] for each in supports], dtype=np.float64)

    bonds = Bonds(nodes, np.full(len(nodes), -1), *(column(n) for n in ("kx", "ky", "cx", "cy", "tilt_stiffness")))
    return on_bearings(places, stiffness, mass, gyroscopic, bonds)


def _node(places: Floats, position: float) -> int:
    return int(np.argmin(np.abs(places - position)))


def _criticals(model: ShaftModel, wanted: int, notes: list[str]) -> tuple[tuple[Quantity, ...], tuple[Quantity, ...]]:
    try:
        speeds = mixed_criticals(model)
        forward = whirl_criticals(model) if model.even else np.zeros(0)
    except np.linalg.LinAlgError:
        notes.append("the supports do not hold the shaft: critical speeds are not answered for a shaft that floats")
        return (), ()

    def told(found: Floats) -> tuple[Quantity, ...]:
        return tuple(exact(float(each), "rad/s", SOURCES) for each in found[np.isfinite(found)][:wanted])

    return told(speeds), told(forward)


def _amplitudes(
    model: ShaftModel, speed: float, weights: list[dict[str, float]], nodes: list[int]
) -> tuple[tuple[Quantity, ...], ...]:
    moments = np.zeros(len(model.places), dtype=np.complex128)
    for weight in weights:
        moments[_node(model.places, weight["position"])] += weight["moment"] * np.exp(1j * weight["angle"])
    answer = unbalance_response(model, np.asarray(speed), moments)
    orbit = peak_amplitude(answer.first, answer.second)[nodes]
    forces = peak_amplitude(answer.bearing_first, answer.bearing_second)

    def told(numbers: Any, unit: str) -> tuple[Quantity, ...]:
        return tuple(exact(float(each), unit, SOURCES) for each in numbers)

    return (
        told(orbit, "m"), told(np.abs(answer.first[nodes]), "m"), told(np.abs(answer.second[nodes]), "m"),
        told(forces, "N"),
    )  # fmt: skip
