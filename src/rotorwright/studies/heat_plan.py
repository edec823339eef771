"""Heat over a flight plan: how warm winding, case, controller and pack get, when one is too hot, what charge is left.

Flight conditions are solved at a few states of charge, heat and current are interpolated between them, and two lumps
for each motor, one for each controller and pack are warmed through the plan in small steps.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity
from rotorwright.base.unknown import nominal_factors
from rotorwright.design.parts.power import Drive, Thruster
from rotorwright.design.places import drive_places, twins
from rotorwright.flight.batch import run_chunks
from rotorwright.flight.layout import OFF
from rotorwright.flight.numbers import AeroplaneNumbers
from rotorwright.flight.solver import AS_GIVEN, GUESS_INNER, Solutions
from rotorwright.flight.steady import AIRSPEED, CLIMB, INCIDENCE, THROTTLE
from rotorwright.physics.power.heat import case_to_air, winding_to_case
from rotorwright.physics.power.heat_parts import CONTROLLER_HEAT as CONTROLLER_SPECIFIC_HEAT
from rotorwright.physics.power.heat_parts import PACK_HEAT as PACK_SPECIFIC_HEAT
from rotorwright.studies import heat_plan_run as run
from rotorwright.studies.balance_quantities import Reader
from rotorwright.studies.evaluate import Flown
from rotorwright.studies.heat_plan_inputs import fill_inputs
from rotorwright.studies.held_flight import held_flight
from rotorwright.studies.power_plan import CLIMB as CLIMBING
from rotorwright.studies.power_plan import FULL, GLIDE, LEVEL, REST, STANDING, Phase
from rotorwright.studies.power_plan import THROTTLE as SET
from rotorwright.studies.power_state import PowerState, power_state
from rotorwright.studies.sources import BATTERY, power_sources

Floats = npt.NDArray[np.float64]

CHARGES = np.array([0.15, 0.55, 1.0])
"""States of charge at which every condition is solved."""
INSIDE_AIR = {"open": 1.0, "vented": 0.3, "closed": 0.0}
"""Share of the airspeed that passes over what sits inside: in the open, behind an inlet with an outlet, shut in
(judgement)."""
STOP = {"winding": 130.0, "case": 80.0, "controller": 110.0, "pack": 60.0}
CAUTION = {"winding": 110.0, "case": 65.0, "controller": 95.0, "pack": 50.0}
"""Alarm temperatures [°C]: see docs/physics/power-heat.md for the source of each."""
ZERO = 273.15
STEP = 0.5
RECORDS = 160
HEAT_SOURCES = ("churchill1977", "common-practice")
LONG_BURST, LONG_REST = 1200.0, 1200.0


class Paths(NamedTuple):
    """Thermal resistances of a motor [K/W], every Unknown at its median."""

    winding_to_case: float
    case_to_air: float


def paths_alone(*, motor_mass: float, airspeed: float, rotor_speed: float = 0.0) -> Paths:
    """Return the paths by which a motor loses its heat.

    Parameters
    ----------
    motor_mass : float
        [kg].
    airspeed : float
        Air over the motor [m/s].
    rotor_speed : float
        Of its bell [rad/s].
    """
    factors = nominal_factors(1)[0]
    return Paths(winding_to_case(motor_mass, factors), case_to_air(motor_mass, airspeed, rotor_speed, factors))


@dataclass(frozen=True)
class Node:
    """One thing that gets warm."""

    part: str
    what: str
    """winding, case, controller or pack."""

    @property
    def words(self) -> str:
        """Return the thing as a maker calls it."""
        if self.what == "pack":
            return f"pack {self.part}"
        return f"{'motor case' if self.what == 'case' else self.what} of {self.part}"


@dataclass(frozen=True)
class Warmed:
    """A plan run through, all cases: arrays with a leading case axis."""

    phases: tuple[Phase, ...]
    nodes: tuple[Node, ...]
    peaks: Floats
    """Highest temperature [K] and its time [s], shape (cases, nodes, 2)."""
    passed: Floats
    """Time of first passing the stop limit [s], NaN if never, shape (cases, nodes)."""
    charge: Floats
    """Left in every pack, shape (cases, packs)."""
    elapsed: Floats
    """Of every phase [s], shape (cases, phases)."""
    energy: Floats
    """Taken in every phase [J], shape (cases, phases)."""
    history: Floats
    """Shape (cases, records, 1 + nodes + packs)."""
    weak: tuple[str, ...]
    """Phases that some state of charge cannot fly any more, in words (nominal case)."""


class HeatBench:
    """Everything solved once for an aeroplane, so that plans can be run through quickly."""

    def __init__(self, flown: Flown, level: npt.NDArray[Any], cooling: str = "vented") -> None:
        if cooling not in INSIDE_AIR:
            raise InputError("is not a way of cooling", field="cooling", found=cooling, allowed=", ".join(INSIDE_AIR))
        self.flown, self.level, self.cooling = flown, level, cooling
        self.charges = CHARGES
        numbers = flown.numbers
        self.cases = len(numbers.vehicle)
        self.motors = numbers.thrusters.shape[1] + numbers.drives.shape[1]
        self.packs = numbers.batteries.shape[1]
        self.air = float(flown.aeroplane.field.temperature)
        names = flown.rows.names
        owners = (*names.thrusters, *names.drives)
        nodes = [Node(owner, what) for owner in owners for what in ("winding", "case", "controller")]
        self.nodes = (*nodes, *(Node(name, "pack") for name in names.batteries))
        self.limits = np.array([[CAUTION[node.what] + ZERO, STOP[node.what] + ZERO] for node in self.nodes])
        self.pack_of = np.array(
            [int(part["battery"]) for kind in (flown.rows.thrusters, flown.rows.drives) for part in kind],
            dtype=np.int64,
        )
        self.masses = [float(part["motor_mass"]) for kind in (flown.rows.thrusters, flown.rows.drives) for part in kind]
        self.parts = self._parts()
        self.inner = np.array(
            [[winding_to_case(mass, factors) for mass in self.masses] for factors in numbers.factors]
        ).reshape(self.cases, self.motors)
        self.known: dict[tuple[str, float], tuple[Floats, Floats, Floats]] = {}

    def _parts(self) -> Floats:
        """Return mass and controller's heat capacity of every motor, capacity and heat capacity of every pack."""
        tables, rows = self.flown.aeroplane.tables, self.flown.rows
        found = []
        thrusters: list[tuple[str, Thruster | Drive]] = [
            (twin, part)
            for name, part in tables.thruster.items()
            for twin, _, _ in twins(name, part.position or (0.0, 0.0, 0.0), part.mirror)
        ]
        drives: list[tuple[str, Thruster | Drive]] = [(row, drive) for row, _, drive, _ in drive_places(tables)]
        for owner, part in (*thrusters, *drives):
            assert owner in (*rows.names.thrusters, *rows.names.drives)
            found.append((part.motor.mass, CONTROLLER_SPECIFIC_HEAT * max(part.controller.mass or 0.02, 0.003)))
        for pack in rows.batteries:
            found.append((float(pack["capacity"]), PACK_SPECIFIC_HEAT * float(pack["mass"])))
        return np.array(found)

    def condition(self, phase: Phase) -> tuple[Floats, Floats, Floats]:
        """Return inputs of motors and packs, and which cases can fly it, at every state of charge."""
        key = (phase.kind, phase.setting)
        if key not in self.known:
            found = []
            rows: Solutions | None = None
            for charge in CHARGES[::-1]:
                numbers = self.flown.numbers
                emptier = numbers._replace(batteries=numbers.batteries.copy(), vehicle=numbers.vehicle.copy())
                emptier.batteries["charge"] = charge
                if phase.kind == REST:
                    found.append(self._inputs(emptier, None, None))
                    continue
                rows = self._solved(phase, emptier, rows)
                motors, packs, _ = self._inputs(emptier, rows, power_state(rows))
                found.append((motors, packs, self._able(phase, rows)))
            found.reverse()
            self.known[key] = (
                np.array([one[0] for one in found]),
                np.array([one[1] for one in found]),
                np.array([one[2] for one in found]),
            )
        return self.known[key]

    def _able(self, phase: Phase, rows: Solutions) -> Floats:
        """Return which cases fly the phase as it is meant, with full throttle at most."""
        if phase.kind not in (LEVEL, CLIMBING):
            return np.ones(self.cases)
        return np.asarray(rows.solved & (rows.flight[:, THROTTLE] < 1.0), dtype=np.float64)

    def _solved(self, phase: Phase, numbers: AeroplaneNumbers, fuller: Solutions | None) -> Solutions:
        """Return a phase solved in every case; what cannot be flown as meant is full throttle at the level attitude."""
        free = (AIRSPEED, INCIDENCE, THROTTLE) if phase.kind in (LEVEL, CLIMBING) else ()
        start = AS_GIVEN
        if fuller is None:
            rows = held_flight(numbers, self.level)
            rows.flight[:, THROTTLE] = {STANDING: 1.0, FULL: 1.0, SET: phase.setting, GLIDE: OFF}.get(phase.kind, 0.7)
            rows.flight[:, CLIMB] = phase.setting if phase.kind == CLIMBING else 0.0
            if free:
                rows.flight[:, THROTTLE] = self.level["throttle"]
            if phase.kind == STANDING:
                rows.flight[:, AIRSPEED] = 0.3
            start = GUESS_INNER
        else:
            rows = fuller.take(slice(None))
            rows.numbers = numbers

        def chunk(first: int, last: int) -> None:
            span = slice(first, last)
            part = rows.take(span)
            if free:
                if start == GUESS_INNER:
                    part.solve((), GUESS_INNER)
                part.solve(free, AS_GIVEN)
                beyond = np.flatnonzero(~part.solved | (part.flight[:, THROTTLE] >= 1.0))
                if len(beyond):
                    held = part.take(beyond)
                    for place, name in ((AIRSPEED, "airspeed"), (INCIDENCE, "incidence")):
                        held.flight[:, place] = self.level[name][span][beyond]
                    held.flight[:, CLIMB] = 0.0
                    held.flight[:, THROTTLE] = 1.0
                    part.put(beyond, held.solve((), GUESS_INNER))
            else:
                part.solve((), start)
            rows.put(span, part)

        run_chunks(chunk, len(rows.cases))
        rows.inverse_of = None
        return rows

    def _inputs(
        self, numbers: AeroplaneNumbers, rows: Solutions | None, state: PowerState | None
    ) -> tuple[Floats, Floats, Floats]:
        """Return heat inputs of every motor and pack of every case; without rows everything is off, on the ground."""
        motors = np.zeros((self.cases, self.motors, run.MOTOR_INPUTS))
        packs = np.zeros((self.cases, self.packs, run.PACK_INPUTS))
        still = np.zeros(self.cases)
        if rows is None or state is None:
            nothing = (still, still, np.zeros((self.cases, self.motors, 5)), *(np.zeros((self.cases, self.packs)),) * 2)
        else:
            speed, thrust = np.abs(rows.flight[:, AIRSPEED]), np.ascontiguousarray(rows.steady["thrust"])
            nothing = (speed, thrust, state.motors, state.voltage, state.current)
        fill_inputs(
            numbers, *nothing, INSIDE_AIR[self.cooling], self.cooling == "closed", rows is not None, motors, packs
        )
        return motors, packs, np.ones(self.cases)

    def run(self, phases: tuple[Phase, ...], ends: tuple[int, ...] = (), charge: float = 1.0) -> Warmed:
        """Run all cases through a plan.

        Parameters
        ----------
        phases : tuple of Phase
        ends : tuple of int
            How each phase ends (see `heat_plan_run`); all for their time if left out.
        charge : float
            Of every pack at the start, 0…1.

        Returns
        -------
        warmed : Warmed
        """
        kinds = list(dict.fromkeys((phase.kind, phase.setting) for phase in phases if phase.kind != REST))
        solved = [self.condition(Phase(kind, 1.0, setting)) for kind, setting in kinds]
        resting = self.condition(Phase(REST, 1.0))
        motors = np.array([one[0] for one in (*solved, resting)])
        packs = np.array([one[1] for one in (*solved, resting)])
        table = np.zeros((len(phases), 3))
        for k, phase in enumerate(phases):
            place = -1 if phase.kind == REST else kinds.index((phase.kind, phase.setting))
            table[k] = place, phase.duration, ends[k] if ends else run.FOR_A_TIME
        nodes = len(self.nodes)
        total = float(sum(phase.duration for phase in phases))
        step = STEP if total < 3600.0 else 1.0
        start = np.full((self.cases, nodes), self.air)
        left = np.full((self.cases, self.packs), charge)
        history = np.full((self.cases, RECORDS, 1 + nodes + self.packs), np.nan)
        peaks = np.zeros((self.cases, nodes, 2))
        passed = np.full((self.cases, nodes), np.nan)
        elapsed, energy = np.zeros((self.cases, len(phases))), np.zeros((self.cases, len(phases)))
        filled = run.run_cases(
            motors, packs, CHARGES, table, self.parts, self.inner, self.pack_of, self.limits, self.air, step,
            max(total / (RECORDS - 1), step), start, left, history, peaks, passed, elapsed, energy,
        )  # fmt: skip
        weak = [
            phase.words
            if (able[:, 0] < 0.5).all()
            else f"{phase.words} below {100.0 * float(CHARGES[able[:, 0] < 0.5].max()):.0f} % of charge"
            for phase, able in _flown_once(phases, kinds, solved)
            if (able[:, 0] < 0.5).any()
        ]
        return Warmed(phases, self.nodes, peaks, passed, left, elapsed, energy, history[:, :filled], tuple(weak))


