"""Many first flights of one aeroplane: uncertain physics, build, day and pilot, drawn anew for each."""

from __future__ import annotations

import json
import pickle
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from pathlib import Path
from typing import Any

import rotorwright
from rotorwright.base.quantity import Quantity
from rotorwright.base.records import DRUM, VANED, WING
from rotorwright.base.unknown import unknowns
from rotorwright.design.aeroplane import Aeroplane, build_changed
from rotorwright.flight.batch import Progress
from rotorwright.studies.chance import Driver
from rotorwright.studies.counted_flights import Became, column_words, count, fly_many, input_words
from rotorwright.studies.document_head import head
from rotorwright.studies.first_flights_draws import Draws, spreads
from rotorwright.studies.flight_outcomes import judge_flights
from rotorwright.studies.flight_setup import Conditions, Setup, set_up
from rotorwright.studies.fly import figures_of, flight_conditions, notes_on
from rotorwright.studies.kept_flights import keep_in

SCHEMA = 1
FLIGHTS = 256


@dataclass(frozen=True)
class FirstFlights:
    """What became of many first flights."""

    aeroplane: Aeroplane
    conditions: Conditions
    quantities: dict[str, Quantity]
    outcomes: tuple[Became, ...]
    """Most frequent first."""
    drivers: tuple[Driver, ...]
    """What all failures together hang on."""
    notes: tuple[str, ...]
    flights: int
    asked: int
    stopped: bool
    """Whether the keyboard stopped it before all were flown."""
    seed: int
    kept: str = ""
    """File in which they are kept."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        words = input_words()
        return {
            **head(
                self.aeroplane,
                {
                    **self.conditions.as_dict(),
                    "flights": self.flights,
                    "flights_asked_for": self.asked,
                    "stopped": self.stopped,
                    "seed": self.seed,
                },
                SCHEMA,
            ),
            "quantities": {name: quantity.as_dict() for name, quantity in self.quantities.items()},
            "verdict": None,
            "outcomes": [each.as_dict() for each in self.outcomes],
            "drivers": [{**each.as_dict(), "words": words[each.name][2]} for each in self.drivers],
            "warnings": list(self.notes),
        }


def first_flights(
    aeroplane: Aeroplane,
    *,
    conditions: Conditions | None = None,
    flights: int = FLIGHTS,
    seed: int = 0,
    resume: str | Path | None = None,
    progress: Progress | None = None,
    scheduler: str | None = None,
) -> FirstFlights:
    """Fly an aeroplane many times for the first time, and count.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`.
    conditions : Conditions, optional
        Wind (drawn for a light day if not told), launch, pilot; from the file's field if left out.
    flights : int
    seed : int
        Flight number and seed alone tell what a flight meets: threads, sittings and stops change nothing.
    resume : str or Path, optional
        NetCDF file in which the flights are kept; what it holds already is not flown again.
    progress : callable, optional
        Called with (flights done, flights in all).
    scheduler : str, optional
        Address of a Dask scheduler whose workers fly; the numbers are the same.

    Returns
    -------
    FirstFlights
        Of fewer flights than asked for where the keyboard stopped it.

    Raises
    ------
    InputError
        If the aeroplane has no balance at any speed, cannot be launched so, or the file holds other flights.

    Notes
    -----
    Chances are those of the model: what it does not know is in none of its flights.
    """
    asked = conditions or flight_conditions(aeroplane)
    asked = replace(asked, misreads=asked.commands is None)
    setup = set_up(aeroplane, asked)
    rests = {
        "rotorwright": rotorwright.__version__,
        "aircraft": aeroplane.name,
        "revision": aeroplane.revision,
        "seed": seed,
        **{name: value for name, value in asked.as_dict().items() if name != "events"},
        "events": [event.words + f" at {event.time:g} s" for event in asked.events],
    }
    kept = keep_in(resume, rests, column_words())

    told = json.dumps(dict(aeroplane.told))
    fly = (
        partial(figures_of, setup)
        if scheduler is None
        else partial(fly_told, told, aeroplane.source, pickle.dumps(asked))
    )
    stopped = fly_many(
        fly, lambda figures: judge_flights(figures, setup.bounds), kept, flights, seed, progress, scheduler
    )
    done = min(len(kept), flights)
    if not done:
        raise KeyboardInterrupt
    counted = count(kept.first(done), seed=seed, watched=watched(setup))
    return FirstFlights(
        aeroplane, asked, counted.quantities, counted.outcomes, counted.drivers, notes_on(setup), done, flights,
        stopped, seed, str(resume or ""),
    )  # fmt: skip


@lru_cache(maxsize=2)
def _setup_told(told: str, source: str, conditions: bytes) -> Setup:
    return set_up(build_changed(json.loads(told), source, "", {}), pickle.loads(conditions))


def fly_told(told: str, source: str, conditions: bytes, draws: Draws) -> dict[str, Any]:
    """Fly drawn flights of an aeroplane told as JSON under pickled conditions, as a worker of a cluster does."""
    return figures_of(_setup_told(told, source, conditions), draws)


def watched(setup: Setup) -> frozenset[str]:
    """Return the inputs that can matter for this aeroplane under these conditions; others cannot be a cause."""
    rows, conditions = setup.rows, setup.conditions
    kinds = set(rows.rotors["kind"].tolist())
    without = set()
    if conditions.launch != "hand":
        without |= {"throw_speed", "throw_path", "throw_bank"}
    if conditions.launch != "ground":
        without |= {"rolling"}
    without |= {"stated_wind"} if conditions.wind is None else {"wind"}
    if conditions.wind == 0.0:
        without |= {"stated_wind", "wind_direction", "gustiness"}
    if not len(rows.drives):
        without |= {"drive_match"}
    if not (rows.surfaces["kind"] == WING).any():
        without |= {"wing_incidence", "wing_twist"}
    if len(rows.rotors) < 2:
        without |= {"rotor_match", "bearing_match"}
    if DRUM not in kinds:
        without |= {unknown.name for unknown in unknowns() if unknown.name.startswith("drum_")}
    if VANED not in kinds:
        without |= {unknown.name for unknown in unknowns() if unknown.name.startswith("vane_")}
    without |= {unknown.name for unknown in unknowns() if unknown.room == "structure"}
    everything = {unknown.name for unknown in unknowns()} | {spread.name for spread in spreads()}
    return frozenset(everything - without)
