"""Steady flight: what the record of a solution says must add up, and the solution is a root that others find too."""

from __future__ import annotations

import math
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.optimize import root

import rotorwright
from flight.bare_parts import Machine
from rotorwright.base.records import DRUM, NONE
from rotorwright.base.status import NOT_APPLICABLE, OK
from rotorwright.flight.alone import rates_alone
from rotorwright.flight.envelope import FULL, GLIDE, LEVEL, TURN
from rotorwright.flight.layout import OFF
from rotorwright.flight.numbers import AeroplaneNumbers, case_of, physics_tables
from rotorwright.flight.solver import GUESS_INNER, Solutions
from rotorwright.flight.steady import (
    AIRSPEED,
    BANK,
    CLIMB,
    COMMAND,
    ELEVATOR,
    INCIDENCE,
    THROTTLE,
    inner_count,
    residuals,
    set_up,
    work_space,
)
from rotorwright.studies.evaluate import Flown, fly

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
FLYING = ["thistledown", "marsh-tumbler", "drum-major", "great-roller", "plain-wing"]
HELD = (AIRSPEED, INCIDENCE, THROTTLE)


@lru_cache(maxsize=8)
def flown(name: str) -> Flown:
    return fly(rotorwright.load(EXAMPLES / f"{name}.toml"), samples=0)


def condition(name: str, which: int = LEVEL) -> Any:
    steady = flown(name).envelope.steady[0, which]
    assert steady["status"] == OK
    return steady


def without_wash(numbers: AeroplaneNumbers) -> AeroplaneNumbers:
    factors = numbers.factors.copy()
    factors["wash_force"] = 0.0
    return numbers._replace(factors=factors)


@lru_cache(maxsize=8)
def level_without_wash(name: str) -> Any:
    """Level flight of an example with the propeller wash switched off, at the controls of its level flight."""
    start = condition(name)
    rows = Solutions(without_wash(flown(name).numbers), np.zeros(1, dtype=np.int64))
    for which, field in _FIELDS.items():
        rows.flight[:, which] = start[field]
    rows.solve(HELD, GUESS_INNER)
    assert rows.found.all()
    return rows.steady[0]


_FIELDS = {
    AIRSPEED: "airspeed",
    CLIMB: "climb",
    INCIDENCE: "incidence",
    THROTTLE: "throttle",
    ELEVATOR: "elevator",
    COMMAND: "command",
    BANK: "bank",
}


@pytest.mark.parametrize("name", FLYING)
def test_level_flight_balances_along_and_across_the_path(name: str) -> None:
    steady, numbers = condition(name), flown(name).numbers
    weight = float(numbers.vehicle["mass"][0] * numbers.air["gravity"][0])
    thrusters = numbers.thrusters[0]
    assert steady["climb"] == pytest.approx(0.0, abs=1e-9)
    assert steady["lift"] == pytest.approx(weight, rel=1e-6)
    # every thruster of an example has the tilt and toe of the first; thrust is shared alike
    along = math.cos(steady["incidence"] + thrusters["tilt"][0]) * math.cos(thrusters["toe"][0])
    assert steady["thrust"] * along == pytest.approx(steady["drag"], rel=1e-3)


@pytest.mark.parametrize("name", FLYING)
def test_a_glide_balances_along_and_across_the_path(name: str) -> None:
    """Lift holds the part of the weight square to the path, the slope pays for all drag (stopped propeller too)."""
    steady, numbers = condition(name, GLIDE), flown(name).numbers
    weight = float(numbers.vehicle["mass"][0] * numbers.air["gravity"][0])
    path = math.asin(steady["climb"] / steady["airspeed"])
    assert steady["lift"] == pytest.approx(weight * math.cos(path), rel=1e-6)
    along = math.cos(steady["incidence"] + numbers.thrusters["tilt"][0, 0])
    assert steady["drag"] - steady["thrust"] * along == pytest.approx(-weight * math.sin(path), rel=2e-3)
    assert path < 0.0


@pytest.mark.parametrize("name", FLYING)
def test_a_turn_carries_weight_over_cosine_of_bank(name: str) -> None:
    steady, numbers = condition(name, TURN), flown(name).numbers
    weight = float(numbers.vehicle["mass"][0] * numbers.air["gravity"][0])
    assert steady["bank"] == pytest.approx(math.pi / 6.0)
    # square to the path in the plane of symmetry: the body axis also leans with the incidence, hence nearly
    assert steady["lift"] * math.cos(steady["bank"]) == pytest.approx(weight, rel=0.03)


