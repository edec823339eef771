"""Span-wise solution of rotors and plain surfaces together: who blows on whom, and what that does to the forces.

A rotor strip meets the air that all other rotors, surfaces and the ground set in motion and has the rotor room's lift
and drag in it; the rotor's own downwash is already in the room's end drag and is only used to tell how much of that is
induced. A surface strip has a linear lift slope in all the moving air, its own downwash included. The wake is rigid and
follows the undisturbed stream.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from rotorwright.base.records import CONTROL_CHANNELS
from rotorwright.flight.layout import THRUST, loads_size, thruster_block
from rotorwright.flight.numbers import Case, Tables
from rotorwright.flight.span_wise_settle import LOADS, SIDE_ROLL, SIDE_YAW, TORQUE, fill_wash, settle_strips
from rotorwright.flight.span_wise_strips import Layout, Strips, lay_out, with_ground
from rotorwright.flight.span_wise_vortex import (
    EVERYTHING,
    ITSELF,
    OTHERS,
    Floats,
    Ints,
    Vortices,
    fill_influence,
    real_vortices,
    some_vortices,
    wake_drag,
)
from rotorwright.physics.airframe.surface import CONTROL_SOFTENING, flap_effectiveness
from rotorwright.physics.rotor.loads import rotor_load_parts
from rotorwright.physics.rotor.span import lift_plateau


@dataclass(frozen=True)
class Motion:
    """How an aeroplane moves through the air; body axes."""

    velocity: tuple[float, float, float]
    """Of the balance point through the air [m/s]."""
    rates: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """Roll, pitch and yaw rate [rad/s]."""
    controls: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    """Elevator, rudder, aileron, flap, −1…1 of travel."""
    rotor_speeds: tuple[float, ...] = ()
    """[rad/s]"""
    thrusts: tuple[float, ...] = ()
    """Of each thruster, for its slipstream [N]."""
    height: float | None = None
    """Of the balance point above the ground [m]; None far from it. The path is taken as parallel to the ground."""
    freewheeling: bool = True
    """Whether a rotor without a drive turns slower or faster with the air it meets."""


@dataclass(frozen=True)
class Problem:
    """Strips, vortices and influences of one aeroplane for one direction of the stream."""

    case: Case
    tables: Tables
    layout: Layout
    vortices: Vortices
    """With images, if there is a ground."""
    stream: Floats
    settings: Settings
    outside: Floats
    """Velocity at strips for unit circulation, a rotor's own vortices left out [1/m], shape (3, strips, strips)."""
    response: Floats
    """Circulation of surface strips for unit boundary condition, shape (surface strips, surface strips)."""
    coupling: Floats
    """Circulation of surface strips for unit circulation of rotor strips."""
    turning: Floats
    """1 for each rotor in working order, 0 for one that is held."""
    free: Floats
    """1 for each rotor without a drive."""
    arms: Floats
    """From the balance point to the strips [m]."""
    end_share: Floats
    """How a rotor's end drag is spread over its strips: as its own downwash falls on them [1]."""


def stream_of(velocity: Any) -> Floats:
    """Return the unit vector along which the air moves past the aeroplane."""
    size = math.sqrt(sum(float(part) ** 2 for part in velocity))
    return np.array([-float(part) / size for part in velocity])


def lift_shares(case: Case, tables: Tables, motion: Motion) -> list[float]:
    """Return each rotor's lift over the plateau that its ends allow, alone in the undisturbed stream."""
    shares = []
    air, factors = case.air[0], case.factors[0]
    for i, rotor in enumerate(case.rotors):
        speed = math.hypot(motion.velocity[0], motion.velocity[2])
        spin = motion.rotor_speeds[i]
        lift = rotor_load_parts(rotor, tables.rotor[0], speed, spin, air["density"], air["viscosity"], factors)[0]
        pressure_area = 0.5 * float(air["density"]) * speed * speed * float(rotor["span"] * rotor["diameter"])
        shares.append(float(lift) / (pressure_area * float(lift_plateau(rotor, factors)) + 1.0e-9))
    return shares


