"""Quick start: sizes an aeroplane from a handful of numbers until it should fly, or says why it cannot.

First guesses come from `design.quick_start`; here they are flown and mended one step at a time. The maker's own
numbers (mass, span limit, field, kinds, cells) are never touched.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from rotorwright.base.errors import InputProblems
from rotorwright.design.aircraft_file import loads
from rotorwright.design.quick_start import QuickStartSizes, quick_start_file
from rotorwright.flight.envelope import UNTRIMMED
from rotorwright.studies.evaluate import Flown, fly
from rotorwright.studies.verdict import probability_of_flight, shortage_sentence, word_for

WANTED = 0.85
"""Chance of level flight with the reserve at which the search is content."""
ROUNDS, CHANCE_ROUNDS, ASKED_AT_MOST, LIGHTER_TRIES = 24, 4, 3, 6
FIRST_MARGIN, NEXT_MARGIN = 0.12, 0.06
"""Thrust to spare over weight that the nominal case must reach before the samples are asked, and the next steps."""
FEW_SAMPLES, LOOK_SAMPLES, FINAL_SAMPLES = 16, 32, 128
HOPELESS = -1.0e6

Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class QuickStart:
    """The file that was sized, and what the verdict on it is."""

    text: str
    sizes: QuickStartSizes
    word: str
    probability: float
    shortage: str
    tried: int
    """How many sets of sizes were flown."""

    @property
    def good(self) -> bool:
        """Tell whether the verdict is at least "should fly"."""
        return self.probability >= 0.7


def quick_start(
    *,
    mass: float,
    span_limit: float,
    elevation: float,
    temperature: float,
    rotor_kind: str,
    thrust_source: str = "propeller",
    cells: int = 3,
    name: str = "Quick start",
    progress: Progress | None = None,
) -> QuickStart:
    """Return an aircraft file sized from a handful of numbers.

    Parameters
    ----------
    mass : float
        Ready to fly [kg].
    span_limit : float
        Largest span over everything [m].
    elevation : float
        Of the field [m].
    temperature : float
        Of the air [K].
    rotor_kind : str
        "free vaned", "driven vaned" or "driven drum".
    thrust_source : str
        "propeller" or "fan".
    cells : int
        Cells in series.
    name : str
        What to call the aeroplane.
    progress : callable, optional
        Called with (steps done, steps at most).

    Returns
    -------
    answer : QuickStart

    Raises
    ------
    InputProblems
        If a number cannot be sized for, or the parts alone are heavier than the aeroplane is to be.
    """
    search = _Search(progress)
    guess = QuickStartSizes.guess(mass, span_limit, elevation, temperature, rotor_kind, thrust_source, cells, name=name)
    best = search.look(_light_enough(guess))
    best = search.by_nominal(best)
    if search.chance(best.sizes, LOOK_SAMPLES) < WANTED:
        best = search.by_chance(best)
    return search.answer(best.sizes)


def _light_enough(guess: QuickStartSizes) -> QuickStartSizes:
    """Return the guess settled, with less thrust if its parts alone would be too heavy."""
    for _ in range(LIGHTER_TRIES):
        try:
            return guess.settled()
        except InputProblems:
            guess = _thrust(guess, 0.85)
    return guess.settled()


@dataclass(frozen=True)
class _Look:
    """One set of sizes and its score: thrust left after the reserve over weight, or the chance of flying."""

    sizes: QuickStartSizes
    score: float


class _Search:
    def __init__(self, progress: Progress | None) -> None:
        self.progress, self.tried = progress, 0
        self.step_size = 1.0

    def flown(self, sizes: QuickStartSizes, samples: int) -> Flown:
        self.tried += 1
        if self.progress is not None:
            self.progress(min(self.tried, 10 * ROUNDS), 12 * ROUNDS)
        return fly(loads(quick_start_file(sizes), "quick start"), samples=samples)

    def look(self, sizes: QuickStartSizes) -> _Look:
        return _Look(sizes, score_of(self.flown(sizes, 0)))

    def look_at_samples(self, sizes: QuickStartSizes) -> _Look:
        flown = self.flown(sizes, FEW_SAMPLES)
        reserve = flown.envelope.figures["reserve_surplus"][1:]
        weight = float(flown.numbers.vehicle["mass"][0] * flown.numbers.air["gravity"][0])
        middle = float(np.median(np.where(np.isfinite(reserve), reserve, -weight))) / weight
        return _Look(sizes, (probability_of_flight(flown) or 0.0) + 0.05 * float(np.tanh(middle)))

    def chance(self, sizes: QuickStartSizes, samples: int) -> float:
        return probability_of_flight(self.flown(sizes, samples)) or 0.0

    def by_nominal(self, best: _Look) -> _Look:
        """Raise the nominal case step by step until the samples agree, or until it no longer helps."""
        margin, asked = FIRST_MARGIN, 0
        for _ in range(ROUNDS):
            if best.score >= margin:
                asked += 1
                if self.chance(best.sizes, LOOK_SAMPLES) >= WANTED or asked == ASKED_AT_MOST:
                    break
                margin = best.score + NEXT_MARGIN
            better = self.step(best, self.look)
            if better is None:
                break
            best = better
        return best

    def by_chance(self, best: _Look) -> _Look:
        """Go on by what the samples say: slower, but it sees what the nominal case hides."""
        self.step_size = 1.0
        best = self.look_at_samples(best.sizes)
        for _ in range(CHANCE_ROUNDS):
            better = self.step(best, self.look_at_samples)
            if better is None:
                break
            best = better
            if best.score >= WANTED + 0.05:
                break
        return best

    def step(self, best: _Look, look_at: Callable[[QuickStartSizes], _Look]) -> _Look | None:
        """Return the best of all single moves, smaller moves if none of the larger ones helps, else None."""
        while True:
            looks = []
            for sizes in moves(best.sizes, self.step_size):
                try:
                    looks.append(look_at(sizes.settled()))
                except InputProblems:  # too heavy, or parts that no longer fit: not this way
                    continue
            found = max(looks, key=lambda look: look.score, default=best)
            if found.score > best.score + 1.0e-3:
                return found
            if self.step_size < 0.4:
                return None
            self.step_size *= 0.5

    def answer(self, sizes: QuickStartSizes) -> QuickStart:
        flown = self.flown(sizes, FINAL_SAMPLES)
        probability = probability_of_flight(flown) or 0.0
        shortage = shortage_sentence(flown)
        return QuickStart(quick_start_file(sizes), sizes, word_for(probability), probability, shortage, self.tried)


def score_of(flown: Flown) -> float:
    """Return the thrust left after the reserve over the weight (nominal); where nothing balances, less than −1.

    Without any balance the score counts what pitching moment is missing over weight × length of the aeroplane, so that
    the search can find its way back.
    """
    weight = float(flown.numbers.vehicle["mass"][0] * flown.numbers.air["gravity"][0])
    figures = flown.envelope.figures[0]
    reserve = float(figures["reserve_surplus"])
    if np.isfinite(reserve):
        return reserve / weight
    untrimmed, missing = float(figures["untrimmed_surplus"]), float(flown.envelope.steady[0, UNTRIMMED]["pitch_aid"])
    if not (np.isfinite(untrimmed) and np.isfinite(missing)):
        return HOPELESS
    return -2.0 + min(untrimmed / weight, 1.0) - abs(missing) / (weight * 0.1)


def moves(s: QuickStartSizes, size: float) -> Iterator[QuickStartSizes]:
    """Return sizes one step away: thrust, propeller, rotor, discs, drive, tail, and the heights that trim the nose."""
    for sense in (1.0, -1.0):
        step = sense * size
        factor = 1.2**step
        yield _thrust(s, factor)
        yield _pitch(s, 1.15**step)
        grown = 1.12**step
        yield replace(s, rotor_diameter=s.rotor_diameter * grown, disc_diameter=s.disc_diameter * grown)
        yield replace(s, disc_diameter=max(s.disc_diameter * 1.1**step, 1.05 * s.rotor_diameter))
        yield replace(s, thrust_line_up=s.thrust_line_up + 0.2 * step * s.rotor_diameter)
        yield replace(s, rotor_up=s.rotor_up + 0.2 * step * s.rotor_diameter)
        yield replace(s, balance_aft=s.balance_aft + 0.1 * step * s.rotor_diameter)
        yield replace(s, tail_span=s.tail_span * 1.1**step, tail_chord=s.tail_chord * 1.1**step)
        yield replace(s, tail_aft=s.rotor_aft + (s.tail_aft - s.rotor_aft) * 1.1**step)
        if s.rotor_kind != "free vaned":
            yield _spin(s, 1.15**step)
            yield replace(s, drive_motor_mass=s.drive_motor_mass * 1.25**step)


def _thrust(s: QuickStartSizes, factor: float) -> QuickStartSizes:
    """Return sizes for so much more static thrust, by the rules of the first guess (T ∝ n² D⁴, D ∝ T^0.4)."""
    fan = s.thrust_source == "fan"
    return replace(
        s,
        thruster_diameter=s.thruster_diameter * factor ** (0.5 if fan else 0.4),
        propeller_pitch=s.propeller_pitch * factor ** (0.5 if fan else 0.3),
        motor_speed_constant=s.motor_speed_constant * factor ** (-0.5 if fan else -0.3),
        motor_mass=s.motor_mass * factor**1.1,
        battery_capacity=max(s.battery_capacity * factor**1.1, 800.0),
    )


def _pitch(s: QuickStartSizes, factor: float) -> QuickStartSizes:
    if s.thrust_source == "fan":
        return replace(s, motor_speed_constant=s.motor_speed_constant * factor)
    pitch = min(max(s.propeller_pitch * factor, 0.4 * s.thruster_diameter), 0.85 * s.thruster_diameter)
    return replace(s, propeller_pitch=pitch, motor_speed_constant=s.motor_speed_constant * factor**-0.3)


def _spin(s: QuickStartSizes, factor: float) -> QuickStartSizes:
    """Return sizes with the rotor held at another speed, the gear ratio following."""
    ratio = min(max(s.drive_ratio / factor, 1.0), 40.0)
    return replace(s, drive_speed=s.drive_speed * factor, drive_ratio=ratio)
