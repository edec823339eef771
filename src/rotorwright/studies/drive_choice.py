"""Drum driven, vaned free or vaned driven? The same aeroplane three ways, flown side by side."""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import SimpleNamespace
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.fill import FilledRows, fill
from rotorwright.flight.batch import Progress, fly_batch
from rotorwright.flight.envelope import LEVEL, nodes_for
from rotorwright.flight.numbers import assemble
from rotorwright.flight.solver import GUESS_INNER
from rotorwright.flight.steady import COMMAND
from rotorwright.studies.absence import NO_BALANCE, reason
from rotorwright.studies.balance_quantities import Reader, design_support, read_quantities
from rotorwright.studies.document_head import head
from rotorwright.studies.drive_choice_spin_up import SpinUp, spin_up_plan
from rotorwright.studies.drive_choice_variants import Variant, thrust_after_reserve, variants_of
from rotorwright.studies.evaluate import Flown, factors_for, field_air, fly
from rotorwright.studies.held_flight import held_flight, level_or_held
from rotorwright.studies.sources import lift_sources, power_sources, torque_sources
from rotorwright.studies.verdict import probability_of_flight, word_for

Floats = npt.NDArray[np.float64]

SCHEMA = 1
STEPS = 9
"""Extra masses at which the reserve is looked up for the break-even."""
CEILING_SPEEDS = tuple(float(share) for share in np.linspace(0.3, 3.0, 28))
"""Rotor speeds tried for the ceiling, over the governed speed."""
READ = ("level_speed", "reserve_thrust", "thrust_to_spare", "lift_to_drag", "level_current", "endurance", "mass",
        "rotor_speed", "spin_ratio", "rim_speed", "glide_sink", "lift_lost_one_rotor_stopped")  # fmt: skip
DRIVEN = ("drive_current", "drive_loss", "spin_power", "spin_share")


@dataclass(frozen=True)
class FlownVariant:
    """One way of turning the rotors with what it gives and what it costs."""

    variant: Variant
    word: str
    probability: float | None
    nose_held: float
    """Share of samples in which the elevator can hold the nose in level flight, whatever the thrust."""
    quantities: dict[str, Quantity]
    ceiling_limit: str
    """What limits the rotor speed."""
    break_even: Quantity | None
    """Mass of all drives at which this leaves no more thrust after the reserve than vaned free [kg]."""
    spin_up: SpinUp | None

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        spin = self.spin_up
        return {
            "kind": self.variant.kind,
            "described": self.variant.described,
            "changes": list(self.variant.changes),
            "word": self.word,
            "probability": self.probability,
            "nose_held": self.nose_held,
            "quantities": {name: quantity.as_dict() for name, quantity in self.quantities.items()},
            "ceiling_limit": self.ceiling_limit,
            "break_even_drive_mass": None if self.break_even is None else self.break_even.as_dict(),
            "spin_up": None
            if spin is None
            else {
                "quantities": {name: quantity.as_dict() for name, quantity in spin.quantities().items()},
                "curve": {name: list(line) for name, line in spin.curve.items()},
                "notes": list(spin.notes),
            },
        }


@dataclass(frozen=True)
class DriveChoice:
    """The aeroplane three ways, in the order drum driven, vaned free, vaned driven."""

    aeroplane: Aeroplane
    variants: tuple[FlownVariant, ...]
    notes: tuple[str, ...]
    samples: int
    seed: int

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            **head(
                self.aeroplane,
                {
                    "reserve_climb": self.aeroplane.reserve.climb,
                    "reserve_bank": self.aeroplane.reserve.bank,
                    "samples": self.samples,
                    "seed": self.seed,
                },
                SCHEMA,
            ),
            "quantities": {
                f"break_even_drive_mass_{each.variant.kind.split()[0]}": each.break_even.as_dict()
                for each in self.variants
                if each.break_even is not None
            },
            "verdict": None,
            "drive_choice": [variant.as_dict() for variant in self.variants],
            "warnings": list(self.notes),
        }