@pytest.mark.parametrize("which", [LEVEL, GLIDE, TURN])
@pytest.mark.parametrize("name", FLYING)
def test_the_power_ledger_closes(name: str, which: int) -> None:
    """What leaves the packs is traction, losses, spin, bearings of driven rotors and electronics."""
    steady = condition(name, which)
    driven = bool((flown(name).numbers.rotors["drive"] != NONE).all())
    parts = ["traction_power", "propeller_loss", "thruster_motor_loss", "spin_power", "drive_loss", "electronics_power"]
    total = sum(float(steady[part]) for part in parts)
    if driven:  # a free rotor's bearings are paid for by drag, not from the pack
        total += float(steady["bearing_power"])
    assert total == pytest.approx(float(steady["bus_power"]), rel=1e-7, abs=1e-7)
    assert steady["total_power"] == pytest.approx(steady["bus_power"] + steady["pack_loss"], rel=1e-9)
    assert steady["pack_loss"] > 0.0


@pytest.mark.parametrize("name", FLYING)
def test_drag_by_cause_adds_up(name: str) -> None:
    """Without propeller wash every part meets the same air, and the causes add up to the whole to the last digit."""
    steady = level_without_wash(name)
    causes = ("rotor_profile_drag", "rotor_end_drag", "rotor_disc_drag", "body_drag", "surface_drag")
    assert sum(float(steady[cause]) for cause in causes) == pytest.approx(float(steady["drag"]), rel=1e-9)
    assert min(float(steady[cause]) for cause in causes) >= 0.0


@pytest.mark.parametrize("name", FLYING)
def test_drag_by_cause_nearly_adds_up_in_the_wash(name: str) -> None:
    """In the wash a rotor's drag points along its own air, a little off the path: the sum is off by a few per cent."""
    steady = condition(name)
    causes = ("rotor_profile_drag", "rotor_end_drag", "rotor_disc_drag", "body_drag", "surface_drag")
    assert sum(float(steady[cause]) for cause in causes) == pytest.approx(float(steady["drag"]), rel=0.12)


@pytest.mark.parametrize("name", ["marsh-tumbler", "drum-major", "plain-wing"])
@pytest.mark.parametrize("shift", [0.9, 1.15])
def test_another_root_finder_finds_the_same_flight(name: str, shift: float) -> None:
    """scipy's Powell hybrid method on the same residuals, from another start."""
    numbers = flown(name).numbers
    steady = condition(name)
    rows = Solutions(numbers, np.zeros(1, dtype=np.int64))
    for which, field in _FIELDS.items():
        rows.flight[:, which] = steady[field]
    rows.solve(HELD, GUESS_INNER)
    case, tables = case_of(numbers, 0), physics_tables()
    work = _work(numbers)
    work.flight[:] = rows.flight[0]
    count = inner_count(case, work.flight[COMMAND])
    free = np.array(HELD, dtype=np.int64)
    solution = np.concatenate([rows.flight[0, list(HELD)], rows.inner[0, :count]])
    scale = np.abs(solution) + 0.1

    def balance(unknown: Any) -> Any:
        residuals(case, tables, work, free, unknown * scale, work.residual)
        return work.residual[: len(unknown)].copy()

    found = root(balance, shift * solution / scale, method="hybr", options={"xtol": 1e-13})
    assert np.abs(found.fun).max() < 1e-9
    assert found.x * scale == pytest.approx(solution, rel=1e-8, abs=1e-8)


def _work(numbers: AeroplaneNumbers) -> Any:
    return work_space(
        numbers.rotors.shape[1], numbers.thrusters.shape[1], numbers.drives.shape[1], numbers.batteries.shape[1]
    )


