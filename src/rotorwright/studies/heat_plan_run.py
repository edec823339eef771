"""The warming of all motors, controllers and packs through the phases of a plan, case by case, in one compiled loop."""

from __future__ import annotations

from typing import Any

from rotorwright.base.jit import jit
from rotorwright.physics.power.heat_parts import warm_lump, warm_motor

COPPER, WINDING_HEAT, CASE_HEAT, CONTROLLER_HEAT, OUTER, CONTROLLER_PATH, MOTOR_INPUTS = 0, 1, 2, 3, 4, 5, 6
"""Columns of a motor's inputs: heat in copper at 25 °C, other heat in winding, case, controller [W]; thermal
resistances case to air and controller to air [K/W]."""
DRAWN, PACK_HEAT, PACK_PATH, POWER, PACK_INPUTS = 0, 1, 2, 3, 4
"""Columns of a pack's inputs: current [A], heat [W], path to the air [K/W], power at its terminals [W]."""
FOR_A_TIME, UNTIL_TOO_HOT, UNTIL_COOL = 0, 1, 2
"""How a phase ends: after its time, as soon as a part passes its limit, or once all are below the caution level."""


@jit
def _between(inputs: Any, low: int, share: float, case: int, part: int, column: int) -> float:
    """Return an input between two states of charge."""
    a = inputs[low, case, part, column]
    return a + share * (inputs[low + 1, case, part, column] - a)