def drive_choice(
    aeroplane: Aeroplane,
    *,
    samples: int = 128,
    seed: int = 0,
    nominal_only: bool = False,
    ramp_time: float | None = None,
    progress: Progress | None = None,
) -> DriveChoice:
    """Fly an aeroplane with driven drums, free vaned rotors and driven vaned rotors.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`; one of the three may be as it stands.
    samples, seed : int
        Samples of the Unknowns behind the bands, at most 1024, and the seed that shifts them; all three fly the same.
    nominal_only : bool
        Fly the median of every Unknown only.
    ramp_time : float, optional
        Time in which a drive shall bring its rotor up [s].
    progress : callable, optional
        Called with (steps done, steps in all).

    Returns
    -------
    DriveChoice

    Raises
    ------
    InputError
        If the aeroplane has no rotor or no battery.
    """
    count = 0 if nominal_only else samples
    variants = variants_of(aeroplane)
    flown: list[Flown] = []
    for done, variant in enumerate(variants):
        flown.append(fly(variant.aeroplane, samples=count, seed=seed))
        if progress is not None:
            progress(done + 1, len(variants) + 2)
    free = variants[1].aeroplane
    found = []
    for variant, there in zip(variants, flown, strict=True):
        found.append(_judged(variant, there, free, count, seed, ramp_time))
    if progress is not None:
        progress(len(variants) + 2, len(variants) + 2)
    return DriveChoice(aeroplane, tuple(found), _notes(tuple(found)), count, seed)


def _judged(
    variant: Variant, flown: Flown, free: Aeroplane, samples: int, seed: int, ramp_time: float | None
) -> FlownVariant:
    read = read_quantities(flown)
    quantities = {name: read[name] for name in READ if name in read}
    reader = Reader(flown, design_support(flown))
    held = np.isfinite(flown.envelope.figures["reserve_surplus"])
    nose = float(np.mean(held[1:] if samples else held))
    probability = probability_of_flight(flown)
    if probability is None:
        word = "flies" if flown.envelope.figures["reserve_surplus"][0] >= 0.0 else "does not fly"
    else:
        word = word_for(probability)
    if not len(flown.rows.drives):
        quantities["rotor_speed_ceiling"] = _free_ceiling(flown, reader)
        return FlownVariant(variant, word, probability, nose, quantities, "the wind of flight", None, None)
    quantities |= {name: read[name] for name in DRIVEN if name in read}
    quantities["drive_mass"] = _drive_mass(flown, reader)
    quantities["rotor_speed_ceiling"], limit = _ceiling(flown, reader)
    balance = break_even(variant.aeroplane, free, reader, samples=samples, seed=seed)
    level = level_or_held(flown)
    plan = None if level is None else spin_up_plan(flown, reader, level, ramp_time=ramp_time)
    return FlownVariant(variant, word, probability, nose, quantities, limit, balance, plan)


def _drive_rows(flown: Flown) -> npt.NDArray[np.bool_]:
    """Return which mass rows belong to drives: motors, belts, controllers."""
    drives = flown.rows.names.drives
    return np.array([any(name.startswith(f"{drive} ") for drive in drives) for name in flown.rows.names.masses])


def _drive_mass(flown: Flown, reader: Reader) -> Quantity:
    mass = float(flown.rows.masses["mass"][_drive_rows(flown)].sum())
    return reader.quantity(np.full(len(flown.numbers.vehicle), mass), "kg", ("mechanics",))


def _free_ceiling(flown: Flown, reader: Reader) -> Quantity:
    """Return the spin of a free rotor at its fastest level speed: its spin ratio stays, the wind grows."""
    level, figures = flown.envelope.steady[:, LEVEL], flown.envelope.figures
    speed = level["rotor_speed"] * figures["fastest_level"] / level["airspeed"]
    return reader.quantity(speed, "rad/s", torque_sources(flown), reason(flown, LEVEL, np.isfinite(speed)))


def _ceiling(flown: Flown, reader: Reader) -> tuple[Quantity, str]:
    """Return the fastest the drive can hold at level speed, and whether voltage or current ends it (nominal case)."""
    numbers, level = flown.numbers, level_or_held(flown)
    sources = torque_sources(flown) + power_sources(flown)
    cases = len(numbers.vehicle)
    if level is None:
        return reader.quantity(np.full(cases, np.nan), "rad/s", sources, NO_BALANCE), "not found"
    limits = [numbers.drives[name][:, :].max(axis=1) for name in ("motor_current_limit", "controller_current_limit")]
    limit = np.minimum(*(np.where(each > 0.0, each, np.inf) for each in limits))
    shares = np.array(CEILING_SPEEDS)
    duty, current = np.full((cases, len(shares)), np.nan), np.full((cases, len(shares)), np.nan)
    for place, share in enumerate(shares):
        faster = numbers._replace(drives=numbers.drives.copy(), vehicle=numbers.vehicle.copy())
        faster.drives["speed"] *= share
        faster.drives["governed"] = 1.0
        rows = held_flight(faster, level)
        rows.flight[:, COMMAND] = 1.0
        rows.solve((), GUESS_INNER)
        duty[:, place] = np.where(rows.found, rows.steady["drive_duty"], np.nan)
        current[:, place] = np.where(rows.found, rows.steady["drive_current"], np.nan)
    by_voltage = _crossing(shares, duty)
    by_current = _crossing(shares, current / limit[:, None])
    ceiling = np.fmin(by_voltage, by_current) * numbers.drives["speed"][:, 0]
    ends = by_voltage[0] <= by_current[0] or not math.isfinite(by_current[0])
    limit_words = "battery voltage: full duty" if ends else "current limit of motor or controller"
    return reader.quantity(ceiling, "rad/s", sources, "it lies outside what was tried"), limit_words


