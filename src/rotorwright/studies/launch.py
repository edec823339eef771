"""Getting an aeroplane off the ground and down again, and the wind it stands: run, throw, landing, limits, forecast."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity, exact
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.physics.air.wind import ROUGHNESS
from rotorwright.physics.airframe.rolling import SURFACES
from rotorwright.studies.forecast import Hour, Judged, components, judge_hours
from rotorwright.studies.launch_landing import Landing, landing, landing_quantities
from rotorwright.studies.launch_ready import Field, Ready, make_ready
from rotorwright.studies.launch_run import Run, run, run_quantities
from rotorwright.studies.launch_throw import HEAVIEST_THROWN, throw, throw_quantities
from rotorwright.studies.launch_turning import Turner, turners
from rotorwright.studies.wind_limits import Limit, wind_limits

SURELY, LIKELY = 0.9, 0.5


@dataclass(frozen=True)
class Launch:
    """The answer of `launch`."""

    aeroplane: Aeroplane
    field: Field
    hour: Hour | None
    """The wind that was told, if any; its components make the wind of ``field``."""
    runway: float | None
    """[rad]"""
    quantities: dict[str, Quantity]
    run: Run | None
    """None without wheels or on water."""
    landing: Landing
    turners: tuple[Turner, ...]
    limits: tuple[Limit, ...]
    hours: tuple[Judged, ...]
    advice: tuple[str, ...]
    """The answer in a pilot's words, most important first."""
    cautions: tuple[str, ...]
    weight: float
    """Of the nominal case [N]."""
    samples: int
    seed: int


def launch(
    aeroplane: Aeroplane,
    *,
    wind: Hour | None = None,
    surface: str | None = None,
    slope: float = 0.0,
    obstacle: tuple[float, float] | None = None,
    runway: float | None = None,
    strip: float | None = None,
    around: str = "open",
    hours: Sequence[Hour] = (),
    flown: bool = False,
    samples: int = 48,
    seed: int = 0,
) -> Launch:
    """Tell how an aeroplane gets off the ground and down again, and in which wind.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`.
    wind : Hour, optional
        The wind as a forecast tells it; else the field's own, along the run, without gusts.
    surface : str, optional
        What it rolls on; else the field's.
    slope : float
        Of the run, uphill positive [rad].
    obstacle : (height, distance), optional
        At the end of the run, distance from its start [m].
    runway : float, optional
        Heading of the run from north over east [rad]; it may be used either way.
    strip : float, optional
        Usable length [m]; else the field's.
    around : str
        Country around the field: ``open``, ``hedges`` or ``trees``.
    hours : sequence of Hour
        A forecast to judge.
    flown : bool
        The aeroplane is trimmed and known: rules of thumb for first flights do not count.
    samples, seed : int
        Samples of the Unknowns behind the bands, at most 1024, and the seed that shifts them.

    Raises
    ------
    InputError
        If the aeroplane has no balance at any speed, or a word is not known.
    """
    word = surface or aeroplane.field.surface
    if word not in SURFACES and word != "water":
        raise InputError("is no surface", place="surface", found=f'"{word}"', allowed=", ".join(SURFACES))
    if around not in ROUGHNESS:
        raise InputError("is no country", place="around", found=f'"{around}"', allowed=", ".join(ROUGHNESS))
    ready = make_ready(aeroplane, samples=samples, seed=seed)
    along, excess = aeroplane.field.wind, 0.0
    if wind is not None:
        along, _ = components(wind, runway)
        excess = wind.excess
    wheels = bool(aeroplane.tables.wheel) and word != "water"
    field = Field(
        word if word in SURFACES else "hard", along, excess, slope,
        strip if strip is not None else aeroplane.field.length, obstacle, around,
    )  # fmt: skip
    landed = landing(ready, field)
    quantities = {"flying_share": exact(_share(ready.flies), "1", ("etkin1996",))}
    quantities |= {"launch_level_speed": ready.reader.quantity(ready.airspeed, "m/s", ("etkin1996",))}
    rolled = None
    if wheels:
        rolled = run(ready, field)
        quantities |= run_quantities(ready, field, rolled)
    quantities |= throw_quantities(ready, field, throw(ready, field))
    quantities |= landing_quantities(ready, field, landed)
    limits = wind_limits(ready, field, wheels=wheels)
    flies = quantities["flying_share"].value or 0.0
    all_hours = ([wind] if wind is not None else []) + list(hours)
    judged = judge_hours(all_hours, limits, runway=runway, around=around, flown=flown, flies=flies >= LIKELY)
    turned = turners(ready)
    return Launch(
        aeroplane, field, wind, runway, quantities, rolled, landed, turned, limits, judged,
        tuple(_advice(ready, field, quantities, wheels)), tuple(_cautions(ready, wheels)), float(ready.weight[0]),
        samples, seed,
    )  # fmt: skip