class Settings(NamedTuple):
    """How surface strips are set, one number a strip; zeros for rotor strips."""

    angle: Floats  # of no flap against the body axis, zero-lift angle taken off [rad]
    sine: Floats  # of the tilt
    cosine: Floats
    turned: Floats  # angle a radian of (softened) flap is worth [1]
    travel: Floats  # signed [rad]
    channel: Ints  # −1: no flap


def _settings(case: Case, strips: Strips) -> Settings:
    """Return how every strip is set."""
    surfaces, effect = case.surfaces, float(case.factors[0]["control_effectiveness"])
    own = [effect * flap_effectiveness(float(each["control_share"])) for each in surfaces]
    there = ~strips.is_rotor
    row = np.where(there, strips.row, 0)

    def spread(numbers: Any) -> Floats:
        return np.where(there, np.asarray(numbers, dtype=np.float64)[row], 0.0) if len(surfaces) else np.zeros(len(row))

    tilt = surfaces["tilt"]
    return Settings(
        spread(surfaces["incidence"] - surfaces["zero_lift_angle"]), spread(np.sin(tilt)), spread(np.cos(tilt)),
        spread(own), spread(surfaces["control_sign"] * surfaces["control_travel"] * (surfaces["control"] >= 0.0)),
        np.where(there, spread(surfaces["control"]), -1.0).astype(np.int64),
    )  # fmt: skip


def _normals(settings: Settings, controls: Floats) -> Floats:
    """Return, for every strip, the direction of motion that gives a surface lift there."""
    deflection = controls[settings.channel] * settings.travel  # no flap: no travel
    soft = CONTROL_SOFTENING * np.tanh(deflection / CONTROL_SOFTENING)
    angle = settings.angle + settings.turned * soft
    level = np.cos(angle)
    return np.stack((np.sin(angle), -settings.sine * level, settings.cosine * level), axis=1)


def set_up(case: Case, tables: Tables, motion: Motion, count: int | None = None) -> Problem:
    """Return the strips and influences of one aeroplane.

    Parameters
    ----------
    case : Case
        One aeroplane of a batch.
    tables : Tables
    motion : Motion
        Its direction through the air shapes the wake; its speed, spins and ground the end losses and images.
    count : int, optional
        Strips along a rotor or whole surface.
    """
    shares = lift_shares(case, tables, motion)
    more = {} if count is None else {"count": count}
    layout = lay_out(case.rotors, case.surfaces, case.factors[0], shares, **more)
    return problem_of(case, tables, layout, motion)


def problem_of(case: Case, tables: Tables, layout: Layout, motion: Motion) -> Problem:
    """Return the influences of strips that are laid out already, for one direction of the stream."""
    strips, vortices = layout.strips, layout.vortices
    stream = stream_of(motion.velocity)
    vehicle = case.vehicle[0]
    balance_point = np.array([vehicle["x"], vehicle["y"], vehicle["z"]])
    if motion.height is not None:
        down = np.array([0.0, 0.0, 1.0]) - stream[2] * stream
        down /= math.sqrt(float(down @ down))
        vortices = with_ground(vortices, down, balance_point + motion.height * down)
    count = len(strips.row)
    is_rotor = strips.is_rotor
    # surfaces see everything, rotors all but themselves
    seen_as = np.where(is_rotor, strips.element, -1)
    outside = np.zeros((3, count, count))
    fill_influence(strips.middle, seen_as, strips.line, vortices, stream, OTHERS, outside)
    rotors, surfaces = int(is_rotor.sum()), count - int(is_rotor.sum())
    settings = _settings(case, strips)
    normals = _normals(settings, np.zeros(CONTROL_CHANNELS))[rotors:]
    across = np.einsum("aik,ia->ik", outside[:, rotors:], normals)
    slope = strips.slope[rotors:]
    response = np.linalg.solve(np.eye(surfaces) + slope[:, None] * across[:, rotors:], np.diag(slope))
    coupling = response @ across[:, :rotors]
    return Problem(
        case, tables, layout, vortices, stream, settings, outside, np.ascontiguousarray(response),
        np.ascontiguousarray(coupling), case.rotors["turning"].copy(), (case.rotors["drive"] < 0.0).astype(float),
        strips.middle - balance_point, _end_shares(strips, layout.vortices, stream),
    )  # fmt: skip


