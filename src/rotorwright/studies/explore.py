"""Explore: sweeps, maps, scattered designs and a search for the best, over any numbers of one aeroplane."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

import rotorwright
from rotorwright.base.errors import InputError, InputProblems
from rotorwright.base.quantity import Quantity
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.flight.batch import Progress
from rotorwright.studies.document_head import head
from rotorwright.studies.evaluate import fly
from rotorwright.studies.explore_asked import Goal, Limit, Vary, quantity_name, read_limit, read_vary
from rotorwright.studies.explore_designs import (
    CHANCE,
    FLOWN,
    FULL,
    LOW_RESERVE,
    OWN,
    QUICK,
    REFUSED,
    RESERVE,
    SCORE,
    Answers,
    Chunk,
    Question,
    answer,
    known_quantities,
    question_of,
)
from rotorwright.studies.explore_kept import KeptDesigns, keep_designs
from rotorwright.studies.explore_search import POPULATION, Best, search
from rotorwright.studies.explore_study import Study
from rotorwright.studies.verdict import probability_of_flight, word_for

Floats = npt.NDArray[np.float64]

SWEEP_STEPS, MAP_STEPS, DESIGNS = 31, 17, 512
ALWAYS = ("mass", "level_speed", "reserve_thrust", "thrust_to_spare", SCORE)
BEST, BEST_SAMPLES = 3, 64
SWEEP, MAP, SCATTERED, SOUGHT = "sweep", "map", "scattered", "sought"


@dataclass(frozen=True)
class Found:
    """One of the best designs, flown again closely: what was changed, and what comes of it."""

    design: int
    changes: dict[str, Any]
    """Field → SI number, or text of a choice."""
    told: tuple[str, ...]
    """The same as a maker would read it."""
    aeroplane: Aeroplane
    quantities: dict[str, float]
    """As explored, every Unknown at its median."""
    chance: float
    """Of flying level with the reserve, over draws of the Unknowns."""

    @property
    def word(self) -> str:
        """Return the verdict word."""
        return word_for(self.chance)

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "design": self.design, "changes": self.changes, "told": list(self.told), "quantities": self.quantities,
            "chance": self.chance, "word": self.word,
        }  # fmt: skip


@dataclass(frozen=True)
class Explored:
    """What an exploration found."""

    aeroplane: Aeroplane
    kind: str
    vary: tuple[Vary, ...]
    limits: tuple[Limit, ...]
    goals: tuple[Goal, ...]
    grid: tuple[int, ...]
    """Steps of a sweep or map; empty else."""
    kept: KeptDesigns
    good: npt.NDArray[np.bool_]
    """Which designs fly level with the reserve and keep every limit, shape (designs,)."""
    best: tuple[Found, ...]
    look: str
    draws: int
    seed: int
    finished: bool
    """False if it was interrupted: what was done is here."""
    base: dict[str, float] = field(default_factory=dict)
    """The aeroplane as it is, by the same quantities."""

    @property
    def flown(self) -> int:
        """Return how many designs were flown."""
        return int((self.kept.state == FLOWN).sum())

    @property
    def impossible(self) -> int:
        """Return how many designs no aircraft file could describe."""
        return int((self.kept.state == REFUSED).sum())

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        site = self.aeroplane.field
        return {
            **head(self.aeroplane, {
                "elevation": site.elevation, "temperature": site.temperature, "draws": self.draws, "seed": self.seed,
                "look": self.look, "kind": self.kind, "grid": list(self.grid), "finished": self.finished,
                "vary": [_vary_dict(each) for each in self.vary],
                "keep": [each.words for each in self.limits],
                "goals": [{"quantity": each.name, "most": each.most} for each in self.goals],
            }),
            "quantities": {},
            "verdict": None,
            "warnings": [],
            "designs": {
                "asked": len(self.kept), "flown": self.flown, "impossible": self.impossible,
                "good": int(self.good.sum()), "refused": dict(self.kept.refused),
            },
            "as_it_is": self.base,
            "best": [each.as_dict() for each in self.best],
        }  # fmt: skip


def _vary_dict(vary: Vary) -> dict[str, Any]:
    ends = {"choices": list(vary.choices)} if vary.choices else {"low": vary.low, "high": vary.high}
    return {"field": vary.field, **ends, "along": [name for name, _ in vary.along]}


def explore(
    aeroplane: Aeroplane,
    vary: Sequence[str],
    *,
    along: Sequence[str] = (),
    keep: Sequence[str] = (),
    most: Sequence[str] = (),
    least: Sequence[str] = (),
    watch: Sequence[str] = (),
    grid: int | None = None,
    designs: int | None = None,
    seek: int | None = None,
    quick: bool = False,
    draws: int = 0,
    seed: int = 0,
    best: int = BEST,
    path: str | Path | None = None,
    resume: bool = False,
    scheduler: str | None = None,
    progress: Progress | None = None,
) -> Explored:
    """Explore what an aeroplane could be.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`.
    vary : sequence of str
        What varies: ``"rotor.main.diameter=120..200 mm"``, ``"battery.main.cells=2S or 3S"``.
    along : sequence of str
        Fields that keep their proportion to the first field that varies (discs with their rotor).
    keep : sequence of str
        Limits by the names of balance quantities: ``"level_speed<12 m/s"``. Flying with the reserve always counts.
    most, least : sequence of str
        Quantities to make great or small; without any the reserve of thrust decides.
    watch : sequence of str
        More quantities to note.
    grid : int, optional
        Steps of a sweep (one field) or along each side of a map (two fields).
    designs : int, optional
        Scatter so many designs evenly over all fields instead (scrambled Sobol' sequence).
    seek : int, optional
        Search for the best with so many designs instead.
    quick : bool
        A first look only: level flight with the nose held from outside, no reserve, no bank.
    draws : int
        Draws of the Unknowns for every design, the same for all: gives ``chance_of_flying`` and ``reserve_thrust_low``.
    seed : int
        Of the scatter, the search and the draws.
    best : int
        How many of the best designs to fly again closely.
    path : str or Path, optional
        NetCDF file that keeps every design.
    resume : bool
        Go on with what the file holds.
    scheduler : str, optional
        Address of a Dask scheduler.
    progress : callable, optional
        Called with (designs done, designs in all). A KeyboardInterrupt ends the study with what is done.

    Returns
    -------
    explored : Explored

    Raises
    ------
    InputProblems
        If something asked for cannot be read or does not exist.
    """
    fields = tuple(read_vary(aeroplane, text, along if not place else ()) for place, text in enumerate(vary))
    if not fields:
        raise InputError("is needed", place="--vary", allowed='a field and its range, "rotor.main.span=500..700 mm"')
    known = known_quantities(aeroplane, FULL)
    limits = tuple(read_limit(text, known) for text in keep)
    goals = tuple(Goal(quantity_name(each, known, "--most"), True) for each in most)
    goals += tuple(Goal(quantity_name(each, known, "--least"), False) for each in least)
    watched = tuple(quantity_name(each, known, "--watch") for each in watch)
    wanted = dict.fromkeys((*ALWAYS, *(each.name for each in limits), *(each.name for each in goals), *watched))
    if draws:
        wanted |= dict.fromkeys((CHANCE, LOW_RESERVE))
    names = tuple(wanted)
    if not draws and {CHANCE, LOW_RESERVE} & set(names):
        raise InputError("needs draws of the Unknowns for every design", place="--draws", hint="Add --draws 16")
    kind, shares, steps = _plan(fields, grid, designs, seek, seed)
    look = QUICK if quick else _look_needed(aeroplane, names)
    question = question_of(aeroplane, _all_fields(fields), names, look=look, draws=0 if quick else draws, seed=seed)
    rests_on = {
        "aircraft": aeroplane.revision, "vary": [_vary_dict(each) for each in fields], "kind": kind, "look": look,
        "goals": [each.words for each in goals], "limits": [each.words for each in limits],
        "asked": seek or len(shares), "draws": draws, "seed": seed, "steps": list(steps),
        "rotorwright": rotorwright.__version__,
    }  # fmt: skip
    units = tuple(_unit(name, known[name]) for name in names)
    kept = keep_designs(path, rests_on, [each.field for each in fields], names, units, resume=resume)
    if not goals:
        goals = (Goal(LOW_RESERVE if draws else SCORE, True),)
    study = Study(question, fields, kept, limits, goals, scheduler, progress, seek or len(shares))
    finished, sought = True, None
    try:
        if kind == SOUGHT:
            sought = search(
                study.judge, len(fields), len(goals), 1 + len(limits), evaluations=seek or 0, seed=seed,
                population=min(POPULATION, max(8, (seek or 0) // 10)),
            )  # fmt: skip
        else:
            study.fly(shares)
    except KeyboardInterrupt:
        finished = False
    study.note_values()
    kept.save()
    good = study.good()
    found = _closely(aeroplane, study, good, best, seed, sought)
    return Explored(
        aeroplane, kind, fields, limits, goals, steps, kept, good, found, look, draws, seed, finished,
        _as_it_is(aeroplane, question),
    )  # fmt: skip


def _plan(
    fields: Sequence[Vary], grid: int | None, designs: int | None, seek: int | None, seed: int
) -> tuple[str, Floats, tuple[int, ...]]:
    """Return the kind of study, the shares of every design, and the steps of a sweep or map."""
    if seek is not None:
        return SOUGHT, np.empty((0, len(fields))), ()
    if designs is None and len(fields) <= 2:
        ways = [each.steps(grid or (SWEEP_STEPS if len(fields) == 1 else MAP_STEPS)) for each in fields]
        shares = np.stack([each.ravel() for each in np.meshgrid(*ways, indexing="ij")], axis=1)
        return (SWEEP if len(fields) == 1 else MAP), shares, tuple(len(each) for each in ways)
    return SCATTERED, scattered(designs or DESIGNS, len(fields), seed), ()


def scattered(count: int, fields: int, seed: int = 0) -> Floats:
    """Return points spread evenly over the unit cube, shape (count, fields).

    Notes
    -----
    The first points of a scrambled Sobol' sequence. Source: `scipy.stats.qmc.Sobol`.
    """
    from scipy.stats import qmc

    power = max((count - 1).bit_length(), 0)
    points = qmc.Sobol(fields, scramble=True, rng=np.random.default_rng(seed)).random_base2(power)
    return np.asarray(points[:count], dtype=np.float64)


def _all_fields(fields: Sequence[Vary]) -> tuple[str, ...]:
    return tuple(name for each in fields for name in (each.field, *(other for other, _ in each.along)))


def _unit(name: str, quantity: Quantity | None) -> str:
    return OWN[name][0] if quantity is None else quantity.unit


def _look_needed(aeroplane: Aeroplane, names: Sequence[str]) -> str:
    """Return the shortest look that tells all the quantities wanted."""
    short = known_quantities(aeroplane, RESERVE)
    long = known_quantities(aeroplane, FULL)
    for name in names:
        one, other = short[name], long[name]
        if name not in OWN and (one is None or one.nominal is None) and other is not None and other.nominal is not None:
            return FULL
    return RESERVE


def _spread(ranked: list[int], count: int, goals: int) -> list[int]:
    """Return some of the best: the first ones, or with several goals some that lie apart along the trade."""
    if goals == 1 or len(ranked) <= count:
        return ranked[:count]
    return [ranked[int(place)] for place in np.unique(np.linspace(0, len(ranked) - 1, count).round())]


def _closely(
    aeroplane: Aeroplane, study: Study, good: npt.NDArray[np.bool_], best: int, seed: int, sought: Best | None
) -> tuple[Found, ...]:
    """Fly the best designs again with draws of the Unknowns, from a file's own path."""
    if not good.any() or best < 1:
        return ()
    found = []
    for design in _spread(study.ranked(good), best, len(study.goals)):
        changes: dict[str, Any] = {}
        told = []
        for place, each in enumerate(study.fields):
            value = each.at(float(study.kept.shares[design, place]))
            for name, part in ((each.field, 1.0), *each.along):
                changes[name] = round_like_a_maker(value * part) if isinstance(value, float) else value
                told.append(f"{name} {aeroplane.echo(name, changes[name]) if isinstance(value, float) else value}")
        try:
            changed = aeroplane.changed(changes)
        except InputProblems:
            continue  # rounding has carried it over an edge
        chance = probability_of_flight(fly(changed, samples=BEST_SAMPLES, seed=seed, thorough=False))
        numbers = {
            name: float(number) for name, number in zip(study.kept.names, study.kept.columns[design], strict=True)
        }
        found.append(Found(design, changes, tuple(told), changed, numbers, float(chance or 0.0)))
    return tuple(found)


def round_like_a_maker(value: float) -> float:
    """Return a number with four significant figures: no workshop holds more."""
    return float(f"{value:.4g}")


def _as_it_is(aeroplane: Aeroplane, question: Question) -> dict[str, float]:
    plain = Question(question.told, question.source, (), question.names, question.look, question.draws, question.seed)
    found: Answers = answer(plain, Chunk(0, ()))
    return dict(zip(question.names, (float(number) for number in found.columns[0]), strict=True))


def save_best(explored: Explored, folder: str | Path, words: Callable[[Found], str] | None = None) -> list[Path]:
    """Save the best designs as complete aircraft files: the maker's own file with the changed fields marked.

    Parameters
    ----------
    explored : Explored
    folder : str or Path
        Is made if it is not there.
    words : callable, optional
        What to write at the head of each.

    Returns
    -------
    paths : list of Path

    Raises
    ------
    InputProblems
        If a file is there already or cannot be written.
    """
    from rotorwright.design.edit import save_text
    from rotorwright.studies.explore_files import marked_text

    place = Path(folder)
    place.mkdir(parents=True, exist_ok=True)
    paths = []
    stem = Path(explored.aeroplane.source).stem or "design"
    for number, each in enumerate(explored.best, 1):
        path = place / f"{stem}-{number}.toml"
        save_text(path, marked_text(explored.aeroplane, each.changes, words(each) if words else ""))
        paths.append(path)
    return paths
