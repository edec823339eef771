"""One ball or roller bearing alone: its rated life, as on a maker's data sheet."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

from rotorwright.base.constants import RPM
from rotorwright.base.errors import InputProblems, Problem
from rotorwright.base.quantity import Quantity, exact
from rotorwright.physics.structure.bearing_life import rated_revolutions

SOURCES = ("skf2018",)


@dataclass(frozen=True)
class BearingLife:
    """Rated life of a bearing: what nine of ten outlive, fatigue alone (not dirt, water or a bent shaft)."""

    equivalent_load: Quantity
    """[N]"""
    load_ratio: Quantity
    """C/P."""
    revolutions: Quantity
    """Turns."""
    life: Quantity
    """At the given speed [s]."""

    @property
    def hours(self) -> float:
        """Return the rated life in hours."""
        return (self.life.nominal or 0.0) / 3600.0

    @property
    def million_revolutions(self) -> float:
        """Return the rated life in millions of turns."""
        return (self.revolutions.nominal or 0.0) / 1.0e6

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI."""
        return {"quantities": {part.name: getattr(self, part.name).as_dict() for part in fields(self)}}


def bearing_life(
    *,
    load_rating: float,
    radial: float,
    axial: float = 0.0,
    x: float = 1.0,
    y: float = 0.0,
    exponent: float = 3,
    pair_factor: float = 1.0,
    life_factor: float = 1.0,
    rotor_speed: float,
) -> BearingLife:
    """Return the rated life of a rolling bearing.

    Parameters
    ----------
    load_rating : float
        Dynamic load rating C of one bearing [N].
    radial, axial : float
        Loads of the bearing, or of the pair [N].
    x, y : float
        Factors on radial and axial load: P = x F_r + y F_a.
    exponent : float
        3 for balls, 10/3 for rollers.
    pair_factor : float
        Factor on the load rating of a set; 1.62 for two like bearings side by side.
    life_factor : float
        Factor on the life for reliability and lubrication.
    rotor_speed : float
        [rad/s]

    Returns
    -------
    BearingLife
        Exact consequences of what was stated, so without a band.

    Raises
    ------
    InputProblems
        If a number cannot be used.

    Notes
    -----
    L = a 10⁶ (f C/P)^p turns. Source: ISO 281, by the SKF catalogue of rolling bearings, 2018 (read).
    """
    problems = []
    positive = {
        "load_rating": load_rating,
        "exponent": exponent,
        "pair_factor": pair_factor,
        "life_factor": life_factor,
    }
    for name, value in positive.items():
        if not 0.0 < value < 1e12:
            problems.append(Problem("must be above zero", field=name, found=f"{value:g}"))
    for name, value in {"radial": radial, "axial": axial, "x": x, "y": y}.items():
        if not 0.0 <= value < 1e12:
            problems.append(Problem("cannot be negative", field=name, found=f"{value:g}"))
    load = x * radial + y * axial
    if not problems and not load > 0.0:
        problems.append(Problem("make no load, so no life can be told", field="radial, axial"))
    if not abs(rotor_speed) > 0.0:
        problems.append(Problem("must not be zero", field="rotor_speed", found=f"{rotor_speed:g}"))
    if problems:
        raise InputProblems(problems)
    turns = life_factor * rated_revolutions(load_rating=pair_factor * load_rating, load=load, exponent=exponent)
    seconds = turns / (abs(rotor_speed) / (60.0 * RPM))
    return BearingLife(
        equivalent_load=exact(load, "N", SOURCES),
        load_ratio=exact(pair_factor * load_rating / load, "1", SOURCES),
        revolutions=exact(turns, "1", SOURCES),
        life=exact(seconds, "s", SOURCES),
    )