def own_downwash(points: Floats, elements: Any, lines: Any, strips: int, vortices: Vortices, stream: Floats) -> Floats:
    """Return velocity at points for unit circulation of the strips of their own element [1/m]."""
    matrix = np.zeros((3, len(points), strips))
    fill_influence(points, elements, lines, vortices, stream, ITSELF, matrix)
    return matrix


def _end_shares(strips: Strips, vortices: Vortices, stream: Floats) -> Floats:
    rotors = strips.is_rotor
    if not rotors.any():
        return np.zeros(len(strips.row))
    own = own_downwash(
        strips.middle[rotors], strips.element[rotors], strips.line[rotors], len(rotors), vortices, stream
    )
    drag = (cross((own @ strips.shape).T, strips.along[rotors]) @ stream) * strips.shape[rotors]
    shares = np.zeros(len(rotors))
    shares[: len(drag)] = np.maximum(drag, 0.0)
    for element in range(int(strips.element[rotors].max()) + 1):
        mine = rotors & (strips.element == element)
        total = shares[mine].sum()
        shares[mine] = shares[mine] / total if total > 0.0 else strips.width[mine] / strips.width[mine].sum()
    return shares


def cross(a: Floats, b: Floats) -> Floats:
    """Return a × b over the last axis (numpy's own spends most of its time on checks)."""
    found = np.empty(np.broadcast_shapes(a.shape, b.shape))
    found[..., 0] = a[..., 1] * b[..., 2] - a[..., 2] * b[..., 1]
    found[..., 1] = a[..., 2] * b[..., 0] - a[..., 0] * b[..., 2]
    found[..., 2] = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    return found


@dataclass(frozen=True)
class SpanWise:
    """A settled span-wise solution; forces in body axes."""

    problem: Problem
    motion: Motion
    circulation: Floats
    """[m²/s], shape (strips,)"""
    loads: Floats
    """Rotor strips: lift, profile, end and disc drag [N], local speed [m/s], torque held, roll and yaw of
    side force about the strip [N m]; surface strips: 0."""
    forces: Floats
    """On every strip [N], shape (strips, 3)."""
    spin_shares: Floats
    """Mean speed each rotor meets over that without the others [1]."""
    rounds: int
    """Rounds until it settled; 0: it did not."""

    @property
    def moment(self) -> Floats:
        """Return the moment of all strips about the balance point [N m], what drives and bearings pass on included."""
        found = cross(self.problem.arms, self.forces).sum(axis=0)
        found[1] += self.loads[:, TORQUE].sum()  # steady spin: what turns a rotor holds against the airframe
        found[0] += self.loads[:, SIDE_ROLL].sum()  # the side force of discs acts ahead of the rotor's axis
        found[2] += self.loads[:, SIDE_YAW].sum()
        return np.asarray(found)

    @property
    def force(self) -> Floats:
        """Return the force of all strips [N]."""
        return np.asarray(self.forces.sum(axis=0))

    def induced_at(self, points: Floats, besides: int = -1) -> Floats:
        """Return the velocity of the air set in motion at points [m/s], shape (points, 3).

        Parameters
        ----------
        points : array, shape (points, 3)
            Body axes from the nose point [m].
        besides : int
            Element whose own vortices are left out.
        """
        count, strips = len(points), len(self.circulation)
        matrix = np.zeros((3, count, strips))
        nowhere = np.full(count, -1, dtype=np.int64)
        which = EVERYTHING if besides < 0 else OTHERS
        elements = nowhere if besides < 0 else np.full(count, besides, dtype=np.int64)
        fill_influence(
            np.ascontiguousarray(points, dtype=np.float64), elements, nowhere, self.problem.vortices,
            self.problem.stream, which, matrix,
        )  # fmt: skip
        return np.asarray((matrix @ self.circulation).T)

    @property
    def wake_drag(self) -> float:
        """Return the induced drag of everything, read from the wake far behind [N]."""
        density = float(self.problem.case.air[0]["density"])
        return float(wake_drag(self.problem.vortices, self.problem.stream, self.circulation, density))