def _crossing(x: Floats, rows: Floats) -> Floats:
    """Return, for each row, where it first grows past one (straight line between points); NaN if it never does."""
    answer = np.full(len(rows), np.nan)
    for case, row in enumerate(rows):
        there = np.flatnonzero(row > 1.0)
        if not len(there):
            continue
        place = int(there[0])
        if place == 0 or not math.isfinite(row[place - 1]):
            answer[case] = x[place]
            continue
        share = (1.0 - row[place - 1]) / (row[place] - row[place - 1])
        answer[case] = x[place - 1] + share * (x[place] - x[place - 1])
    return answer


def reserve_over_mass(aeroplane: Aeroplane, extras: Floats, *, samples: int, seed: int = 0) -> Floats:
    """Return thrust after the reserve with mass added at the centre of gravity [N], shape (1 + samples, extras).

    Parameters
    ----------
    aeroplane : Aeroplane
    extras : array
        Added masses [kg], negative: taken off.
    samples, seed : int
        As `rotorwright.studies.evaluate.fly`.
    """
    factors, _ = factors_for(samples, seed)
    rows = fill(aeroplane)
    parts = {kind: getattr(rows, kind) for kind in FilledRows._fields if kind != "names"}
    many = np.repeat(factors, len(extras))
    numbers = assemble(SimpleNamespace(**parts), field_air(aeroplane), many)
    numbers.vehicle["mass"] += np.tile(extras, len(factors))
    reserve = aeroplane.reserve
    nodes = nodes_for(numbers)
    envelope = fly_batch(numbers, nodes, reserve.climb, reserve.bank, thorough=False)
    left = thrust_after_reserve(envelope.figures, numbers.vehicle["mass"] * numbers.air["gravity"])
    return np.asarray(left, dtype=np.float64).reshape(len(factors), len(extras))


def break_even(driven: Aeroplane, free: Aeroplane, reader: Reader, *, samples: int, seed: int = 0) -> Quantity:
    """Return the mass of all drives at which driving leaves no more thrust after the reserve than not driving.

    Parameters
    ----------
    driven, free : Aeroplane
        The two ways; every sample of the Unknowns flies both.
    reader : Reader
        Of the driven one, without samples if ``samples`` is 0.
    samples, seed : int
        As `rotorwright.studies.evaluate.fly`.

    Returns
    -------
    Quantity
        [kg]; 0 where even a drive without mass does not pay.

    Notes
    -----
    Root of reserve(driven + extra) − reserve(free) over the extra mass at the balance point, between a drive without
    mass and one and a half times the aeroplane's mass more; thrust after the reserve falls almost evenly with mass.
    """
    mass = float(reader.flown.rows.masses["mass"][_drive_rows(reader.flown)].sum())
    whole = float(fill(driven).masses["mass"].sum())
    extras = np.concatenate([[-mass], np.linspace(0.0, 1.5 * whole, STEPS - 1)])
    gain = reserve_over_mass(driven, extras, samples=samples, seed=seed)
    gain = gain - reserve_over_mass(free, np.zeros(1), samples=samples, seed=seed)
    roots = np.array([_falls_to_nothing(extras, row) for row in gain])
    sources = lift_sources(reader.flown) + power_sources(reader.flown)
    return reader.quantity(mass + roots, "kg", sources)


def _falls_to_nothing(x: Floats, gains: Floats) -> float:
    """Return where a falling gain crosses zero; the first x if it never pays, the last if it always does."""
    if gains[0] <= 0.0:
        return float(x[0])
    place = int(np.argmax(gains <= 0.0))
    if place == 0:
        return float(x[-1])
    share = gains[place - 1] / (gains[place - 1] - gains[place])
    return float(x[place - 1] + share * (x[place] - x[place - 1]))


def _notes(variants: tuple[FlownVariant, ...]) -> tuple[str, ...]:
    notes = ["the ceiling of rotor speed knows the drive only: bending resonance and strength of the rim come on top"]
    if any(not each.variant.described for each in variants):
        notes.append(
            "what is not in the file is laid out by rule: discs usual for the kind, a motor sized for the torque, "
            "belt, mount and controller from the catalogue, the tailplane set anew"
        )
    notes.append("lift and drag of vaned rotors rest on very few measurements: their bands decide the comparison")
    notes.append("a driven drum stops lifting when its drive stops; a vaned rotor goes on turning in the wind")
    return tuple(notes)
