"""What a maker should know before believing a balance: limits passed, data left behind, cautions that stand here."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorwright.base.digits import percent_text
from rotorwright.base.quantity import SUPPORT_WORDS, Quantity
from rotorwright.base.records import DRUM, VANED
from rotorwright.base.status import OK
from rotorwright.flight.envelope import LEVEL, OPENED
from rotorwright.studies.bench_rig_use import on_the_bench
from rotorwright.studies.evaluate import Flown
from rotorwright.studies.shortfall import middle, plain

DATA, LIMIT, FLIGHT, LAWS, ENERGY, FILE = "data", "limit", "flight", "laws", "energy", "file"
"""What a remark is about: backing by measurements, limits of parts, how it flies, laws stretched, stored energy, the
file itself."""

SPIN_SHARE_DOUBT = (0.05, 0.5)
"""A rotor drive that claims less or more of the power than this deserves a second look: 22 % was carried in 1930."""
STEEP_GLIDE = math.radians(15.0)
"""A glide steeper than this ends in a hard landing without power (judgement: models land well at up to about 6°)."""
NO_LANDING = math.radians(30.0)
"""A glide steeper than this ends in a crash rather than a landing (judgement)."""
MUCH_THRUST = 0.6
"""Thrust over weight in level flight from which thrust rather than lift is the story (judgement)."""
MUCH_ELEVATOR, OFTEN = 0.6, 0.25
"""Elevator beyond this share of its travel, in more than this share of samples, leaves too little to steer with."""
NOSE_HIGH = math.radians(12.0)


@dataclass(frozen=True)
class Remark:
    """One thing to know, and what it is about."""

    kind: str
    text: str


def remarks_on(flown: Flown, quantities: Mapping[str, Quantity]) -> tuple[Remark, ...]:
    """Return the remarks on a balance, most pressing first."""
    found = [Remark(LIMIT, text) for text in _currents(flown)]
    found += [Remark(DATA, text) for text in _data(flown, quantities)]
    found += [Remark(FLIGHT, text) for text in (*_glide(quantities), *_thrust(quantities), *_trim(flown))]
    found += [Remark(LAWS, text) for text in _nose(flown)]
    found += [Remark(FLIGHT, text) for text in _spin_share(quantities)]
    found += [Remark(FILE, text) for text in _bench(flown)]
    found += [Remark(ENERGY, text) for text in _stored_energy(quantities)]
    found += [Remark(FILE, str(text)) for text in flown.aeroplane.remarks]
    if flown.aeroplane.filled_in:
        count = len(flown.aeroplane.filled_in)
        text = f"{count} numbers are generic guesses; `check` lists them."
        found.append(Remark(FILE, text))
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


def _number(quantity: Quantity | None) -> float | None:
    return None if quantity is None else quantity.value


def _currents(flown: Flown) -> list[str]:
    found: list[str] = []
    rows = flown.envelope.steady[1:, OPENED] if flown.samples else flown.envelope.steady[:1, OPENED]
    rows = rows[np.isfinite(rows["airspeed"])]
    if not len(rows):
        return found
    row = {name: float(np.median(rows[name])) for name in ("motor_current", "drive_current", "pack_current")}
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
    voltage = float(np.median(rows["pack_voltage"]))
    for name, pack in zip(flown.rows.names.batteries, flown.rows.batteries, strict=True):
        limit = pack["current_limit"]
        if 0.0 < limit < row["pack_current"]:
            found.append(
                f"Full throttle draws {row['pack_current']:.0f} A from {name}, its label allows {limit:.0f} A "
                "(labels are optimistic by about a factor of two)."
            )
        per_cell = voltage / pack["cells"]
        if per_cell < 3.3:
            found.append(f"Full throttle pulls {name} down to {per_cell:.2f} V per cell: the cells suffer below 3.3 V.")
    return found


def _data(flown: Flown, quantities: Mapping[str, Quantity]) -> list[str]:
    inside, between, beyond = SUPPORT_WORDS
    forces = quantities["level_speed"].support
    if forces == inside:
        return []
    if forces == between:
        return ["These rotors lie between the shapes, spins and Reynolds numbers that different people have measured."]
    kinds = set(flown.rows.rotors["kind"])
    spin = quantities["spin_ratio"].support if "spin_ratio" in quantities else beyond
    if kinds == {VANED} and spin != beyond:
        return [
            "Nobody has measured lift and drag of vaned rotors like these (torque and spin: "
            f"{spin.replace(' data', ' measured ones')}); their bands are the least they could be."
        ]
    what = "drums" if kinds == {DRUM} else "rotors"
    return [f"These {what} lie beyond everything that was ever measured: their bands are the least they could be."]


def _glide(quantities: Mapping[str, Quantity]) -> list[str]:
    angle, sink = quantities["glide_angle"], quantities["glide_sink"]
    found = []
    if angle.value is None or sink.value is None:
        found.append("Thrusters off no steady glide was found: if thrust fails, it drops.")
    elif angle.value > STEEP_GLIDE:
        band = ""
        if angle.low is not None and angle.high is not None:
            band = f" ({math.degrees(angle.low):.0f}–{math.degrees(angle.high):.0f})"
        steep = f"Thrusters off it comes down at {math.degrees(angle.value):.0f}°{band}, sinking {middle(sink, plain)}"
        if angle.value > NO_LANDING:
            found.append(f"{steep}: no landing, and no flare softens it. Keep power on to the ground.")
        else:
            found.append(f"{steep}: a hard landing, hardly a flare to soften it. Keep some power on.")
    off = quantities.get("glide_drive_off_sink")
    if off is not None and off.value is None:
        found.append("If the rotor drive stops, the lift is gone: there is no glide without it.")
    return found


def _thrust(quantities: Mapping[str, Quantity]) -> list[str]:
    level, full = quantities["level_thrust_to_weight"], quantities["full_throttle_thrust_to_weight"]
    most = f"full throttle in flight {'pulls' if (level.value or 0.0) <= MUCH_THRUST else 'gives'} {plain(full)}"
    if level.value is not None and level.value > MUCH_THRUST:
        return [
            f"Level flight takes a thrust of {plain(level)} times the weight, {most}: these rotors drag about as "
            "much as they lift."
        ]
    if full.value is not None and full.value > 1.0:
        return [f"F{most[1:]} times the weight: it can hang on its thrust. Open it gently."]
    return []


def _level_rows(flown: Flown) -> tuple[Any, str]:
    """Return the balances of the samples, and "flies" or "would fly" by whether most of them have thrust enough."""
    rows = flown.envelope.steady[1:, LEVEL] if flown.samples else flown.envelope.steady[:1, LEVEL]
    rows = rows[np.isfinite(rows["airspeed"])]
    flies = len(rows) and np.mean(rows["status"] == OK) > 0.5
    return rows, "flies" if flies else "would come nearest to flying"


def _trim(flown: Flown) -> list[str]:
    rows, does = _level_rows(flown)
    if not len(rows):
        return []
    down, up = (float(np.mean(sense * rows["elevator"] > MUCH_ELEVATOR)) for sense in (1.0, -1.0))
    if max(down, up) <= OFTEN:
        return []
    side = "down" if down > up else "up"
    often = f" in {percent_text(max(down, up))} of samples" if flown.samples else ""
    return [f"It {does} with most of the elevator {side}{often}: move balance point, tail or thrust line."]


def _nose(flown: Flown) -> list[str]:
    rows, does = _level_rows(flown)
    incidence = float(np.median(rows["incidence"])) if len(rows) else 0.0
    if abs(incidence) <= NOSE_HIGH:
        return []
    side = "above" if incidence > 0.0 else "below"
    return [
        f"It {does} with the nose {math.degrees(abs(incidence)):.0f}° {side} the flight path: the laws for body and "
        "tail are rough there."
    ]


def _spin_share(quantities: Mapping[str, Quantity]) -> list[str]:
    share = _number(quantities.get("spin_share"))
    if share is None or SPIN_SHARE_DOUBT[0] <= share <= SPIN_SHARE_DOUBT[1]:
        return []
    return [
        f"The rotor drive takes {percent_text(share)} of the power; a manned rotor aeroplane of 1930 carried 22 % for "
        "it."
    ]


def _stored_energy(quantities: Mapping[str, Quantity]) -> list[str]:
    energy, rim, reach = (quantities.get(name) for name in ("rotor_energy", "rim_speed", "throw_distance"))
    if energy is None or rim is None or reach is None or energy.value is None or rim.value is None:
        return []
    far = reach.high if reach.high is not None else reach.value
    faster = "runaway drive" if quantities.get("drive_duty") is not None else "dive"
    return [
        f"The turning rotors hold {middle(energy, plain)}, rims move at {middle(rim, plain)}: nobody nearer than "
        f"{_rounded_up(far or 0.0)} m in the plane of rotation (twice the speed, in a {faster}: four times as far), "
        "first spin behind a shield."
    ]


def _rounded_up(distance: float) -> int:
    return math.ceil(distance / 5.0) * 5