@pytest.mark.parametrize("name", FLYING)
def test_the_answer_does_not_depend_on_where_the_search_starts(name: str) -> None:
    steady = condition(name)
    starts = [(0.85, -0.04, 0.9), (1.25, 0.04, 1.1), (1.1, 0.0, 0.8), (0.95, 0.06, 1.2)]
    rows = Solutions(flown(name).numbers, np.zeros(len(starts), dtype=np.int64))
    for which, field in _FIELDS.items():
        rows.flight[:, which] = steady[field]
    for row, (faster, nose, throttle) in enumerate(starts):
        rows.flight[row, AIRSPEED] *= faster
        rows.flight[row, INCIDENCE] += nose
        rows.flight[row, THROTTLE] *= throttle
    rows.solve(HELD, GUESS_INNER)
    assert rows.found.all()
    for field in ("airspeed", "incidence", "throttle", "thrust", "rotor_speed", "bus_power"):
        assert rows.steady[field] == pytest.approx(np.full(len(starts), steady[field]), rel=1e-6, abs=1e-7)


@pytest.mark.parametrize("name", FLYING)
def test_a_steady_state_has_no_accelerations(name: str) -> None:
    """Fed back into the equation of motion, the solution stays put: body axes, spins and shafts."""
    numbers, steady = flown(name).numbers, condition(name)
    rows = Solutions(numbers, np.zeros(1, dtype=np.int64))
    for which, field in _FIELDS.items():
        rows.flight[:, which] = steady[field]
    rows.solve(HELD, GUESS_INNER)
    machine = Machine(numbers)
    state, work = machine.state(), _work(numbers)
    set_up(machine.case, rows.flight[0], rows.inner[0], state, machine.controls)
    work.flight[:] = rows.flight[0]
    rates = machine.rates(state)
    # forward, down and pitch; roll and yaw are left to the pilot
    assert rates[[0, 2, 4]] == pytest.approx(np.zeros(3), abs=1e-5)
    assert rates[13:] == pytest.approx(np.zeros(len(state) - 13), abs=1e-3)
    assert rates[12] == pytest.approx(-float(steady["climb"]), abs=1e-9)
    assert rates[10] == pytest.approx(float(steady["airspeed"]), rel=1e-9)


@pytest.mark.parametrize("incidence", [-2.5, -0.6, 0.0, 0.3, 1.2, 2.9])
def test_lift_of_a_bare_rotor_stays_square_to_the_wind(incidence: float) -> None:
    """A body of revolution knows no incidence: turned with the wind, its force is the same at every angle."""
    drum = {"kind": DRUM, "span": 0.6, "diameter": 0.12, "disc_diameter": 0.2, "disc_thickness": 0.003}
    drum |= {"end_discs": 2.0, "discs_turn": 1.0, "stages": 1.0, "flow": 1.0}
    parts = {"rotors": [drum], "masses": [{"mass": 1.0, "ixx": 0.1, "iyy": 0.1, "izz": 0.1}]}
    spin = (180.0,)

    def force(angle: float) -> tuple[float, float]:
        velocity = (9.0 * math.cos(angle), 0.0, 9.0 * math.sin(angle))
        found = rates_alone(parts=parts, velocity=velocity, spins=spin)
        along = -(found["force_x"] * velocity[0] + found["force_z"] * velocity[2]) / 9.0
        across = (found["force_x"] * velocity[2] - found["force_z"] * velocity[0]) / 9.0
        return along, across

    drag, lift = force(0.0)
    assert lift > drag > 0.0
    assert force(incidence) == pytest.approx((drag, lift), rel=1e-9)


@pytest.mark.parametrize("name", ["marsh-tumbler", "drum-major"])
def test_left_and_right_are_mirror_images(name: str) -> None:
    """Side-slip, roll, yaw, rudder and the two rotors swapped: accelerations mirror, gyroscopic couples included.

    Seen in the mirror the spin about the span keeps its sense, so the couples mirror too. The propeller does not:
    its torque and momentum are switched off here.
    """
    numbers = flown(name).numbers
    numbers = numbers._replace(thrusters=numbers.thrusters.copy(), vehicle=numbers.vehicle.copy())
    numbers.thrusters["turn_sense"] = 0.0
    assert numbers.vehicle["y"][0] == pytest.approx(0.0, abs=1e-6)
    machine = Machine(numbers)
    steady = condition(name)
    spin, shaft = float(steady["rotor_speed"]), float(steady["thruster_speed"])
    speed = float(steady["airspeed"])

    def rates(sign: float) -> Any:
        spins = (1.1 * spin, 0.9 * spin) if sign > 0.0 else (0.9 * spin, 1.1 * spin)
        state = machine.state(
            velocity=(speed, 0.8 * sign, 0.6),
            body_rates=(0.4 * sign, 0.2, -0.3 * sign),
            attitude=(0.25 * sign, 0.1, 0.5 * sign),
            spins=(*spins, shaft),
        )
        machine.controls[:] = OFF
        machine.controls[:4] = (0.2, 0.5 * sign, 0.0, 0.0)
        machine.controls[4] = 0.6
        return machine.rates(state)

    right, left = rates(1.0), rates(-1.0)
    same = [0, 2, 4, 10, 12]
    turned = [1, 3, 5, 11]
    assert left[same] == pytest.approx(right[same], rel=1e-9, abs=1e-9)
    assert left[turned] == pytest.approx(-right[turned], rel=1e-6, abs=1e-6)
    assert left[[13, 14]] == pytest.approx(right[[14, 13]], rel=1e-9)
    assert abs(right[3]) > 0.1