def _flown_once(
    phases: tuple[Phase, ...], kinds: list[tuple[str, float]], solved: list[tuple[Floats, Floats, Floats]]
) -> list[tuple[Phase, Floats]]:
    seen: dict[tuple[str, float], Phase] = {}
    for phase in phases:
        seen.setdefault((phase.kind, phase.setting), phase)
    return [(seen[kind], able[2]) for kind, able in zip(kinds, solved, strict=True)]


@dataclass(frozen=True)
class HeatStory:
    """What gets hot over a plan and at full throttle."""

    warmed: Warmed
    cooling: str
    peaks: dict[str, Quantity]
    """Highest temperature over the plan of every node, by its words [K]."""
    hottest: Node
    """The node that comes nearest to its stop limit, nominal case."""
    margin: float
    """What it keeps to the limit [K], nominal; negative when it passes."""
    too_hot: Quantity
    """Time in the plan at which the first part passes its stop limit [s]."""
    full_time: Quantity
    """Full throttle from the warmth of level flight until a part must rest [s]."""
    rest_time: Quantity
    """Level flight until all parts are below their caution level again [s]."""
    full_limit: Node | None
    """What ends full throttle most often; None if nothing ever does."""
    charge_left: Quantity
    """Of the pack that is emptiest after the plan [1]."""
    energy: Quantity
    """Taken from all packs over the plan [J]."""

    @property
    def quantities(self) -> dict[str, Quantity]:
        """Return every quantity by name."""
        found = {
            "time_to_too_hot": self.too_hot,
            "full_throttle_time": self.full_time,
            "rest_time": self.rest_time,
            "charge_left": self.charge_left,
            "plan_energy": self.energy,
        }
        for what in ("winding", "case", "controller", "pack"):
            nodes = [node.words for node in self.warmed.nodes if node.what == what]
            worst = max((self.peaks[words] for words in nodes), key=lambda each: each.nominal or 0.0, default=None)
            if worst is not None:
                found[f"peak_{what}_temperature"] = worst
        return found


