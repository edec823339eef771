"""The sheets of simulated flights: one told as a story, and what became of many first ones."""

from __future__ import annotations

import math

from rotorwright.sheets.content import Far, Item, Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.explanation import explanations
from rotorwright.sheets.numbers import ShownUnits, long_units, number_text, percent_text, quantity_text, units_of
from rotorwright.studies.chance import Driver
from rotorwright.studies.counted_flights import input_words
from rotorwright.studies.first_flights import FirstFlights
from rotorwright.studies.flight_setup import PILOTS
from rotorwright.studies.flight_story import Extreme, Moment
from rotorwright.studies.fly import Flight

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
TOLD_TURNS = 4
WRECKED = 3.0
"""A flight that ends faster than this on the ground ends in a wreck [m/s]."""
CAUTION = (
    "A simulation is a rehearsal, not a permission. The first spin-up is done with nobody in the plane of the rotors "
    "or the propeller, and the aeroplane held down; the first flight over empty ground, with a second person to call, "
    "nobody ahead or under the path, and the kill switch tried beforehand. Your club's safety officer, local rules "
    "and an experienced pilot come first."
)
MODEL_LIMIT = (
    "The chances are those of the model: what it does not know is in none of its flights. What the ground does to "
    "rotors is worked out, not measured, and the pilot is a simple one."
)
WHOLE = {
    "flown_lift_off_speed": "lift-off at",
    "flown_lift_off_distance": "lift-off after",
    "flown_slowest_airspeed": "slowest in the air",
    "flown_steepest_bank": "steepest bank",
    "flown_touch_down_sink": "sink at touch-down",
}


def fly_sheet(flight: Flight) -> Sheet:
    """Return the sheet of one flight."""
    units = units_of(flight.aeroplane.told)
    asked = flight.conditions
    lead = [Sentence(f"It {flight.outcome.words}.", "lead"), Sentence(_asked(flight, units))]
    lead += [Sentence(f"{note[:1].upper()}{note[1:]}.", "plain") for note in flight.notes]
    events = iter(event.words for event in asked.events)
    rows = []
    turns = 0
    for place, moment in enumerate(flight.story.moments, 1):
        turns += moment.what == "quarter turn"
        if moment.what == "quarter turn" and turns > TOLD_TURNS:
            continue
        words = next(events, "") if moment.what == "event" else moment_words(moment, flight, units)
        rows.append(Row((str(place), _clock(moment.time), words)))
    worst = [Row((each.what, number_text(each.value, each.unit, _roomy(each, units)), _clock(each.time)))
             for each in flight.story.extremes]  # fmt: skip
    sections = [
        Section("What happened", (Table(tuple(rows), ("", "time", "")),)),
        Section("Worst moments", (Table(tuple(worst), ("", "", "at")),)),
        Section("Before you fly it", (Sentence(CAUTION, "caution"),)),
    ]
    return Sheet(f"{flight.aeroplane.name}: a simulated flight", tuple(lead), tuple(sections), units)


def flight_numbers(flight: Flight) -> Section:
    """Return the numbers of one flight as a section of their own: the page shows it, the story has them in words."""
    titles = explanations()
    rows = [
        Row((titles[name].title, Far(quantity) if quantity.unit == "m" else quantity))
        for name, quantity in flight.quantities.items()
        if quantity.value is not None
    ]
    return Section("In numbers", (Table(tuple(rows)),))


def _asked(flight: Flight, units: ShownUnits) -> str:
    asked = flight.conditions
    wind = "in still air" if not asked.wind else f"in a wind of {number_text(asked.wind, 'm/s', units)}"
    starts = {"hand": "thrown by hand", "bungee": "from a bungee", "air": "begun in the air"}
    start = starts.get(asked.launch, f"from {asked.surface}")
    if asked.slope:
        start += f" {'up' if asked.slope > 0.0 else 'down'} a slope of {number_text(abs(asked.slope), 'rad', units)}"
    if asked.commands is not None:
        return f"Flown {start} {wind} by the sticks of {asked.commands.place}; everything else as drawn."
    plan = "to fly one circuit to the left" if asked.plans else "to hold heading and height"
    return f"Flown {start} {wind} by {PILOTS[asked.pilot].words} who means {plan}; everything else as drawn."


def _clock(time: float) -> str:
    return f"{time:.1f} s"


def _roomy(extreme: Extreme, units: ShownUnits) -> ShownUnits:
    return long_units(units) if extreme.unit == "m" else units