def test_a_coordinated_turn_turns_at_the_textbook_rate() -> None:
    """Closed form: ψ̇ = g tan φ/V = 0.566187 rad/s at 30° and 10 m/s, q = ψ̇ sin φ 0.283094, r = ψ̇ cos φ 0.490332."""
    machine = Machine({"masses": [{"mass": 1.0, "ixx": 0.04, "iyy": 0.06, "izz": 0.08}]}, air_density=0.0)
    flight = np.zeros(9)
    flight[AIRSPEED], flight[BANK] = 10.0, math.radians(30.0)
    state = machine.state()
    set_up(machine.case, flight, np.zeros(1), state, machine.controls)
    assert state[3:6] == pytest.approx((0.0, 0.283094, 0.490332), abs=1e-6)
    rates = machine.rates(state)
    assert rates[1] == pytest.approx(0.0, abs=1e-12)  # no side force is asked for
    # the two missing forces are those a wing must give: weight over cos φ along −z, nothing along x
    assert rates[2] == pytest.approx(9.80665 / math.cos(flight[BANK]), rel=1e-12)
    assert rates[0] == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(("climb", "incidence"), [(0.0, 0.2), (1.5, 0.1), (-2.0, 0.3)])
def test_a_climbing_turn_keeps_its_path_bank_and_slip(climb: float, incidence: float) -> None:
    """The prepared state climbs as asked, holds bank and pitch (ṗitch and bank rates zero) and feels no side force."""
    machine = Machine({"masses": [{"mass": 1.0, "ixx": 0.04, "iyy": 0.06, "izz": 0.08}]}, air_density=0.0)
    bank = math.radians(25.0)
    flight = np.zeros(9)
    flight[AIRSPEED], flight[BANK], flight[CLIMB], flight[INCIDENCE] = 9.0, bank, climb, incidence
    state = machine.state()
    set_up(machine.case, flight, np.zeros(1), state, machine.controls)
    rates = machine.rates(state)
    assert rates[12] == pytest.approx(-climb, abs=1e-12)
    assert rates[1] == pytest.approx(0.0, abs=1e-12)
    p, q, r = state[3:6]
    pitch = math.asin(2.0 * (state[6] * state[8] - state[9] * state[7]))
    assert q * math.cos(bank) - r * math.sin(bank) == pytest.approx(0.0, abs=1e-12)  # pitch angle stays
    assert p + math.tan(pitch) * (q * math.sin(bank) + r * math.cos(bank)) == pytest.approx(0.0, abs=1e-12)  # bank too


@pytest.mark.parametrize("name", FLYING)
def test_full_throttle_climbs_about_as_the_thrust_to_spare_says(name: str) -> None:
    """Energy: climb ≈ thrust to spare × airspeed/weight at level speed. Speed and drag move in the climb, so about.

    Drums blown by full throttle lift the nose more than a tail may hold: then only a slow climb is left.
    """
    envelope, numbers = flown(name).envelope, flown(name).numbers
    steady, level = envelope.steady[0, FULL], envelope.steady[0, LEVEL]
    assert steady["status"] in (OK, NOT_APPLICABLE)
    if steady["status"] == OK:
        weight = float(numbers.vehicle["mass"][0] * numbers.air["gravity"][0])
        rule = float(envelope.figures["surplus"][0] * level["airspeed"] / weight)
        assert steady["throttle"] == 1.0
        assert 0.3 * rule < steady["climb"] < 1.5 * rule
