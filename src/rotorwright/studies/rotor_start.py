"""How one rotor starts, comes up to speed, swings within a turn and loses its spin: `rotor_start`."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from difflib import get_close_matches
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import SUPPORT_WORDS, Quantity, from_samples
from rotorwright.base.records import PLATE
from rotorwright.physics.rotor.parked import ANGLES, hill_work, kick_spin_ratio, parked_torque, starting_airspeed
from rotorwright.physics.rotor.ripple import pulses_per_turn, ripple_shares, speed_ripple
from rotorwright.physics.rotor.support import rotor_support, vaned_force_support
from rotorwright.physics.rotor.tables import OVERLAP_SLOPE, OVERLAP_TORQUE, rotor_tables
from rotorwright.physics.rotor.vaned import bucket_line
from rotorwright.studies import rotor_start_batch as batch
from rotorwright.studies.bench_inputs import number
from rotorwright.studies.bench_rotor import bench_factors, rotor_alone, with_fit
from rotorwright.studies.bench_rotor_input import check_bench, rotor_row

Floats = npt.NDArray[np.float64]

PLACE = "rotor_start"
MORE_FRICTION = 1.0e-3
"""Extra friction whose cost in spin is told [N m]."""
UP_TO = 0.9
"""Share of the freewheel or drive speed that counts as up to speed."""
ROWS = 241
PARKED = ("sheldahl1978", "bearing-makers")
PLATE_PARKED = ("pomerenk2024", "bearing-makers")
TORQUE = ("sheldahl1978", "kamoji2008", "mechanics")
PLATE_SPIN = ("aqeel2025", "iversen1979", "mechanics")
DRUM_SPIN = ("theodorsen1944", "bird1960", "mechanics")
RIPPLE = ("marinic2020", "common-practice")
PLATE_RIPPLE = ("smith1970", "pomerenk2024")


@dataclass(frozen=True)
class RotorStart:
    """Start, spin-up, ripple and loss of spin of one rotor; a quantity that was not asked for is None.

    ``curves`` holds histories for pictures: name → axis and bands as tuples of SI numbers.
    """

    breakout_torque: Quantity | None = None
    parked_torque_least: Quantity | None = None
    parked_torque_most: Quantity | None = None
    dead_angle: Quantity | None = None
    start_airspeed: Quantity | None = None
    start_airspeed_best: Quantity | None = None
    kick_speed: Quantity | None = None
    friction_limit: Quantity | None = None
    spin_lost: Quantity | None = None
    time_constant: Quantity | None = None
    spin_up_time: Quantity | None = None
    spin_up_distance: Quantity | None = None
    hand_spin_gain: Quantity | None = None
    run_time: Quantity | None = None
    run_distance: Quantity | None = None
    run_spin_share: Quantity | None = None
    drive_spin_up_time: Quantity | None = None
    lift_left_at_once: Quantity | None = None
    lift_time: Quantity | None = None
    lift_ripple: Quantity | None = None
    drag_ripple: Quantity | None = None
    torque_ripple: Quantity | None = None
    speed_ripple: Quantity | None = None
    curves: Mapping[str, Mapping[str, tuple[float, ...]]] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    event: tuple[float, float, float] | None = None
    """What the lift is lost to: airspeed before and after [m/s], and the share of the lift at which time stops [1]."""

    def quantities(self) -> dict[str, Quantity]:
        """Return what there is by name, in reading order."""
        return {part.name: value for part in fields(self) if isinstance(value := getattr(self, part.name), Quantity)}


class _Case:
    """One question on its way: the rotor, its air, the factors, and how to make a quantity of samples."""

    def __init__(self, stated: dict[str, Any], breakout: float | None) -> None:
        self.row = rotor_row(stated)
        self.airspeed, self.density = float(stated["airspeed"]), float(stated["air_density"])
        self.viscosity = float(stated["air_viscosity"])
        self.radius = 0.5 * float(stated["diameter"])
        self.area = float(stated["span"]) * float(stated["diameter"])
        self.pressure = 0.5 * self.density * self.airspeed**2
        self.reynolds = self.airspeed * 2.0 * self.radius * self.density / self.viscosity
        self.factors = bench_factors(stated)
        self.tables = rotor_tables()
        self.vaned = stated["kind"] == "vaned"
        self.plate = self.vaned and self.row["section"] == PLATE
        self.free = self.vaned and stated["rotor_speed"] is None and stated["spin_ratio"] is None
        self.speed = 0.0
        if stated["rotor_speed"] is not None:
            self.speed = float(stated["rotor_speed"])
        elif stated["spin_ratio"] is not None:
            self.speed = float(stated["spin_ratio"]) * self.airspeed / self.radius
        running = float(stated["bearing_torque"])
        self.breakout = (
            running * self.factors["breakout_friction"] if breakout is None else np.full(len(self.factors), breakout)
        )
        self.spin_sources = PLATE_SPIN if self.plate else TORQUE if self.vaned else DRUM_SPIN
        self.word = SUPPORT_WORDS[1]

    def quantity(
        self, numbers: Any, unit: str, sources: tuple[str, ...], word: str | None = None, reason: str = ""
    ) -> Quantity:
        samples = np.asarray(numbers, dtype=np.float64) + 0.0
        return from_samples(
            samples[1:], float(samples[0]), unit, support=word or self.word, sources=sources, reason=reason
        )


def rotor_start(
    *,
    breakout_torque: float | None = None,
    hand_speed: float = 0.0,
    run_acceleration: float | None = None,
    slow_to: float | None = None,
    lift_share: float = 0.6,
    drive_torque: float | None = None,
    **rotor: Any,
) -> RotorStart:
    """Return how one rotor starts, comes up to speed, swings within a turn and loses its spin.

    Parameters
    ----------
    breakout_torque : float, optional
        Friction of the bearings at rest, measured [N m]; else the running friction times the factor
        breakout_friction.
    hand_speed : float
        Spin given by hand before the start [rad/s].
    run_acceleration : float, optional
        Of a take-off run from rest up to ``airspeed`` [m/s²].
    slow_to : float, optional
        Airspeed to which a running rotor drops at once [m/s]; a freewheeling one drops to 0.7 of its airspeed unless
        told, a driven one keeps its airspeed and loses its drive.
    lift_share : float
        Share of the lift before, down to which the seconds are counted [1].
    drive_torque : float, optional
        What a drive gives at the rotor's shaft up to the rotor speed asked for [N m].
    **rotor
        The rotor, its airspeed and air as for `rotor_alone`. With neither spin_ratio nor rotor_speed a vaned rotor
        freewheels. Times need ``polar_inertia``.

    Returns
    -------
    RotorStart

    Raises
    ------
    InputProblems
        When an argument cannot be used.

    Notes
    -----
    Formulas, ranges and sources: docs/physics/rotor-start.md.
    """
    stated = _stated(rotor)
    limits = {"hand_speed": (0.0, 2e4, "rad/s"), "lift_share": (0.01, 0.99, "1")}
    limits |= {"breakout_torque": (0.0, 1e3, "N m"), "run_acceleration": (0.05, 100.0, "m/s²")}
    limits |= {"slow_to": (0.0, 150.0, "m/s"), "drive_torque": (1e-6, 1e3, "N m")}
    given = {"hand_speed": hand_speed, "lift_share": lift_share, "breakout_torque": breakout_torque}
    given |= {"run_acceleration": run_acceleration, "slow_to": slow_to, "drive_torque": drive_torque}
    for name, (low, high, unit) in limits.items():
        if given[name] is not None:
            number(name, given[name], low=low, high=high, unit=unit, place=PLACE)
    case = _Case(stated, breakout_torque)
    if slow_to is not None and slow_to > case.airspeed:
        found_there, allowed = f"{slow_to:g} m/s", f"0 m/s to the airspeed, {case.airspeed:g} m/s"
        raise InputError(
            "is not slower than the airspeed it drops from", place=PLACE, field="slow_to", found=found_there,
            allowed=allowed,
        )  # fmt: skip
    if drive_torque is not None and not case.speed > 0.0:
        raise InputError("needs the speed of the drive", place=PLACE, field="drive_torque", hint="Give rotor_speed.")
    later = slow_to if slow_to is not None else (0.7 * case.airspeed if case.free else case.airspeed)
    out = np.empty((len(case.factors), batch.COLUMNS))
    stiffer = case.row.copy()
    stiffer["bearing_torque"] += MORE_FRICTION
    batch.start_batch(
        case.row, stiffer, case.tables, case.airspeed, case.speed, 1.0 if case.free else 0.0, float(hand_speed), UP_TO,
        float(later), case.density, case.viscosity, case.factors, out,
    )  # fmt: skip
    spin = float(out[0, batch.RUNNING]) * case.radius / case.airspeed if case.airspeed > 0.0 else 0.0
    case.word = SUPPORT_WORDS[int(rotor_support(case.row, spin, case.reynolds))]
    found: dict[str, Any] = {}
    curves: dict[str, dict[str, tuple[float, ...]]] = {}
    notes: list[str] = []
    if case.vaned and case.airspeed > 0.0:
        found |= _parked(case, out)
        found |= _ripple(case, out, spin)
    if case.free and case.airspeed > 0.0:
        found |= _coming_up(case, out, hand_speed)
        curves["freewheel"] = _freewheel_curve(case)
    if case.row["polar_inertia"] > 0.0 and out[0, batch.RUNNING] > 0.0:
        if case.free and run_acceleration is not None:
            found |= _run(case, out, run_acceleration, hand_speed)
        if drive_torque is not None:
            found |= _driven(case, drive_torque)
        found |= _losing(case, out, float(later), lift_share, curves)
    elif not case.row["polar_inertia"] > 0.0:
        notes.append("times of spin-up and loss of spin need the inertia of what turns")
    if case.plate:
        notes.append("a plate hangs broadside to the wind and has no mean torque at rest: spin it by hand")
    event = (case.airspeed, float(later), lift_share) if "lift_time" in found else None
    return RotorStart(**found, curves=curves, notes=tuple(notes), event=event)


def _stated(rotor: dict[str, Any]) -> dict[str, Any]:
    defaults: dict[str, Any] = dict(rotor_alone.__kwdefaults__ or {})
    needed = ("kind", "diameter", "span", "airspeed")
    for name in rotor:
        if name not in defaults and name not in needed:
            near = get_close_matches(name, (*defaults, *needed), n=1)
            raise InputError(
                "is not an argument", place=PLACE, field=name, hint=f"Did you mean {near[0]}?" if near else ""
            )
    for name in needed:
        if name not in rotor:
            raise InputError("is needed", place=PLACE, field=name)
    stated = {**defaults, **rotor}
    still = stated["spin_ratio"] is None and stated["rotor_speed"] is None
    check_bench({**stated, "free": True} if still else stated)
    return with_fit(stated)


def _parked(case: _Case, out: Floats) -> dict[str, Quantity]:
    row, factors = case.row, case.factors
    torque = parked_torque(
        row, ANGLES, out[:, batch.STILL], case.pressure, case.reynolds, np.array(factors["parked_contrast"])
    )
    if case.plate:
        torque = torque * np.array(factors["vane_ripple"])[:, None]
    sources = PLATE_PARKED if case.plate else PARKED
    measured = not case.plate and 3.5e5 <= case.reynolds <= 9e5
    word = SUPPORT_WORDS[0] if measured and row["stages"] < 1.5 else SUPPORT_WORDS[1 if measured else 2]
    least, most = torque.min(axis=1), torque.max(axis=1)
    scale = case.pressure * case.area * case.radius

    def airspeed(torques: Floats) -> list[float]:
        return [
            starting_airspeed(float(held), float(each) / scale, case.density, float(row["span"]), 2.0 * case.radius)
            for held, each in zip(case.breakout, torques, strict=True)
        ]

    dead = np.mean(torque <= case.breakout[:, None], axis=1) * math.pi
    hangs = "there are angles at which the air turns it back and it hangs"
    found = {
        "breakout_torque": case.quantity(case.breakout, "N m", ("bearing-makers",), SUPPORT_WORDS[1]),
        "parked_torque_least": case.quantity(least, "N m", sources, word),
        "parked_torque_most": case.quantity(most, "N m", sources, word),
        "dead_angle": case.quantity(dead, "rad", sources, word),
        "start_airspeed": case.quantity(airspeed(least), "m/s", sources, word, hangs),
        "start_airspeed_best": case.quantity(airspeed(most), "m/s", sources, word),
    }
    if case.plate and row["polar_inertia"] > 0.0:
        inertia_ratio = float(row["polar_inertia"]) / (case.density * (2.0 * case.radius) ** 4 * float(row["span"]))
        hill = hill_work(torque[:1])[0] / scale
        kick = kick_spin_ratio(inertia_ratio, float(hill)) * case.airspeed / case.radius
        found["kick_speed"] = case.quantity(kick * factors["plate_kick"], "rad/s", ("pomerenk2024", "mechanics"), word)
    return found


def _ripple(case: _Case, out: Floats, spin: float) -> dict[str, Quantity]:
    row, factors = case.row, case.factors
    lift, drag, torque = ripple_shares(row)
    swing = factors["vane_ripple"]
    scale = case.pressure * case.area * case.radius
    if case.plate:
        coefficient = np.full(len(factors), torque)
    else:
        curves, log_reynolds = case.tables.curves, math.log(case.reynolds + 100.0)
        lines = [bucket_line(row, curves[OVERLAP_TORQUE], curves[OVERLAP_SLOPE], log_reynolds, one) for one in factors]
        coefficient = torque * np.array([line[0] for line in lines])
    torques = swing * scale * coefficient
    pulses, inertia = pulses_per_turn(row), float(row["polar_inertia"])
    sources = PLATE_RIPPLE if case.plate else RIPPLE
    word = SUPPORT_WORDS[int(vaned_force_support(row, spin, case.reynolds))]
    found = {
        "lift_ripple": case.quantity(swing * lift * np.abs(out[:, batch.LIFT]), "N", sources, word),
        "drag_ripple": case.quantity(swing * drag * out[:, batch.DRAG], "N", sources, word),
        "torque_ripple": case.quantity(torques, "N m", sources),
    }
    if inertia > 0.0:
        speeds = [
            speed_ripple(float(one), inertia, float(speed), pulses)
            for one, speed in zip(torques, out[:, batch.RUNNING], strict=True)
        ]
        found["speed_ripple"] = case.quantity(speeds, "1", sources, reason="it does not turn")
    return found


def _coming_up(case: _Case, out: Floats, hand_speed: float) -> dict[str, Quantity]:
    sources = case.spin_sources
    lost = out[:, batch.RUNNING] - out[:, batch.WITH_MORE]
    found = {
        "friction_limit": case.quantity(out[:, batch.MOST_FRICTION], "N m", sources),
        "spin_lost": case.quantity(lost, "rad/s", sources),
    }
    if case.row["polar_inertia"] > 0.0:
        stalls = "it does not come up from there by itself: it needs a faster hand or a drive"
        first = out[:, batch.FROM_HAND]
        found["time_constant"] = case.quantity(out[:, batch.SETTLING], "s", sources, reason="it does not run")
        found["spin_up_time"] = case.quantity(first, "s", sources, reason=stalls)
        found["spin_up_distance"] = case.quantity(first * case.airspeed, "m", sources, reason=stalls)
        if hand_speed > 0.0:
            gain = out[:, batch.FROM_REST] - first
            found["hand_spin_gain"] = case.quantity(gain, "s", sources, reason="from rest it never comes up")
    return found


def _freewheel_curve(case: _Case) -> dict[str, tuple[float, ...]]:
    airspeeds = np.linspace(0.2, 1.5, 14) * case.airspeed
    speeds = np.empty((len(case.factors), len(airspeeds)))
    batch.freewheel_batch(case.row, case.tables, airspeeds, case.density, case.viscosity, case.factors, speeds)
    return {"airspeed": tuple(map(float, airspeeds)), **_banded(speeds)}


def _banded(rows: Floats) -> dict[str, tuple[float, ...]]:
    low, middle, high = np.quantile(rows[1:], (0.1, 0.5, 0.9), axis=0)
    return {
        name: tuple(float(number) for number in line)
        for name, line in (("value", middle), ("low", low), ("high", high), ("nominal", rows[0]))
    }


def _histories(
    case: _Case, starts: Floats, airspeeds: tuple[float, float], acceleration: float, drive: float, seconds: float
) -> tuple[Floats, Floats]:
    step = seconds / (ROWS - 1)
    out = np.empty((len(case.factors), ROWS, 4))
    batch.history_batch(
        case.row, case.tables, np.ascontiguousarray(starts), *airspeeds, acceleration, drive, case.speed, step,
        case.density, case.viscosity, case.factors, out,
    )  # fmt: skip
    return np.asarray(step * np.arange(ROWS), dtype=np.float64), out


def _first(times: Floats, there: Floats, beyond: npt.NDArray[np.bool_]) -> Floats:
    """Return, per case, the time at which ``there`` first holds; NaN if it never does; straight line between rows."""
    answer = np.full(len(there), np.nan)
    for case, (numbers, mask) in enumerate(zip(there, beyond, strict=True)):
        hits = np.flatnonzero(mask)
        if len(hits) == 0:
            continue
        place = int(hits[0])
        if place == 0:
            answer[case] = times[0]
            continue
        before, after = numbers[place - 1], numbers[place]
        answer[case] = times[place - 1] + (times[place] - times[place - 1]) * before / (before - after)
    return answer


def _run(case: _Case, out: Floats, acceleration: float, hand_speed: float) -> dict[str, Quantity]:
    settling = float(np.nanmax(out[:, batch.SETTLING]))
    rolling = case.airspeed / acceleration
    times, rows = _histories(
        case, np.full(len(case.factors), float(hand_speed)), (0.0, case.airspeed), acceleration, 0.0,
        rolling + 8.0 * settling,
    )  # fmt: skip
    missing = UP_TO * out[:, batch.RUNNING][:, None] - rows[:, :, 0]
    running = out[:, batch.RUNNING] > 0.0
    seconds = np.where(running, _first(times, missing, missing <= 0.0), np.nan)
    distance = np.array(
        [
            np.interp(at, times, row[:, 3]) if math.isfinite(at) else math.nan
            for at, row in zip(seconds, rows, strict=True)
        ]
    )
    end = np.array([np.interp(rolling, times, row[:, 0]) for row in rows])
    share = np.where(running, end / np.where(running, out[:, batch.RUNNING], 1.0), np.nan)
    stalls = "it does not come up on this run: give it more spin by hand"
    return {
        "run_time": case.quantity(seconds, "s", case.spin_sources, reason=stalls),
        "run_distance": case.quantity(distance, "m", case.spin_sources, reason=stalls),
        "run_spin_share": case.quantity(share, "1", case.spin_sources, reason=stalls),
    }


def _driven(case: _Case, drive_torque: float) -> dict[str, Quantity]:
    guess = float(case.row["polar_inertia"]) * case.speed / drive_torque
    times, rows = _histories(
        case, np.zeros(len(case.factors)), (case.airspeed, case.airspeed), 1.0, float(drive_torque), 20.0 * guess
    )
    missing = UP_TO * case.speed - rows[:, :, 0]
    seconds = _first(times, missing, missing <= 0.0)
    weak = "the drive is too weak to reach that speed"
    return {"drive_spin_up_time": case.quantity(seconds, "s", case.spin_sources, reason=weak)}


def _losing(
    case: _Case, out: Floats, later: float, share: float, curves: dict[str, dict[str, tuple[float, ...]]]
) -> dict[str, Quantity]:
    lift = out[:, batch.LIFT]
    if not lift[0] > 0.0:
        return {}
    slow = float(np.nanmedian(out[:, batch.LOSING]))
    if case.free:
        slow = float(np.nanmedian(out[:, batch.SETTLING])) * case.airspeed / max(later, 0.1 * case.airspeed)
    times, rows = _histories(case, out[:, batch.RUNNING].copy(), (later, later), 1.0, 0.0, 12.0 * slow)
    left = rows[:, :, 2] / np.where(lift > 0.0, lift, np.nan)[:, None]
    seconds = _first(times, left - share, left <= share)
    keeps = f"more than {100 * share:.0f} % of the lift stays"
    curves["losing"] = {"time": tuple(map(float, times)), **_banded(np.nan_to_num(left))}
    sources = case.spin_sources
    return {
        "lift_left_at_once": case.quantity(left[:, 0], "1", sources),
        "lift_time": case.quantity(seconds, "s", sources, reason=keeps),
    }