def settle(
    problem: Problem, velocity: Floats, rates: Floats, controls: Floats, spins: Floats, thrusts: Floats,
    freewheeling: bool, circulation: Floats,
) -> tuple[Floats, Floats, Floats, int]:  # fmt: skip
    """Settle the circulations in place; return loads and forces of the strips, speeds met by the rotors and rounds.

    Parameters
    ----------
    problem : Problem
    velocity, rates : array, shape (3,)
        See `Motion`.
    controls, spins, thrusts : array
        See `Motion`.
    freewheeling : bool
        See `Motion`.
    circulation : array, shape (strips,)
        First guess, then the answer [m²/s].
    """
    case, strips = problem.case, problem.layout.strips
    count = len(strips.row)
    moving = np.empty((count, 3))
    moving[:] = velocity
    if rates.any():
        moving += cross(rates, problem.arms)
    wash = np.zeros((count, 3))
    normals = _normals(problem.settings, controls)
    boundary = np.einsum("ij,ij->i", normals, moving)
    if thrusts.any():
        rotors, thrusters = len(case.rotors), len(case.thrusters)
        pushing = np.zeros(loads_size(rotors, thrusters, len(case.batteries)))
        for i, thrust in enumerate(thrusts):
            pushing[thruster_block(rotors, i) + THRUST] = thrust
        speed = math.sqrt(float(velocity @ velocity))
        fill_wash(case.thrusters, case.air, case.factors, rotors, pushing, speed, strips, wash)
        boundary += wash[:, 0] * (normals[:, 0] * wash[:, 1] + normals[:, 2] * wash[:, 2])
    free = problem.free if freewheeling else np.zeros_like(problem.free)
    shares = np.empty(len(case.rotors))
    loads, forces, induced = np.zeros((count, LOADS)), np.zeros((count, 3)), np.empty((3, count))
    rounds = settle_strips(
        case.rotors, problem.tables.rotor, case.air, case.factors, strips, problem.outside, problem.response,
        problem.coupling, problem.end_share, moving, wash, boundary, spins * problem.turning + rates[1], free, shares,
        circulation, induced, loads, forces,
    )  # fmt: skip
    return loads, forces, shares, rounds


def solve_span_wise(problem: Problem, motion: Motion, start: Floats | None = None) -> SpanWise:
    """Return the settled circulations and forces.

    Parameters
    ----------
    problem : Problem
        From `set_up`, for the same direction of the stream.
    motion : Motion
    start : array, shape (strips,), optional
        Circulations of a neighbouring solution [m²/s].
    """
    velocity, rates, controls, spins, thrusts = (
        np.array(part, dtype=np.float64)
        for part in (motion.velocity, motion.rates, motion.controls, motion.rotor_speeds, motion.thrusts)
    )
    circulation = np.zeros(len(problem.layout.strips.row)) if start is None else start.copy()
    loads, forces, shares, rounds = settle(
        problem, velocity, rates, controls, spins, thrusts, motion.freewheeling, circulation
    )
    return SpanWise(problem, motion, circulation, loads, forces, shares, int(rounds))


def induced_drag_alone(solution: SpanWise) -> Floats:
    """Return the induced drag each rotor would have from its own wake alone [N], shape (rotors,).

    Near field: what its own downwash does to its own circulation, discs included; a sealed rotor with its twin.
    """
    problem = solution.problem
    drags = np.zeros(len(problem.case.rotors))
    vortices = real_vortices(problem.layout.vortices)
    vortices = some_vortices(vortices, vortices.element < problem.layout.rotors)
    if not len(vortices.parent):
        return drags
    own = own_downwash(
        vortices.middle,
        vortices.element,
        vortices.line,
        len(solution.circulation),
        problem.layout.vortices,
        problem.stream,
    )
    strength = vortices.coefficient * solution.circulation[vortices.parent]
    density = float(problem.case.air[0]["density"])
    pull = density * strength * (cross((own @ solution.circulation).T, vortices.end - vortices.start) @ problem.stream)
    np.add.at(drags, vortices.element, pull)
    return np.where(problem.case.rotors["inner_end"] >= 2.0, 0.0, drags)
