"""Along the span: lift per strip, who blows on whom, downwash at the tail, roll and yaw damping."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity
from rotorwright.base.records import TAIL
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.flight.layout import ROTOR_SPEEDS, THRUST, thruster_block
from rotorwright.flight.linear import Point
from rotorwright.flight.solver import GUESS_INNER, Solutions
from rotorwright.flight.span_wise import Motion, SpanWise, induced_drag_alone, set_up, solve_span_wise
from rotorwright.flight.span_wise_fast import fast_damping, fast_downwash
from rotorwright.flight.span_wise_settle import END, LIFT
from rotorwright.studies.balance_quantities import Reader, design_support
from rotorwright.studies.document_head import head
from rotorwright.studies.evaluate import Flown, fly
from rotorwright.studies.held_flight import held_flight, level_or_held
from rotorwright.studies.sources import lift_sources

Floats = npt.NDArray[np.float64]

SCHEMA = 1
RATE = 0.05
"""Half the difference of roll or yaw rate that a damping is read from [rad/s]."""
LINEAR = 0.15
"""Lift over π times dynamic pressure times span squared beyond which a straight wake is out of its range (choice)."""
APART = math.radians(2.0)
"""Difference of downwash that is worth a word."""
METHOD = ("prandtl1918",)
ROTOR_QUANTITIES = {
    "lift": "N",
    "lift_from_others": "N",
    "drag_from_others": "N",
    "induced_drag": "N",
    "end_loss_drag": "N",
}
QUANTITIES = {
    "span_lift_from_others": "N",
    "span_drag_from_others": "N",
    "span_induced_drag": "N",
    "span_end_loss_drag": "N",
    "span_wake_drag": "N",
    "tail_downwash": "rad",
    "tail_downwash_quick": "rad",
    "tail_pressure_share": "1",
    "roll_damping": "N m s",
    "roll_damping_quick": "N m s",
    "yaw_damping": "N m s",
    "yaw_damping_quick": "N m s",
    "yaw_from_roll": "N m s",
    "roll_from_yaw": "N m s",
}
"""What is told of the whole aeroplane, with its unit; ``_quick``: what the equation of motion has in its place."""


@dataclass(frozen=True)
class Strip:
    """Lift along one rotor or surface, every Unknown at its median."""

    name: str
    is_rotor: bool
    place: tuple[float, ...]
    """Along y, right of the middle plane; of upright surfaces along z, up [m]."""
    lift: tuple[float, ...]
    """Square to its span, per metre of span [N/m]."""
    upright: bool


@dataclass(frozen=True)
class SpanWiseAnswer:
    """What strips along rotors and surfaces say about level flight."""

    aeroplane: Aeroplane
    airspeed: Quantity
    height: float | None
    """Of the balance point above the ground [m]; None far from it."""
    sideslip: float
    """Air from the right is positive [rad]."""
    quantities: dict[str, Quantity]
    rotors: dict[str, dict[str, Quantity]]
    """By name of the rotor."""
    strips: tuple[Strip, ...]
    notes: tuple[str, ...]
    samples: int
    seed: int

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            **head(
                self.aeroplane,
                {
                    "samples": self.samples,
                    "seed": self.seed,
                    "airspeed": self.airspeed.as_dict(),
                    "height": self.height,
                    "sideslip": self.sideslip,
                },
                SCHEMA,
            ),
            "quantities": _as_dicts(self.quantities),
            "verdict": None,
            "rotors": {name: _as_dicts(told) for name, told in self.rotors.items()},
            "strips": [
                {
                    "name": each.name,
                    "upright": each.upright,
                    "place": list(each.place),
                    "lift_per_span": list(each.lift),
                    "unit": "N/m",
                }
                for each in self.strips
            ],
            "warnings": list(self.notes),
        }


def _as_dicts(told: dict[str, Quantity]) -> dict[str, Any]:
    return {name: quantity.as_dict() for name, quantity in told.items()}


def span_wise(
    aeroplane: Aeroplane,
    *,
    height: float | None = None,
    sideslip: float = 0.0,
    samples: int = 32,
    seed: int = 0,
) -> SpanWiseAnswer:
    """Cut rotors and surfaces of an aeroplane into strips in level flight and tell who does what to whom.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`.
    height : float, optional
        Of the balance point above the ground [m]; far from it if left out.
    sideslip : float
        Air from the right is positive [rad].
    samples, seed : int
        Samples of the Unknowns behind the bands, and the seed that shifts them; 0 samples for a nominal run.

    Returns
    -------
    SpanWiseAnswer

    Raises
    ------
    InputError
        If the aeroplane has no balance at any speed, or height or sideslip make no sense.

    Notes
    -----
    Airspeed, attitude, controls and spins are those of level flight by the equation of motion (where it falls short, of
    the flight that would be level); a free rotor then follows the air it meets. Bands are those of the Unknowns; the
    method's own accuracy stands in docs/physics/flight-span-wise.md and in the notes.
    """
    if height is not None and not height > 0.0:
        raise InputError("must be above zero", place="span_wise", field="height", found=f"{height:g} m")
    if not abs(sideslip) < math.radians(45.0):
        raise InputError("must be less than 45 degrees", place="span_wise", field="sideslip", found=f"{sideslip:g} rad")
    flown = fly(aeroplane, samples=samples, seed=seed)
    level = level_or_held(flown)
    if level is None:
        raise InputError(
            "has no balance at any speed, so there is no flight to cut into strips", place=aeroplane.source
        )
    rows = held_flight(flown.numbers, level).solve((), GUESS_INNER)
    cases = [_Case(rows, case, height, sideslip) for case in range(len(rows.cases))]
    reader = Reader(flown, design_support(flown))
    sources = (*METHOD, *lift_sources(flown))
    told = [case.numbers() for case in cases]
    quantities = {
        name: reader.quantity([each[name] for each in told], unit, sources)
        for name, unit in QUANTITIES.items()
        if name in told[0]
    }
    by_rotor = [case.by_rotor() for case in cases]
    rotors = {
        name: {
            what: reader.quantity([each[what][i] for each in by_rotor], unit, sources)
            for what, unit in ROTOR_QUANTITIES.items()
        }
        for i, name in enumerate(flown.rows.names.rotors)
    }
    return SpanWiseAnswer(
        aeroplane, reader.quantity(level["airspeed"], "m/s", sources), height, sideslip, quantities, rotors,
        cases[0].strips(flown), _notes(cases[0], told[0]), samples, seed,
    )  # fmt: skip


def motion_of(point: Point, height: float | None = None, sideslip: float = 0.0) -> Motion:
    """Return a steady condition as a motion for the strips.

    Parameters
    ----------
    point : Point
        A steady condition.
    height : float, optional
        Above the ground [m].
    sideslip : float
        Air from the right is positive [rad].
    """
    u, v, w = (float(part) for part in point.state[:3])
    speed = math.sqrt(u * u + v * v + w * w)
    u, w = u * math.cos(sideslip), w * math.cos(sideslip)
    elevator, rudder, aileron, flap = (float(part) for part in point.controls[:4])
    return Motion(
        (u, v + speed * math.sin(sideslip), w),
        controls=(elevator, rudder, aileron, flap),
        rotor_speeds=tuple(float(spin) for spin in point.state[ROTOR_SPEEDS : ROTOR_SPEEDS + point.rotors]),
        thrusts=tuple(
            float(point.work.loads[thruster_block(point.rotors, i) + THRUST]) for i in range(point.thrusters)
        ),
        height=height,
    )


class _Case:
    """One sample in level flight, solved with and without the others' air."""

    def __init__(self, rows: Solutions, row: int, height: float | None, sideslip: float) -> None:
        self.point = Point(rows, row)
        self.loads = self.point.work.loads.copy()
        self.motion = motion_of(self.point, height, sideslip)
        self.problem = set_up(self.point.case, self.point.tables, self.motion)
        self.solution = solve_span_wise(self.problem, self.motion)
        apart = replace(
            self.problem,
            outside=np.zeros_like(self.problem.outside),
            coupling=np.zeros_like(self.problem.coupling),
        )
        self.apart = solve_span_wise(apart, self.motion)
        self.strips_of = [
            self.problem.layout.strips.is_rotor & (self.problem.layout.strips.row == row)
            for row in range(self.problem.layout.rotors)
        ]

    def by_rotor(self) -> dict[str, Floats]:
        """Return one number for each rotor."""
        stream = self.problem.stream

        def total(values: Floats) -> Floats:
            return np.array([float(values[mine].sum()) for mine in self.strips_of])

        induced = induced_drag_alone(self.solution)
        lift, drag = total(self.solution.loads[:, LIFT]), total(self.solution.forces @ stream)
        return {
            "lift": lift,
            "lift_from_others": lift - total(self.apart.loads[:, LIFT]),
            "drag_from_others": drag - total(self.apart.forces @ stream),
            "induced_drag": induced,
            "end_loss_drag": total(self.solution.loads[:, END]) - induced,
        }

    def numbers(self) -> dict[str, float]:
        """Return the numbers of the whole aeroplane; the keys are those of `QUANTITIES`."""
        each = self.by_rotor()
        found: dict[str, float] = {}
        if len(self.strips_of):
            found["span_lift_from_others"] = float(each["lift_from_others"].sum())
            found["span_drag_from_others"] = float(each["drag_from_others"].sum())
            found["span_induced_drag"] = float(each["induced_drag"].sum())
            found["span_end_loss_drag"] = float(each["end_loss_drag"].sum())
        found["span_wake_drag"] = self.solution.wake_drag
        return found | self._tail() | self._damping()

    def tail(self) -> int | None:
        """Return the row of the rearmost tailplane that has strips."""
        surfaces = self.problem.case.surfaces
        tails = [
            row
            for row, each in enumerate(surfaces)
            if each["kind"] == TAIL and abs(math.cos(each["tilt"])) > 0.5 and each["area"] > 0.0
        ]
        return min(tails, key=lambda row: float(surfaces["x"][row])) if tails else None

    def _tail(self) -> dict[str, float]:
        row = self.tail()
        if row is None:
            return {}
        layout = self.problem.layout
        mine = ~layout.strips.is_rotor & (layout.strips.row == row)
        width = layout.strips.width[mine]
        speeds = self.solution.induced_at(layout.strips.middle[mine], besides=layout.rotors + row)
        air = (speeds * width[:, None]).sum(axis=0) / width.sum()
        stream = self.problem.stream
        down = np.array([0.0, 0.0, 1.0]) - stream[2] * stream
        down /= math.sqrt(float(down @ down))
        speed = math.sqrt(sum(part * part for part in self.motion.velocity))
        along, across = speed + float(air @ stream), float(air @ down)
        return {
            "tail_downwash": math.atan2(across, along),
            "tail_downwash_quick": fast_downwash(self.solution, self.loads, row),
            "tail_pressure_share": (along * along + across * across) / (speed * speed),
        }

    def _damping(self) -> dict[str, float]:
        rolled, yawed = (
            (self._turned(axis, RATE) - self._turned(axis, -RATE)) / (2.0 * RATE) for axis in (0, 2)
        )  # fmt: skip
        roll_quick, yaw_quick = fast_damping(self.point)
        return {
            "roll_damping": -float(rolled[0]),
            "roll_damping_quick": -roll_quick,
            "yaw_damping": -float(yawed[2]),
            "yaw_damping_quick": -yaw_quick,
            "yaw_from_roll": float(rolled[2]),
            "roll_from_yaw": float(yawed[0]),
        }

    def _turned(self, axis: int, rate: float) -> Floats:
        motion = replace(self.motion, rates=(rate, 0.0, 0.0) if axis == 0 else (0.0, 0.0, rate))
        return solve_span_wise(self.problem, motion, self.solution.circulation).moment

    def strips(self, flown: Flown) -> tuple[Strip, ...]:
        """Return lift along every rotor and surface."""
        layers, forces = self.problem.layout.strips, self.solution.forces
        found = []
        for element in range(int(layers.element.max()) + 1):
            mine = layers.element == element
            if not mine.any():
                continue
            is_rotor, row = bool(layers.is_rotor[mine][0]), int(layers.row[mine][0])
            names = flown.rows.names.rotors if is_rotor else flown.rows.names.surfaces
            along = layers.along[mine] / layers.width[mine][:, None]
            upright = bool(abs(along[0, 2]) > abs(along[0, 1]))
            square = np.stack((np.zeros(int(mine.sum())), along[:, 2], -along[:, 1]), axis=1)
            lift = (forces[mine] * square).sum(axis=1) / layers.width[mine]
            place = -layers.middle[mine][:, 2] if upright else layers.middle[mine][:, 1]
            found.append(Strip(names[row], is_rotor, tuple(place.tolist()), tuple(lift.tolist()), upright))
        return tuple(found)


def _notes(case: _Case, told: dict[str, float]) -> tuple[str, ...]:
    notes = [
        "the wake is taken as straight and at rest in its place; the bands are those of the rotor data, not of that",
    ]
    if case.strips_of:
        notes.append(
            "no measurement of lift along a spinning rotor was found: how it falls towards the ends is a choice, and "
            "the split of end drag into induced drag and end loss hangs on it by about 10 %"
        )
    if case.solution.rounds == 0:
        notes.insert(0, "the strips did not settle: rotors are too close to each other for this method")
    heavy = _loading(case.solution)
    if heavy > LINEAR:
        notes.append(
            f"the wake is so strong (lift over π q b² is {heavy:.2f}; straight wakes hold below {LINEAR:g}) that the "
            "downwash at the tail is a guide only: leave incidence to spare"
        )
    if told.get("span_end_loss_drag", 0.0) < 0.0:
        notes.append(
            "the end drag of the rotor data is less than what their wake alone would cost: the data are kinder to the "
            "end discs than wing theory"
        )
    if told["yaw_damping"] < 0.0:
        notes.append(
            "yaw is not damped but fed by rotors and surfaces here: a driven rotor drags most where the air is slowest"
        )
    apart = abs(told.get("tail_downwash", 0.0) - told.get("tail_downwash_quick", 0.0))
    if apart > APART:
        notes.append(
            f"strips and equation of motion differ by {math.degrees(apart):.0f}° of downwash at the tail: in the gap "
            "between two halves the strips see the upwash of the inner ends, the equation of motion takes both as one "
            "wing. Trust neither to better than that, and keep the incidence of the tailplane adjustable"
        )
    return tuple(notes)


def _loading(solution: SpanWise) -> float:
    """Return lift of everything over π q b²."""
    strips = solution.problem.layout.strips
    half = 0.5 * np.abs(strips.along[:, 1])
    span = float((strips.middle[:, 1] + half).max() - (strips.middle[:, 1] - half).min())
    speed2 = sum(part * part for part in solution.motion.velocity)
    pressure = 0.5 * float(solution.problem.case.air[0]["density"]) * speed2
    return abs(float(solution.force[2])) / (math.pi * pressure * span * span)
