"""The sanity bench: this aeroplane beside machines that are known to have lifted by a rotor. Blanks stay blanks."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from rotorwright.base.constants import GRAVITY
from rotorwright.base.quantity import Quantity
from rotorwright.studies.evaluate import Flown

FIGURES = ("mass", "span", "speed", "spin_ratio", "power_per_mass", "work_ratio", "spin_share")
"""What is compared: mass [kg], span [m], level speed [m/s], spin ratio, power per mass [W/kg], weight × speed over
power, and the share of power that turns the rotor."""


@dataclass(frozen=True)
class KnownMachine:
    """One machine: what it was, whether it flew, and the figures that were published (the rest None)."""

    name: str
    flew: str
    figures: dict[str, float | None]
    lesson: str
    source: str

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "name": self.name,
            "flew": self.flew,
            "figures": self.figures,
            "lesson": self.lesson,
            "source": self.source,
        }


@lru_cache(maxsize=1)
def table() -> tuple[KnownMachine, ...]:
    """Return the published machines."""
    path = Path(__file__).parent / "data" / "known_machines.toml"
    rows: list[dict[str, Any]] = tomllib.loads(path.read_text(encoding="utf-8"))["machine"]
    return tuple(
        KnownMachine(row["name"], row["flew"], {name: row.get(name) for name in FIGURES}, row["lesson"], row["source"])
        for row in rows
    )


def known_machines(flown: Flown, quantities: dict[str, Quantity]) -> tuple[KnownMachine, ...]:
    """Return this aeroplane (medians, as its sheet prints them) first, then the published machines."""

    def middle(name: str) -> float | None:
        return quantities[name].value if name in quantities else None

    mass, speed, power = middle("mass"), middle("level_speed"), middle("level_power")
    full = middle("full_throttle_power")
    rotors = flown.rows.rotors
    span = float((abs(rotors["y"]) + 0.5 * rotors["span"]).max() * 2.0) if len(rotors) else None
    figures = {
        "mass": mass,
        "span": span,
        "speed": speed,
        "spin_ratio": middle("spin_ratio"),
        "power_per_mass": None if full is None or mass is None else full / mass,
        "work_ratio": None if not (mass and speed and power) else mass * GRAVITY * speed / power,
        "spin_share": middle("spin_share"),
    }
    return (KnownMachine("this aeroplane", "", figures, "", ""), *table())
