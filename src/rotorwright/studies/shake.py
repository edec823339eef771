"""Shake: at which speeds the rotors of an aeroplane shake, how badly, how far its flight stays from them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.catalogue.reader import rule
from rotorwright.studies.document_head import head
from rotorwright.studies.evaluate import factors_for, fly
from rotorwright.studies.shake_bands import (
    KeepOut,
    criticals_of,
    first_band,
    inequality_of,
    is_unequal,
    keep_outs,
    quantity_of,
)
from rotorwright.studies.shake_fixes import Fix, clear_share, try_fixes
from rotorwright.studies.shake_model import RotorShaft, mount_exponent, rotor_shaft
from rotorwright.studies.shake_others import OtherShaker, other_shakers
from rotorwright.studies.shake_response import belt_load, response_quantities
from rotorwright.studies.shake_speeds import RotorSpeeds, rotor_speeds

Floats = npt.NDArray[np.float64]

SCHEMA = 1
FIX_SAMPLES = 32
WORDS = (
    (0.9, "clear"),
    (0.7, "should be clear"),
    (0.3, "a gamble"),
    (0.1, "likely to shake"),
    (0.0, "shakes in flight"),
)


@dataclass(frozen=True)
class RotorShake:
    """One rotor: where it shakes, where it turns, what moves the bands."""

    shaft: RotorShaft
    word: str
    clear: float
    """Share of samples in which no flight condition meets a band to avoid."""
    bands: tuple[KeepOut, ...]
    quantities: dict[str, Quantity]
    fixes: tuple[Fix, ...]
    notes: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            "rotor": self.shaft.name,
            "rotors": list(self.shaft.rotors),
            "word": self.word,
            "clear": self.clear,
            "bands": [
                {
                    "name": band.name, "cause": band.cause, "how": band.how, "order": band.order, "low": band.low,
                    "high": band.high, "critical": band.critical.as_dict(), "upper": band.upper.as_dict(),
                }
                for band in self.bands
            ],
            "quantities": {name: quantity.as_dict() for name, quantity in self.quantities.items()},
            "fixes": [fix.as_dict() for fix in self.fixes],
            "notes": list(self.notes),
        }  # fmt: skip


@dataclass(frozen=True)
class Shake:
    """The rotors of an aeroplane with their keep-out bands on its own line of rotor speed over airspeed."""

    aeroplane: Aeroplane
    speeds: RotorSpeeds
    rotors: tuple[RotorShake, ...]
    others: tuple[OtherShaker, ...]
    notes: tuple[str, ...]
    samples: int
    seed: int

    @property
    def word(self) -> str:
        """Return the verdict of the worst rotor."""
        return min(self.rotors, key=lambda rotor: rotor.clear).word

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        first = self.rotors[0]
        worst = min(self.rotors, key=lambda rotor: rotor.clear)
        return {
            **head(self.aeroplane, {"samples": self.samples, "seed": self.seed}, SCHEMA),
            "quantities": {name: quantity.as_dict() for name, quantity in first.quantities.items()},
            "verdict": None,
            "shake": {
                "word": worst.word,
                "clear": worst.clear,
                "changes": [fix.words for fix in worst.fixes if fix.gained > 0.02][:3],
            },
            "rotors": [rotor.as_dict() for rotor in self.rotors],
            "other_shakers": [other.as_dict() for other in self.others],
            "warnings": list(self.notes),
        }


def shake(
    aeroplane: Aeroplane,
    *,
    samples: int = 64,
    seed: int = 0,
    nominal_only: bool = False,
    sag: float | None = None,
    rig: float | None = None,
) -> Shake:
    """Say at which speeds the rotors of an aeroplane shake.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`; with one rotor at least.
    samples, seed : int
        Samples of the Unknowns behind the bands, at most 1024, and the seed that shifts them.
    nominal_only : bool
        Every Unknown at its median.
    sag : float, optional
        Measured sag of the first rotor at mid-span, hung on its own bearings [m].
    rig : float, optional
        The test rig's own resonance [rad/s].

    Returns
    -------
    Shake

    Raises
    ------
    InputError
        If the aeroplane has no rotor.
    """
    if not aeroplane.tables.rotor:
        raise InputError("describes no rotor, so nothing spins", field="rotor")
    count = 0 if nominal_only else samples
    flown = fly(aeroplane, samples=count, seed=seed, few=True)
    speeds = rotor_speeds(flown)
    factors, _ = factors_for(count, seed)
    rotors = []
    for number, name in enumerate(aeroplane.tables.rotor):
        shaft = rotor_shaft(aeroplane, flown.rows, name, factors)
        rotors.append(_rotor(aeroplane, shaft, speeds, factors, sag if number == 0 else None))
    others = other_shakers(aeroplane, [rotor.shaft for rotor in rotors], speeds, rig)
    return Shake(aeroplane, speeds, tuple(rotors), others, _notes(aeroplane, rotors), count, seed)


def word_for_clear(clear: float) -> str:
    """Return the verdict word for a share of clear samples."""
    return next(word for least, word in WORDS if clear >= least)


def _rotor(
    aeroplane: Aeroplane, shaft: RotorShaft, speeds: RotorSpeeds, factors: npt.NDArray[Any], sag: float | None
) -> RotorShake:
    forward, backward = criticals_of(shaft)
    fastest = float(np.nanmax(speeds.fastest)) if np.isfinite(speeds.fastest).any() else math.inf
    bands = keep_outs(shaft, fastest, speeds.ratio, forward, backward)
    clear = clear_share(bands, speeds.slowest, speeds.fastest)
    nominal_clear = all(
        speeds.slowest[0] > band.upper_edges[0] or speeds.fastest[0] < band.lower_edges[0]
        for band in bands
        if band.how == "avoid"
    )
    word = word_for_clear(clear) if len(factors) > 1 else "clear" if nominal_clear else "shakes in flight"
    support = "beyond data"
    sources = ("friswell2010", "mechanics")
    first = first_band(shaft, forward)
    quantities = {
        "first_critical": first.critical,
        "first_critical_backward": quantity_of(backward[:, 0], "rad/s", support, sources),
        "shake_level_speed": speeds.reader.quantity(speeds.level, "rad/s", sources, "it cannot hold its height"),
        "shake_slowest": speeds.reader.quantity(speeds.slowest, "rad/s", sources, "it cannot hold its height"),
        "shake_fastest": speeds.reader.quantity(speeds.fastest, "rad/s", sources, "it cannot hold its height"),
        "shake_margin": quantity_of(_margin(first, speeds), "1", support, sources, "it cannot hold its height"),
        "rotor_turning_mass": quantity_of(shaft.mass, "kg", "inside data", ("meriam2012",)),
        "rotor_damping_ratio": quantity_of(shaft.damping, "1", support, sources),
    }
    if is_unequal(shaft):
        quantities["first_critical_upper"] = first.upper
        unequal = inequality_of(shaft)
        assert unequal is not None
        quantities["bending_inequality"] = quantity_of(unequal, "1", support, sources)
    quantities |= response_quantities(shaft, speeds, first, sag)
    rotor = aeroplane.tables.rotor[shaft.name]
    if rotor.drive != "free":
        drive = aeroplane.tables.drive[rotor.drive]
        tension = drive.belt_tension or rule("belt", "tension").value
        quantities |= belt_load(shaft, tension, -1.0 if rotor.position[1] > 0.0 else 1.0)
    some = 1 + min(FIX_SAMPLES, len(factors) - 1)
    slow, fast = speeds.slowest[:some], speeds.fastest[:some]
    before = clear_share(bands_cut(bands, some), slow, fast)
    fixes: tuple[Fix, ...] = ()
    if clear < WORDS[0][0] or not nominal_clear:
        fixes = try_fixes(aeroplane, shaft.name, factors[:some], slow, fast, before, float(shaft.mass[0]))
    return RotorShake(shaft, word, clear, tuple(bands), quantities, fixes, shaft.notes)


def bands_cut(bands: list[KeepOut], cases: int) -> list[KeepOut]:
    """Return bands with their first cases only."""
    from dataclasses import replace

    return [replace(band, lower_edges=band.lower_edges[:cases], upper_edges=band.upper_edges[:cases]) for band in bands]


def _margin(first: KeepOut, speeds: RotorSpeeds) -> Floats:
    """Return how far level flight stays from the first critical, as a share of it; negative: above it."""
    clear = first.lower_edges / (1.0 - 0.15)
    return np.asarray(1.0 - speeds.level / clear, dtype=np.float64)


def _notes(aeroplane: Aeroplane, rotors: list[RotorShake]) -> tuple[str, ...]:
    notes = []
    for rotor in rotors:
        notes += [f"rotor.{rotor.shaft.name}: {note}" for note in rotor.notes]
        exponent = mount_exponent(aeroplane, rotor.shaft.name)
        if exponent > 1.0:
            notes.append(
                f"rotor.{rotor.shaft.name}: how stiff the bearing mounts are is not told, and it decides; hang a "
                f"weight on one, read how far it gives, and tell rotor.{rotor.shaft.name}.shaft.mount_stiffness"
            )
        elif exponent == 1.0:
            notes.append(
                f"rotor.{rotor.shaft.name}: the mounts are known by a word only, good to a factor of three; hang a "
                "weight on one and tell its stiffness"
            )
    notes.append(
        "no measured critical speed of a foam or wooden rotor was found: the skin's share, mounts and damping are "
        "judgement, the shaft theory itself meets printed examples to 0.1 %; each rotor is reckoned alone"
    )
    return tuple(notes)