def heat_story(bench: HeatBench, reader: Reader, plan: tuple[Phase, ...]) -> HeatStory:
    """Run a plan and a full-throttle burst and say what gets hot.

    Parameters
    ----------
    bench : HeatBench
    reader : Reader
    plan : tuple of Phase

    Returns
    -------
    HeatStory
    """
    warmed = bench.run(plan)
    sources = power_sources(bench.flown) + HEAT_SOURCES
    margins = bench.limits[:, 1] - warmed.peaks[0, :, 0]
    hottest = int(np.argmin(margins))
    first = _least(warmed.passed)
    burst = bench.run(
        (Phase(LEVEL, 180.0), Phase(FULL, LONG_BURST), Phase(LEVEL, LONG_REST)),
        (run.FOR_A_TIME, run.UNTIL_TOO_HOT, run.UNTIL_COOL),
    )
    stopped = burst.elapsed[:, 1] < LONG_BURST - 1.0
    full = np.where(stopped, burst.elapsed[:, 1], np.nan)
    rested = np.where(stopped & (burst.elapsed[:, 2] < LONG_REST - 1.0), burst.elapsed[:, 2], np.nan)
    ends = None
    if stopped.any():
        first_out = np.where(np.isfinite(burst.passed), burst.passed, np.inf)[stopped].argmin(axis=1)
        ends = bench.nodes[int(np.bincount(first_out).argmax())]
    return HeatStory(
        warmed=warmed,
        cooling=bench.cooling,
        peaks={node.words: reader.quantity(warmed.peaks[:, k, 0], "K", sources) for k, node in enumerate(bench.nodes)},
        hottest=bench.nodes[hottest],
        margin=float(margins[hottest]),
        too_hot=reader.quantity(first, "s", sources, "nothing passes its limit in this plan"),
        full_time=reader.quantity(full, "s", sources, "nothing gets too hot before the pack is empty"),
        rest_time=reader.quantity(rested, "s", sources, "it does not come down in level flight, or needs no rest"),
        full_limit=ends,
        charge_left=reader.quantity(warmed.charge.min(axis=1), "1", sources + BATTERY),
        energy=reader.quantity(warmed.energy.sum(axis=1), "J", sources + BATTERY),
    )


def _least(rows: Floats) -> Floats:
    """Return the least finite number of each row, NaN where there is none."""
    least = np.where(np.isfinite(rows), rows, np.inf).min(axis=1)
    return np.where(np.isfinite(least), least, np.nan)
