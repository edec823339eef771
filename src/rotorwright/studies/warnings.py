"""What a maker should know before believing a balance: limits passed, data left behind, cautions that stand here."""

from __future__ import annotations

import math

import numpy as np

from rotorwright.base.quantity import Quantity
from rotorwright.flight.envelope import LEVEL, OPENED
from rotorwright.studies.bench_rig_use import on_the_bench
from rotorwright.studies.evaluate import Flown

DOWNWASH_FLAG = 0.15
"""Lift coefficient over π times aspect ratio above which linear downwash is out of range (common practice)."""
SPIN_SHARE_DOUBT = (0.05, 0.5)
"""A rotor drive that claims less or more of the power than this deserves a second look: 22 % was carried in 1930."""


def warnings_of(flown: Flown, quantities: dict[str, Quantity]) -> tuple[str, ...]:
    """Return the warnings of a balance, most pressing first."""
    found: list[str] = []
    found += _currents(flown)
    found += _data(quantities)
    found += _elevator(flown)
    found += _spin_share(quantities)
    found += _bench(flown)
    found += _stored_energy(quantities)
    if flown.aeroplane.filled_in:
        count = len(flown.aeroplane.filled_in)
        found.append(
            f"{count} numbers were filled in by generic rules; `check` lists them. Weigh and measure what you can."
        )
    found += [str(remark) for remark in flown.aeroplane.remarks]
    return tuple(found)


def _bench(flown: Flown) -> list[str]:
    found = []
    for bench in on_the_bench(flown.aeroplane):
        for name in bench.fit.disagreements:
            found.append(
                f"The bench data of {bench.thruster} want {name.replace('_', ' ')} outside what is usual: look at "
                "stand, labels and volts again before you believe it."
            )
        out = sorted({residual.line for residual in bench.fit.residuals if residual.sticks_out})
        if out:
            lines = ", ".join(str(line) for line in out[:5])
            found.append(f"In {bench.file} line {lines} sticks out of the rest and counts little.")
        found.append(
            f"Motor and propeller of {bench.thruster} follow {len(bench.readings)} bench readings; in flight the "
            "propeller still leans on its family."
        )
    return found


def _nominal(quantity: Quantity | None) -> float | None:
    if quantity is None:
        return None
    return quantity.value if quantity.value is not None else quantity.nominal


def _currents(flown: Flown) -> list[str]:
    found: list[str] = []
    row = flown.envelope.steady[0, OPENED]
    if not math.isfinite(float(row["airspeed"])):
        return found
    for name, part in zip(flown.rows.names.thrusters, flown.rows.thrusters, strict=True):
        for what, limit in (("motor", part["motor_current_limit"]), ("controller", part["controller_current_limit"])):
            if 0.0 < limit < row["motor_current"]:
                found.append(
                    f"Full throttle asks {row['motor_current']:.0f} A of the {what} of {name}, its limit is "
                    f"{limit:.0f} A: throttle back, prop down or choose the next size."
                )
    for name, part in zip(flown.rows.names.drives, flown.rows.drives, strict=True):
        limit = part["motor_current_limit"]
        if 0.0 < limit < row["drive_current"]:
            found.append(
                f"The rotor drive {name} draws {row['drive_current']:.0f} A, its motor's limit is {limit:.0f} A."
            )
    for name, pack in zip(flown.rows.names.batteries, flown.rows.batteries, strict=True):
        limit = pack["current_limit"]
        if 0.0 < limit < row["pack_current"]:
            found.append(
                f"Full throttle draws {row['pack_current']:.0f} A from {name}, its label allows {limit:.0f} A "
                "(labels are optimistic by about a factor of two)."
            )
        per_cell = row["pack_voltage"] / pack["cells"]
        if per_cell < 3.3:
            found.append(f"Full throttle pulls {name} down to {per_cell:.2f} V per cell: the cells suffer below 3.3 V.")
    return found


def _data(quantities: dict[str, Quantity]) -> list[str]:
    support = quantities["level_speed"].support
    if support == "inside data":
        return []
    if support == "between data":
        return ["The rotors lie between the tested shapes, spins and Reynolds numbers of different sources."]
    return ["The rotors lie beyond everything that was ever measured: treat the bands as the least they could be."]


def _elevator(flown: Flown) -> list[str]:
    figures = flown.envelope.figures[0]
    node = int(figures["best_node"]) if math.isfinite(float(figures["best_node"])) else -1
    found = []
    if node >= 0 and abs(flown.nodes.elevators[node]) > 0.6:
        side = "down" if flown.nodes.elevators[node] > 0.0 else "up"
        found.append(
            f"It flies best with most of the elevator {side}: move the balance point, the tail or the thrust line."
        )
    rows = flown.envelope.steady[0]
    incidence = float(rows[LEVEL]["incidence"]) if np.isfinite(rows[LEVEL]["airspeed"]) else 0.0
    if abs(incidence) > math.radians(12.0):
        found.append(
            f"It flies level with the nose at {math.degrees(incidence):.0f}°: body and tail laws are rough there."
        )
    return found


def _spin_share(quantities: dict[str, Quantity]) -> list[str]:
    share = _nominal(quantities.get("spin_share"))
    if share is None or SPIN_SHARE_DOUBT[0] <= share <= SPIN_SHARE_DOUBT[1]:
        return []
    return [f"The rotor drive takes {share:.0%} of the power; a manned rotor aeroplane of 1930 carried 22 % for it."]


def _stored_energy(quantities: dict[str, Quantity]) -> list[str]:
    energy, rim = _nominal(quantities.get("rotor_energy")), _nominal(quantities.get("rim_speed"))
    if energy is None or rim is None:
        return []
    return [
        f"The turning rotors hold about {energy:.2g} J, rims move at {rim:.0f} m/s: nobody stands in the plane of "
        "rotation; first spin behind a shield, and your club's safety officer and local rules come first."
    ]