def _share(flags: Any) -> float:
    some = np.asarray(flags)
    return float(np.mean(some[1:] if len(some) > 1 else some))


def _value(quantities: dict[str, Quantity], name: str) -> float | None:
    return quantities[name].value if name in quantities else None


def _advice(ready: Ready, field: Field, quantities: dict[str, Quantity], wheels: bool) -> list[str]:
    """Return what it comes to, in a pilot's words."""
    said = []
    flies = quantities["flying_share"].value or 0.0
    if flies < LIKELY:
        said.append("It does not hold its height, so no launch makes it fly: see balance first")
    if wheels:
        said += _run_advice(field, quantities)
    elif not ready.flown.aeroplane.tables.wheel:
        said.append("It has no wheels: it is thrown, or leaves a bungee, and lands on its belly")
    else:
        said.append("It starts from water: floats and waves are not worked out, the numbers are those of the air alone")
    said += _throw_advice(ready, quantities, flies)
    return said + _landing_advice(quantities, bool(len(ready.flown.rows.rotors)))


def _run_advice(field: Field, quantities: dict[str, Quantity]) -> list[str]:
    said = []
    lifts = quantities["lifts_off"].value or 0.0
    trap = quantities["ground_effect_trap"].value or 0.0
    if lifts < LIKELY:
        said.append(f"It does not leave the ground: {quantities['take_off_distance'].reason}")
    elif lifts < SURELY:
        said.append(f"In {100.0 * lifts:.0f} % of the cases that the bands allow it leaves the ground")
    if trap >= 0.1:
        said.append(
            f"Trap: in {100.0 * trap:.0f} % it lifts off near the ground and cannot climb out of it. If it skims along "
            "within a span of the ground and will not rise, shut the throttle and land straight ahead"
        )
    if field.strip is not None and lifts >= LIKELY and (quantities["strip_is_enough"].value or 0.0) < SURELY:
        said.append("The strip is too short to lift off and stop again if it must: use a longer one, or wait for wind")
    if field.obstacle is not None and lifts >= LIKELY and (quantities["clears_obstacle"].value or 0.0) < SURELY:
        share = 100.0 * (quantities["clears_obstacle"].value or 0.0)
        said.append(f"It clears the obstacle in {share:.0f} % only: take off the other way")
    spin = _value(quantities, "lift_off_spin")
    if spin is not None and spin < 0.8:
        said.append(
            "It leaves the ground before its rotors are up to speed: start them by hand or hold it into the wind first"
        )
    return said


def _throw_advice(ready: Ready, quantities: dict[str, Quantity], flies: float) -> list[str]:
    mass = float(ready.flown.numbers.vehicle["mass"][0])
    works = quantities["throw_works"].value or 0.0
    if mass > HEAVIEST_THROWN:
        return [f"It is too heavy to throw with one hand (beyond {HEAVIEST_THROWN:.0f} kg)"]
    if flies < LIKELY:
        return []
    if works >= SURELY:
        turning = ", rotors turning before they let go" if len(ready.flown.rows.rotors) else ""
        return [f"One person can throw it{turning}"]
    if works >= LIKELY:
        return [f"A throw works in {100.0 * works:.0f} % only: a headwind or a bungee makes it safe"]
    return ["A throw is too slow for it"]


def _landing_advice(quantities: dict[str, Quantity], rotors: bool) -> list[str]:
    left = _value(quantities, "cut_lift_left")
    if not rotors:
        return ["A plain wing flares: these figures are those of a landing without it"]
    said = ["It has no flare: raising the nose makes no lift. Fly it onto the ground with power and ease the power off"]
    if left is not None and left < 0.75:
        said.append(
            f"Cut everything and after one second {100.0 * left:.0f} % of its weight is carried: shut the throttle "
            "only when the wheels have touched"
        )
    return said


def _cautions(ready: Ready, wheels: bool) -> list[str]:
    said = [
        "Local rules and your club's safety officer come first; measure the wind, most people guess it wrongly",
        "Nobody stands ahead of or beside the run, or in the plane of a propeller or rotor disc",
    ]
    if ready.flown.numbers.vehicle["mass"][0] <= HEAVIEST_THROWN:
        said.append(
            "Throw from below and behind the rotors, a second person at the sticks. A bungee is staked twice, nobody "
            "in its line"
        )
    if wheels:
        said.append("Mark the abort point before the run: still rolling there, shut everything off")
    return said