@jit
def run_plan(
    motors: Any, packs: Any, charges: Any, case: int, phases: Any, parts: Any, inner: Any, pack_of: Any,
    limits: Any, air: float, step: float, record_every: float, temperatures: Any, charge: Any, history: Any,
    peaks: Any, passed: Any, elapsed: Any, energy: Any,
) -> int:  # fmt: skip
    """Warm one case through a plan.

    Parameters
    ----------
    motors : array, shape (conditions, charges, cases, motors, 6)
    packs : array, shape (conditions, charges, cases, packs, 4)
        Inputs; condition −1 in a phase means everything off.
    charges : array, shape (charges,)
        States of charge of the inputs, ascending.
    case : int
    phases : array, shape (phases, 3)
        Condition, longest duration [s], way of ending.
    parts : array, shape (motors + packs, 2)
        Motor: mass [kg], heat capacity of its controller [J/K]; pack: capacity [A s], heat capacity [J/K].
    inner : array, shape (cases, motors)
        Winding to case [K/W].
    pack_of : array of int, shape (motors,)
    limits : array, shape (nodes, 2)
        Caution and stop [K]; nodes: winding, case, controller of each motor, then the packs.
    air, step, record_every : float
        [K], [s], [s].
    temperatures, charge : arrays, shape (nodes,), (packs,)
        Start, and state at the end.
    history : array, shape (records, 1 + nodes + packs)
        Time, temperatures, charges.
    peaks, passed : arrays, shape (nodes, 2), (nodes,)
        Highest temperature and its time; time of first passing the stop limit (NaN: never).
    elapsed : array, shape (phases,)
        Time each phase took [s].
    energy : array, shape (phases,)
        Taken from all packs in each phase [J].

    Returns
    -------
    records : int
        Rows of the history that are filled.
    """
    count = inner.shape[1]
    packs_count = charge.shape[0]
    nodes = 3 * count + packs_count
    top = charges.shape[0] - 1
    time = 0.0
    records = 0
    due = 0.0
    for phase in range(phases.shape[0]):
        condition = int(phases[phase, 0])
        ends = int(phases[phase, 2])
        elapsed[phase] = 0.0
        energy[phase] = 0.0
        while elapsed[phase] < phases[phase, 1] - 1e-9:
            if time >= due - 1e-9 and records < history.shape[0]:
                history[records, 0] = time
                for k in range(nodes):
                    history[records, 1 + k] = temperatures[k]
                for k in range(packs_count):
                    history[records, 1 + nodes + k] = charge[k]
                records += 1
                due += record_every
            hot = False
            warm = False
            for k in range(nodes):
                if temperatures[k] > limits[k, 1]:
                    hot = True
                if temperatures[k] > limits[k, 0]:
                    warm = True
            if ends == UNTIL_TOO_HOT and hot:
                break
            if ends == UNTIL_COOL and not warm:
                break
            for i in range(count):
                pack = pack_of[i]
                low, share = 0, 0.0
                off = condition < 0 or charge[pack] <= 0.0
                if not off:
                    while low < top - 1 and charges[low + 1] < charge[pack]:
                        low += 1
                    share = (charge[pack] - charges[low]) / (charges[low + 1] - charges[low])
                    share = min(max(share, 0.0), 1.0)
                    copper = _between(motors[condition], low, share, case, i, COPPER)
                    own = _between(motors[condition], low, share, case, i, WINDING_HEAT)
                    stray = _between(motors[condition], low, share, case, i, CASE_HEAT)
                    control = _between(motors[condition], low, share, case, i, CONTROLLER_HEAT)
                    outer = _between(motors[condition], low, share, case, i, OUTER)
                    path = _between(motors[condition], low, share, case, i, CONTROLLER_PATH)
                else:
                    copper, own, stray, control = 0.0, 0.0, 0.0, 0.0
                    outer = motors[motors.shape[0] - 1, 0, case, i, OUTER]
                    path = motors[motors.shape[0] - 1, 0, case, i, CONTROLLER_PATH]
                temperatures[3 * i], temperatures[3 * i + 1] = warm_motor(
                    temperatures[3 * i], temperatures[3 * i + 1], copper, own, stray, inner[case, i], outer,
                    parts[i, 0], air, step,
                )  # fmt: skip
                temperatures[3 * i + 2] = warm_lump(temperatures[3 * i + 2], control, path, parts[i, 1], air, step)
            for i in range(packs_count):
                drawn, heat, power = 0.0, 0.0, 0.0
                path = packs[packs.shape[0] - 1, 0, case, i, PACK_PATH]
                if condition >= 0 and charge[i] > 0.0:
                    low = 0
                    while low < top - 1 and charges[low + 1] < charge[i]:
                        low += 1
                    share = (charge[i] - charges[low]) / (charges[low + 1] - charges[low])
                    share = min(max(share, 0.0), 1.0)
                    drawn = _between(packs[condition], low, share, case, i, DRAWN)
                    heat = _between(packs[condition], low, share, case, i, PACK_HEAT)
                    path = _between(packs[condition], low, share, case, i, PACK_PATH)
                    power = _between(packs[condition], low, share, case, i, POWER)
                k = 3 * count + i
                temperatures[k] = warm_lump(temperatures[k], heat, path, parts[count + i, 1], air, step)
                charge[i] = max(charge[i] - drawn * step / parts[count + i, 0], 0.0)
                energy[phase] += power * step
            time += step
            elapsed[phase] += step
            for k in range(nodes):
                if temperatures[k] > peaks[k, 0]:
                    peaks[k, 0] = temperatures[k]
                    peaks[k, 1] = time
                if temperatures[k] > limits[k, 1] and not passed[k] >= 0.0:
                    passed[k] = time
    return records


@jit
def run_cases(
    motors: Any, packs: Any, charges: Any, phases: Any, parts: Any, inner: Any, pack_of: Any, limits: Any, air: float,
    step: float, record_every: float, temperatures: Any, charge: Any, history: Any, peaks: Any, passed: Any,
    elapsed: Any, energy: Any,
) -> int:  # fmt: skip
    """Warm every case through a plan; the arrays of `run_plan` with a leading case axis.

    Parameters
    ----------
    motors, packs, charges, phases, parts, inner, pack_of, limits, air, step, record_every
        As `run_plan`.
    temperatures, charge, history, peaks, passed, elapsed, energy : arrays
        As `run_plan`, shape (cases, …).

    Returns
    -------
    records : int
        Rows of the nominal case's history that are filled.
    """
    records = 0
    for case in range(temperatures.shape[0]):
        filled = run_plan(
            motors, packs, charges, case, phases, parts, inner, pack_of, limits, air, step, record_every,
            temperatures[case], charge[case], history[case], peaks[case], passed[case], elapsed[case], energy[case],
        )  # fmt: skip
        if case == 0:
            records = filled
    return records
