"""The sheet of the shake: verdict first, then where each rotor shakes and turns, what moves it, cautions."""

from __future__ import annotations

from rotorwright.base.constants import GRAVITY
from rotorwright.base.quantity import Quantity
from rotorwright.sheets.content import Item, Line, Picture, Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, number_text, percent_text, quantity_text, units_of, value_text
from rotorwright.studies.shake import RotorShake, Shake
from rotorwright.studies.shake_bands import KeepOut

HOW = {
    "avoid": "keep out",
    "cross": "cross, do not stay",
    "notice": "may hum",
}
SPEEDS = {
    "shake_level_speed": "rotor speed, level flight",
    "shake_slowest": "slowest in flight",
    "shake_fastest": "fastest in flight",
    "first_critical": "first critical speed",
    "first_critical_upper": "its upper edge",
    "first_critical_backward": "whirling against the spin",
}
HOW_BADLY = {
    "shake_force": "on the worst bearing, as built",
    "run_out_force": "of it from a tube bent by a third of a mm",
    "shake_force_balanced": "the same, balanced to grade G 16",
    "shake_orbit": "the axis swings out by, as built",
    "critical_orbit": "held at the critical it would by",
    "half_critical_orbit": "held at half the critical, under lift",
    "dwell_limit": "half of that is reached within",
    "crossing_share": "run-up in 3 s reaches of it",
    "belt_bearing_load": "belt pulls the near bearing with",
    "belt_tilt": "and tilts the shaft in it by",
}
MOST_FIXES = 4
LEAST_SAG = 0.1e-3
"""A sag below this cannot be read with a straightedge [m]."""
TEST_WEIGHT = 0.5 * GRAVITY
"""[N]"""
CAUTION = (
    "Look for the critical on the ground only: aeroplane tied down, everybody out of the plane of the discs and behind "
    "a shield, face shield on, speed raised in small steps and cut at the first rising shake. A slow coast-down "
    "through a critical is the worst passage: brake through it. The club's safety officer and local rules come first."
)


def shake_sheet(answer: Shake) -> Sheet:
    """Return the sheet of a shake."""
    units = units_of(answer.aeroplane.told)
    sections = []
    for rotor in answer.rotors:
        sections += rotor_sections(answer, rotor, units)
    if answer.others:
        sections.append(Section("What else shakes, level flight", tuple(_others(answer, units))))
    sections.append(Section("How far to trust it", tuple(Sentence(f"• {_first_up(note)}.") for note in answer.notes)))
    sections.append(Section("Before you spin it", (Sentence(CAUTION, "caution"),)))
    return Sheet(
        f"{answer.aeroplane.name}: where its rotors shake", tuple(_lead(answer, units)), tuple(sections), units
    )


def _first_up(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}" if not text.startswith("rotor.") else text


def _names(rotor: RotorShake) -> str:
    return " and ".join(rotor.shaft.rotors)


def _lead(answer: Shake, units: ShownUnits) -> list[Sentence]:
    lead = []
    for rotor in answer.rotors:
        chance = "" if not answer.samples else f", {percent_text(rotor.clear)} chance that no flight speed is in a band"
        lead.append(Sentence(f"Rotor {_names(rotor)}: {rotor.word}{chance}.", "lead"))
        lead.append(Sentence(_where(rotor, units)))
        inside = [band for band in rotor.bands if band.how == "avoid" and _inside(answer, band) >= 0.1]
        for band in inside:
            lead.append(
                Sentence(
                    f"Keep out of {_range(band, units)} ({band.name}): flight lies inside in "
                    f"{percent_text(_inside(answer, band))} of the cases."
                    if answer.samples
                    else f"Keep out of {_range(band, units)} ({band.name}): flight lies inside."
                )
            )
        best = next((fix for fix in rotor.fixes if fix.gained > 0.02 or not answer.samples), None)
        if best is not None:
            gain = f": clear in {percent_text(best.clear)}" if answer.samples else ""
            lead.append(Sentence(f"What moves it best: {best.words}{gain}."))
    return lead


def _inside(answer: Shake, band: KeepOut) -> float:
    return band.share_inside(answer.speeds.slowest, answer.speeds.fastest)


def _where(rotor: RotorShake, units: ShownUnits) -> str:
    level, first = rotor.quantities["shake_level_speed"], rotor.quantities["first_critical"]
    margin = rotor.quantities["shake_margin"]
    if first.value is None:
        return "No whirl keeps step with the spin."
    if level.value is None:
        return f"It has no steady flight; its first critical speed is {quantity_text(first, units)}."
    turns, rings = quantity_text(level, units), quantity_text(first, units)
    text = f"In level flight it turns at {turns}; its first critical is {rings}"
    if margin.value is None:
        return f"{text}."
    if margin.value < 0.0:
        return f"{text}: it flies above it and must pass through it at every start and stop."
    return f"{text}: it stays {quantity_text(margin, units, as_percent=True)} below it."


def _range(band: KeepOut, units: ShownUnits) -> str:
    low = number_text(_round(band.low), "rad/s", units).split(" ")[0]
    return f"{low} to {number_text(_round(band.high), 'rad/s', units)}"


def _round(speed: float) -> float:
    """Round a speed to ten turns a minute: band edges are not sharper."""
    import math

    step = 10.0 * math.pi / 30.0
    return round(speed / step) * step