def moment_words(moment: Moment, flight: Flight, units: ShownUnits) -> str:
    """Return a moment in words."""
    far, numbers = long_units(units), moment.numbers

    def say(name: str, unit: str) -> str:
        return number_text(numbers[name], unit, far if unit == "m" else units)

    if moment.what == "rotors up to speed":
        return f"rotors at {say('rotor_speed', 'rad/s')}, up to speed"
    if moment.what == "lift-off":
        return f"lifts off at {say('airspeed', 'm/s')} after {say('distance', 'm')}"
    if moment.what == "clear of the ground":
        return f"clear of the ground by its own span, {say('airspeed', 'm/s')}"
    if moment.what == "skims":
        return (
            f"skims for {say('lasted', 's')} and {say('distance', 'm')}, never higher than its own span: the ground "
            "spares it drag there, so it may be unable to climb out. Throttle shut, land straight ahead"
        )
    if moment.what == "top of the climb":
        return f"top of the climb, {say('height', 'm')} up, at {say('climb', 'm/s')}"
    if moment.what == "quarter turn":
        which = ORDINALS[min(int(numbers["count"]), len(ORDINALS)) - 1]
        side = "left" if numbers["side"] < 0.0 else "right"
        lost = f"lost {say('lost', 'm')}" if numbers["lost"] > 0.2 else "lost no height"
        bank, slow = number_text(numbers["steepest"], "rad", units), say("slowest", "m/s")
        return f"{which} quarter turn to the {side}: {lost}, slowest {slow}, bank to {bank}"
    if moment.what == "touch-down":
        bank = number_text(abs(numbers["bank"]), "rad", units)
        return f"touches down at {say('airspeed', 'm/s')}, sinking at {say('sink', 'm/s')}, bank {bank}"
    if moment.what == "out of control":
        return "rolls on its side: no longer flown"
    if not flight.outcome.good and flight.outcome.took_off and numbers["airspeed"] > WRECKED:
        return f"strikes the ground at {say('airspeed', 'm/s')}, {say('distance', 'm')} flown over the ground"
    return f"the end, after {say('distance', 'm')} over the ground"


def first_flights_sheet(answer: FirstFlights) -> Sheet:
    """Return the sheet of many first flights."""
    units = units_of(answer.aeroplane.told)
    chances = answer.quantities
    names = ("chance_of_take_off", "chance_of_circuit", "chance_of_return")
    off, circuit, back = (quantity_text(chances[name], units, as_percent=True) for name in names)
    lead = [
        Sentence(f"Of {answer.flights} first flights {off} left the ground, {circuit} flew a circuit, {back} came back "
                 "whole.", "lead"),
        Sentence(_drawn(answer, units)),
    ]  # fmt: skip
    if answer.stopped:
        kept = f" They are kept in {answer.kept}." if answer.kept else ""
        lead.append(Sentence(f"Stopped after {answer.flights} of {answer.asked} flights.{kept}", "doubt"))
    lead += [Sentence(f"{note[:1].upper()}{note[1:]}.") for note in answer.notes]
    rows = []
    for each in answer.outcomes:
        note = "; ".join(driver_words(driver, units) for driver in each.drivers)
        rows.append(Row((f"it {each.outcome.words}", Share(each.chance), str(each.flights)),
                        f"hangs on {note}" if note else ""))  # fmt: skip
    items: list[Item] = [Table(tuple(rows), ("what became of it", "share", "flights"))]
    sections = [Section("What became of them", tuple(items))]
    if answer.drivers:
        causes = tuple(Row((driver_words(driver, units),)) for driver in answer.drivers)
        sections.append(Section("What failure hangs on, all kinds together", (Table(causes),)))
    figures = []
    for name, words in WHOLE.items():
        quantity = chances[name]
        if quantity.value is not None:
            roomy = long_units(units) if quantity.unit == "m" else units
            figures.append(Row((words, quantity_text(quantity, roomy))))
    if figures:
        sections.append(Section("Middle and spread of the flights", (Table(tuple(figures)),)))
    sections.append(Section("How far to trust it", (Sentence(MODEL_LIMIT, "doubt"), Sentence(CAUTION, "caution"))))
    return Sheet(f"{answer.aeroplane.name}: first flights", tuple(lead), tuple(sections), units)


def _drawn(answer: FirstFlights, units: ShownUnits) -> str:
    wind = answer.conditions.wind
    day = "a light wind" if wind is None else f"a wind about {number_text(wind, 'm/s', units)}" if wind else "still air"
    pilot = PILOTS[answer.conditions.pilot].words
    return f"Drawn anew for each: the physics we are not sure of, careful hands that built it, {day}, and {pilot}."


def driver_words(driver: Driver, units: ShownUnits) -> str:
    """Return what failures hang on in words, with the share that would not have been without it."""
    _, unit, words = input_words()[driver.name]
    beyond = {"above": "above", "below": "below", "off": "more than"}[driver.side]
    if unit in ("1", ""):
        which = {"above": "highest", "below": "lowest", "off": "outermost"}[driver.side]
        where = f"in the {which} {100.0 * driver.exposed:.0f} % of its band"
    else:
        off = " either way" if driver.side == "off" else ""
        limit = number_text(driver.limit, unit, units) if math.isfinite(driver.limit) else "—"
        where = f"{beyond} {limit}{off}"
    return f"{words} {where} ({percent_text(driver.attributable)} of these would not have been)"
