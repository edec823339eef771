"""Draw the pictures of docs/physics/flight-simulation.md from simulated flights of an example."""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import lru_cache
from typing import Any

from drawing import ROOT, draw

from rotorwright.design.aircraft_file import load
from rotorwright.sheets.flight_pictures import outcomes_of, pictures_of
from rotorwright.studies.first_flights import first_flights
from rotorwright.studies.fly import flight_conditions, fly

EXAMPLE = ROOT / "examples" / "drum-major.toml"
FLIGHTS = 400


@lru_cache(maxsize=1)
def one() -> dict[str, Any]:
    """Return the pictures of one flight in a wind of 2 m/s from ahead and right."""
    aeroplane = load(EXAMPLE)
    return pictures_of(fly(aeroplane, conditions=flight_conditions(aeroplane, wind=2.0, wind_from=0.35)))


def above() -> Any:
    """Return the path from above."""
    return one()["above"]


def side() -> Any:
    """Return the path from the side."""
    return one()["side"]


def history() -> Any:
    """Return the histories."""
    return one()["history"]


def outcomes() -> Any:
    """Return what became of many first flights."""
    return outcomes_of(first_flights(load(EXAMPLE), flights=FLIGHTS))


PICTURES: dict[str, Callable[[], Any]] = {
    "flight-above": above,
    "flight-side": side,
    "flight-history": history,
    "flight-outcomes": outcomes,
}


if __name__ == "__main__":
    draw(PICTURES, sys.argv[1:])