def rotor_sections(answer: Shake, rotor: RotorShake, units: ShownUnits) -> list[Section]:
    """Return the sections of one rotor: bands, speeds, how badly, fixes."""
    items: list[Item] = [_bands(answer, rotor, units)]
    told = [band for band in rotor.bands if band is rotor.bands[0] or _inside(answer, band) >= 0.1]
    items += [Sentence(f"{_first_up(band.name)}: {band.cause}.", "quiet") for band in told]
    sections = [Section(f"Speeds to keep out of: rotor {_names(rotor)}", tuple(items))]
    sections.append(Section("Where it turns and where it rings", (_rows(rotor, SPEEDS), *_map(answer, rotor))))
    sections.append(Section("How badly", (_rows(rotor, HOW_BADLY),)))
    sections.append(Section("Check it on the bench", tuple(_bench(rotor, units))))
    if rotor.fixes:
        rows = tuple(
            Row((fix.words, fix.first_critical, percent_text(fix.clear) if answer.samples else "—", _added(fix, units)))
            for fix in rotor.fixes[:MOST_FIXES]
        )
        table = Table(rows, ("tried", "first critical", "clear", "mass"))
        sections.append(Section("What moves it, at the same flight speeds", (table,)))
    return sections


def _added(fix: object, units: ShownUnits) -> str:
    grams = getattr(fix, "added_mass", 0.0)
    if abs(grams) < 2e-4:
        return "as is"
    return ("+" if grams > 0.0 else "−") + number_text(abs(grams), "kg", units)


def _bands(answer: Shake, rotor: RotorShake, units: ShownUnits) -> Table:
    rows = []
    for band in rotor.bands:
        share = percent_text(_inside(answer, band)) if answer.samples else ("yes" if _inside(answer, band) else "no")
        rows.append(Row((HOW[band.how], _range(band, units), band.name, share)))
    if not rows:
        rows.append(Row(("none", "", "below 1.4 times the fastest flight", "")))
    return Table(tuple(rows), ("", "from, to", "what", "flight inside"))


def _rows(rotor: RotorShake, names: dict[str, str]) -> Table:
    rows = []
    for name, words in names.items():
        quantity = rotor.quantities.get(name)
        if quantity is None or quantity.value is None:
            continue
        cell: Quantity | Share = Share(quantity) if name == "crossing_share" else quantity
        rows.append(Row((words, cell)))
    return Table(tuple(rows))


def _map(answer: Shake, rotor: RotorShake) -> list[Item]:
    """Return the rotor's own line of speed over airspeed with its bands."""
    speeds = answer.speeds
    level, air = float(speeds.level[0]), float(speeds.airspeed[0])
    if not (level == level and air == air) or not rotor.bands:
        return []
    if not speeds.per_airspeed:
        return [Sentence("The drive holds the speed, whatever the airspeed; the command moves it.", "quiet")]
    airs = tuple(air * (0.2 + 0.2 * step) for step in range(7))
    line = tuple(speeds.per_airspeed * each for each in airs)
    lines = [Line("rotor speed", airs, line)]
    band = rotor.bands[0]
    if band.how == "avoid":
        middle = band.critical.nominal or 0.5 * (band.low + band.high)
        lines.append(
            Line("keep out", airs, (middle,) * 7, (band.low,) * 7, (band.high,) * 7),
        )
    said = "A free rotor keeps its spin ratio, so its speed goes with the airspeed; o is the first critical."
    return [Picture("", "airspeed", "m/s", "rotor speed", "rad/s", tuple(lines), said)]


def _bench(rotor: RotorShake, units: ShownUnits) -> list[Item]:
    quantities = rotor.quantities
    sag = quantities["sag"]
    if (sag.value or 0.0) < LEAST_SAG and "first_critical_from_sag" not in quantities:
        give = TEST_WEIGHT / rotor.shaft.weakest_mount
        return [
            Sentence(
                f"The rotor itself sags too little to read, {quantity_text(sag, units)}: its mounts decide. Hang "
                f"{number_text(TEST_WEIGHT / GRAVITY, 'kg', units)} on one bearing: as reckoned here it gives "
                f"{number_text(give, 'm', units)}. Tell the stiffness you find, weight over give, as mount_stiffness."
            )
        ]
    items: list[Item] = [
        Sentence(
            f"Hang the rotor in its bearings and lay a straightedge from bearing to bearing: mid-span should sag "
            f"{quantity_text(sag, units)}."
        )
    ]
    told = quantities.get("first_critical_from_sag")
    if told is not None:
        items.append(Sentence(f"From the sag you measured the first critical is {quantity_text(told, units)}.", "lead"))
        return items
    at_one = quantities["critical_at_one_millimetre"]
    items.append(
        Sentence(
            f"If it sags 1 mm, the first critical is about {value_text(at_one, units)}; a quarter of the sag is twice "
            "the speed. Give what you read with --sag."
        )
    )
    return items


def _others(answer: Shake, units: ShownUnits) -> list[Item]:
    rows = []
    for other in answer.others:
        near = number_text(other.nearest, "rad/s", units) if other.nearest else "—"
        says = f"meets a bending of the rotor: {other.words}" if other.meets else "clear"
        if other.name == "your test rig":
            says = other.words
        rows.append(Row((other.name, number_text(other.frequency.value, "rad/s", units), near, says)))
    return [Table(tuple(rows), ("", "shakes at", "nearest bending", ""))]
