"""What softens first: materials with the temperature they bear, against what a plan and full throttle make of it."""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity
from rotorwright.studies.balance_quantities import Reader
from rotorwright.studies.heat_plan import HEAT_SOURCES, ZERO, HeatBench, Warmed
from rotorwright.studies.power_plan import FULL, LEVEL, Phase
from rotorwright.studies.sources import power_sources

FILE = Path(__file__).parent / "data" / "softening.toml"
WARM_UP, BURST = 180.0, 600.0
NODE_OF = {"winding": "winding", "case": "case", "mount": "case", "pack": "pack", "controller": "controller"}


@dataclass(frozen=True)
class Material:
    """Something that softens, melts or fails: limits in kelvin."""

    name: str
    where: str
    limit: float
    low: float
    high: float
    source: str


@dataclass(frozen=True)
class Softening:
    """One material against this aeroplane."""

    material: Material
    peak: Quantity
    """Warmest it gets over the plan [K]."""
    in_plan: float | None
    """Time in the plan at which it reaches its limit [s], nominal; None if it does not."""
    at_full: Quantity
    """Full throttle from the warmth of level flight until then [s]; at most ten minutes are looked at."""


@lru_cache(maxsize=4)
def materials(path: Path = FILE) -> tuple[Material, ...]:
    """Return the table of materials.

    Parameters
    ----------
    path : Path
        TOML: a table for each material with where, limit, low, high [°C] and source.
    """
    told = tomllib.loads(path.read_text(encoding="utf-8"))
    return tuple(
        Material(
            name, str(row["where"]), float(row["limit"]) + ZERO, float(row["low"]) + ZERO, float(row["high"]) + ZERO,
            str(row["source"]),
        )
        for name, row in told.items()
    )  # fmt: skip


def material(name: str) -> Material:
    """Return one material by its name in the table.

    Parameters
    ----------
    name : str

    Raises
    ------
    InputError
        If there is none of that name.
    """
    found = next((each for each in materials() if each.name == name), None)
    if found is None:
        raise InputError("is not in the table of what softens", field="material", found=name,
                         allowed="; ".join(each.name for each in materials()))  # fmt: skip
    return found


def softening(bench: HeatBench, reader: Reader, warmed: Warmed) -> tuple[Softening, ...]:
    """Return every material against a plan and against full throttle, the one that suffers first at the top.

    Parameters
    ----------
    bench : HeatBench
    reader : Reader
    warmed : Warmed
        The plan as it was run.

    Returns
    -------
    softening : tuple of Softening
    """
    burst = bench.run((Phase(LEVEL, WARM_UP), Phase(FULL, BURST)))
    sources = power_sources(bench.flown) + HEAT_SOURCES
    found = []
    for material in materials():
        where = [1 + k for k, node in enumerate(bench.nodes) if node.what == NODE_OF[material.where]]
        plan = warmed.history[:, :, where].max(axis=2)
        peak = warmed.peaks[:, [k - 1 for k in where], 0].max(axis=1)
        full = burst.history[:, :, where].max(axis=2)
        reached = np.array(
            [_first(burst.history[case, :, 0], full[case], material.limit) for case in range(bench.cases)]
        )
        reached = np.where(reached < WARM_UP, 0.0, reached - WARM_UP)
        first = _first(warmed.history[0, :, 0], plan[0], material.limit)
        found.append(
            Softening(
                material,
                reader.quantity(peak, "K", sources),
                float(first) if math.isfinite(first) else None,
                reader.quantity(reached, "s", sources, "not within ten minutes of full throttle"),
            )
        )

    def urgency(each: Softening) -> tuple[float, float]:
        nominal = each.at_full.nominal
        warmest = each.peak.nominal or 0.0
        return (nominal if nominal is not None else math.inf, each.material.limit - warmest)

    return tuple(sorted(found, key=urgency))


def _first(time: npt.NDArray[np.float64], temperature: npt.NDArray[np.float64], limit: float) -> float:
    """Return when a history first passes a limit, NaN if never; straight lines between the records."""
    above = np.flatnonzero(temperature > limit)
    if not len(above):
        return math.nan
    place = int(above[0])
    if place == 0:
        return float(time[0])
    share = (limit - temperature[place - 1]) / (temperature[place] - temperature[place - 1])
    return float(time[place - 1] + share * (time[place] - time[place - 1]))
