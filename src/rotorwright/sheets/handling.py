"""The sheet of how an aeroplane handles: left alone, gyroscope, controls, gusts, turns, balance point."""

from __future__ import annotations

from rotorwright.base.quantity import Quantity
from rotorwright.design.mirrors import twin_name
from rotorwright.sheets.content import Cell, Item, Line, Picture, Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, number_text, quantity_text, units_of
from rotorwright.studies.handling import Handling

LEFT_ALONE = (
    ("short period", "nose bobs", (("short_period_period", "one swing"), ("short_period_damping", "damping ratio"))),
    ("phugoid", "speed and height swing", (("phugoid_period", "one swing"), ("phugoid_damping", "damping ratio"))),
    (
        "Dutch roll",
        "tail wags, wings rock",
        (("dutch_roll_period", "one swing"), ("dutch_roll_damping", "damping ratio")),
    ),
    ("roll", "a roll comes to its rate", (("roll_time_constant", "time constant"),)),
    ("spiral", "a bank grows", (("spiral_double", "doubles in"),)),
)  # fmt: skip
GYROSCOPE = {
    "spin_momentum": "spin momentum",
    "gyroscopic_couple": "rolling moment when yawing at 30 °/s",
    "couple_share_of_roll": "share of full roll control",
    "couple_share_of_yaw": "share of full yaw control, rolling at 30 °/s",
    "nutation_period": "one swing of roll into yaw by the spin alone",
}
CONTROL = {
    "pitch_control": "pitch, middle to full",
    "yaw_control": "yaw, middle to full",
    "roll_control": "roll, middle to full",
    "throttle_pitching": "full throttle from level, nose-up +",
    "throttle_share_of_pitch": "share of full pitch control",
    "throttle_elevator": "the same as degrees of elevator, up +",
}
DIFFERENTIAL = {
    "differential_roll": "rolling moment for 100 rpm between left and right",
    "differential_yaw": "yawing moment that comes with it, right +",
    "differential_for_couple": "needed against the gyroscope, yawing at 30 °/s",
    "differential_room": "faster than in level flight, controller fully open",
    "differential_most": "largest rolling moment: up to 20 % faster and slower",
}
DIFFERENTIAL_FIRST = ("differential_roll", "differential_most")
GUSTS = {
    "lull_lift_lost": "lull of 2 m/s along the path: weight no longer carried",
    "lull_lift_lost_at_once": "the same at once, before the spin follows",
    "spin_time_constant": "time in which the spin follows",
    "updraught_lift_gained": "updraught of 2 m/s: weight carried more",
}
GUSTS_FIRST = ("lull_lift_lost", "updraught_lift_gained")
BALANCE = {
    "balance_point": "now",
    "balance_point_first": "may lie no further ahead than",
    "balance_point_last": "may lie no further aft than",
    "neutral_point": "neutral point",
}
VOLUMES = {"tail_volume": "tail volume on rotor area and diameter", "fin_volume": "fin volume on rotor area and span"}
IN_PER_CENT = ("couple_share_of_roll", "couple_share_of_yaw", "throttle_share_of_pitch", "lull_lift_lost_at_once",
               "lull_lift_lost", "updraught_lift_gained", "differential_room")  # fmt: skip
TWIN = twin_name("")
KG_CM = 0.0980665
"""One kilogram-force centimetre [N m]."""
CAUTION = (
    "These are motions hands off, worked out and never flown. Balance point, throws and the sense of every control are "
    "checked by a second person before each first flight; your club's safety officer has the last word. Try yaw, roll "
    "and a cut throttle high up, over empty ground."
)


def handling_sheet(answer: Handling, *, more: bool = False) -> Sheet:
    """Return the sheet of an aeroplane's handling; ``more`` tells every number and the picture of the balance point."""
    units = units_of(answer.aeroplane.told)
    quantities = answer.quantities
    sections = [Section("Left alone in level flight", tuple(_left_alone(answer, units, more)))]
    if more and (quantities["gyroscopic_couple"].nominal or 0.0) > 1e-3:
        sections.append(Section("The gyroscope", (_rows(quantities, GYROSCOPE),)))
    controls = (_rows(quantities, CONTROL),) if more else ()
    sections.append(Section("Controls", (*controls, _throws(answer, units, more))))
    sections.append(Section("Held straight", tuple(_straight(answer, units, more))))
    if "differential_roll" in quantities:
        sections.append(Section("Rolling with the rotors' speeds", tuple(_differential(answer, more))))
    gusts = GUSTS if more else {name: GUSTS[name] for name in GUSTS_FIRST}
    sections.append(Section("Gusts, level", (_rows(quantities, gusts),)))
    sections.append(Section("A turn through 90°, elevator left alone", (_turns(answer, units, more),)))
    sections.append(Section("Elevator over speed", (_speeds(answer, units, more),)))
    sections.append(Section("Balance point, aft of the rotor axis", tuple(_balance(answer, more))))
    if more and any(name in quantities for name in VOLUMES):
        note = "A rotor is short in chord: tables of tail volumes for wings do not apply to these."
        sections.append(Section("For the record", (_rows(quantities, VOLUMES), Sentence(note, "quiet"))))
    further = () if more else (Sentence("Every number: --more. Pictures: --picture FILE.svg", "quiet"),)
    sections.append(Section("Before you fly it", (Sentence(CAUTION, "caution"), *further)))
    lead = [Sentence(f"{text[:1].upper()}{text[1:]}.", "lead" if k == 0 else "plain") for k, text in
            enumerate(answer.story)]  # fmt: skip
    return Sheet(f"{answer.aeroplane.name}: how it handles", tuple(lead), tuple(sections), units)


def _left_alone(answer: Handling, units: ShownUnits, more: bool) -> list[Item]:
    judged = {each.motion: each.scaled for each in answer.judgements}
    rows = []
    for motion, what, names in LEFT_ALONE:
        told = _told(answer.quantities, names if more else names[:1], units)
        rows.append(Row((what, *((motion,) if more else ()), told, judged.get(motion, "—"))))
    heads = ("what you see", *(("its name",) if more else ()), "how fast", "published limits")
    said = (
        "Limits: MIL-F-8785C, light aeroplanes, cruise; times scaled to this span by √size, but not those of the "
        "spiral: a pilot is no quicker for a small aeroplane."
    )
    return [Table(tuple(rows), heads), *((Sentence(said, "quiet"),) if more else ())]


def _told(quantities: dict[str, Quantity], names: tuple[tuple[str, str], ...], units: ShownUnits) -> str:
    words = []
    for name, prefix in names:
        quantity = quantities[name]
        if quantity.value is None:
            if name == "spiral_double":
                words.append("it fades")
            continue
        words.append(f"{prefix} {quantity_text(quantity, units)}".strip())
    return ", ".join(words) if words else "joins another motion"


def _cell(name: str, quantity: Quantity) -> Cell:
    if quantity.value is None:
        return "—"
    return Share(quantity) if name in IN_PER_CENT else quantity


def _rows(quantities: dict[str, Quantity], names: dict[str, str]) -> Table:
    rows = [
        Row((words, _cell(name, quantities[name])), quantities[name].reason if quantities[name].value is None else "")
        for name, words in names.items()
        if name in quantities
    ]
    return Table(tuple(rows))


def _throws(answer: Handling, units: ShownUnits, more: bool) -> Table:
    names = {each.surface for each in answer.throws}
    rows = [
        Row(
            (
                each.surface if more or f"{each.surface}{TWIN}" not in names else f"{each.surface}, each side",
                each.channel,
                f"{number_text(each.throw, 'm', units)}, {number_text(each.travel, 'rad', units)}",
                f"{number_text(each.low_rate_throw, 'm', units)}, {number_text(each.low_rate_travel, 'rad', units)}",
                *((each.servo_torque if each.servo_torque.value is not None else "—",) if more else ()),
                _kg_cm(each.servo_torque),
            )
        )
        for each in answer.throws
        if more or not each.surface.endswith(TWIN)
    ]
    servo = ("servo rated at least", "the same") if more else ("servo rated at least",)
    return Table(tuple(rows), ("surface", "channel", "throw each way", "first flights", *servo))


def _kg_cm(torque: Quantity) -> str:
    """Return a torque as servos are sold."""
    if torque.value is None or torque.low is None or torque.high is None:
        return "—"
    middle, low, high = (f"{number / KG_CM:.2g}" for number in (torque.value, torque.low, torque.high))
    return f"{middle} kg cm ({low}–{high})"


def _straight(answer: Handling, units: ShownUnits, more: bool) -> list[Item]:
    rows = []
    roll = "aileron" if any(each.channel == "aileron" for each in answer.throws) else "rotors"
    for each in answer.sideways.straight:
        share = f"in {100.0 * each.held:.0f} %"
        if each.bank.value is None:
            rows.append(Row((each.what, "—", "—", "—", "—", share)))
            continue
        told: list[Cell] = [quantity_text(quantity, units) for quantity in (each.bank, each.sideslip)]
        told += [Share(each.rudder), Share(each.aileron if roll == "aileron" else each.rotors)]
        rows.append(Row((each.what, *told, share)))
    said = "Bank + right side down, sideslip + wind from the right. Held: of cases tried."
    if more:
        said += (
            " Reckoned from small motions: beyond 20° of bank, 15° of sideslip, full travel or 20 % of rotor speed it "
            "counts as not held. A stopped part leaves throttle and speed as they were, so height is lost: land "
            "straight ahead."
        )
    roll_head = "aileron" if roll == "aileron" else "rotors apart"
    return [Table(tuple(rows), ("flight", "bank", "sideslip", "rudder", roll_head, "held")),
            Sentence(said, "quiet")]  # fmt: skip


def _differential(answer: Handling, more: bool) -> list[Item]:
    outputs = [
        Row((each.output, each.stick, f"{100.0 * each.share:+.0f} % of its speed at full right {each.mixed_with}"
             if each.mixed_with else "—"))
        for each in answer.sideways.outputs
    ]  # fmt: skip
    said = (
        "A mix to start from (judgement), signs checked with the belts off: right stick must speed up the left rotor. "
        "With both rotors at full speed nothing is left for the faster side; the slower one then rolls it, and lift is "
        "lost. The yaw that comes with it is for the rudder."
    )
    heads = ("output of the receiver", "moved by", "mixed with it")
    shown = DIFFERENTIAL if more else {name: DIFFERENTIAL[name] for name in DIFFERENTIAL_FIRST}
    if not more:
        return [_rows(answer.quantities, shown), Table(tuple(outputs), heads)]
    return [_rows(answer.quantities, shown), Table(tuple(outputs), heads), Sentence(said, "quiet")]


def _turns(answer: Handling, units: ShownUnits, more: bool) -> Table:
    outdoors = ShownUnits({**units.chosen, "m": "ft" if units.unit_for("m") == "in" else "m"})
    rows = []
    for turn in answer.turns:
        if not more and turn.throttle == "full":
            continue
        start = (_degrees(turn.bank), turn.throttle)
        if turn.height_lost.value is None:
            rows.append(Row((*start, "—", "—", "—"), turn.height_lost.reason))
        else:
            far = (quantity_text(length, outdoors) for length in (turn.height_lost, turn.radius))
            rows.append(Row((*start, *far, turn.time)))
    return Table(tuple(rows), ("bank", "throttle", "height lost", "radius", "time"))


def _speeds(answer: Handling, units: ShownUnits, more: bool) -> Table:
    """Return where the elevator stands: level at other speeds, and what other throttles bring."""
    rows = []
    for trim in answer.speeds:
        level = trim.kind == "level"
        what = "level" if level else "glide" if trim.asked == 0.0 else f"throttle {100.0 * trim.asked:.0f} %"
        if not more and (trim.elevator.value is None or (not level and trim.asked > 0.0)):
            continue
        speed = number_text(trim.asked, "m/s", units) if level else quantity_text(trim.airspeed, units)
        if trim.elevator.value is None:
            rows.append(Row((what, speed if level else "—", "—", "—", "—"), trim.elevator.reason))
            continue
        climb = "0" if level else quantity_text(trim.climb, units)
        left = f"{100.0 * (trim.left.value or 0.0):.0f} %"
        rows.append(Row((what, speed, climb, Share(trim.elevator), left)))
    heads = ("flight", "airspeed", "climb", "elevator down +", "left")
    return Table(tuple(rows), heads)


def _degrees(angle: float) -> str:
    return number_text(angle, "rad", ShownUnits())


def _balance(answer: Handling, more: bool) -> list[Item]:
    found = answer.balance
    shown = {name: words for name, words in BALANCE.items() if more or name != "neutral_point"}
    items: list[Item] = [_rows(answer.quantities, shown)]
    ends = [f"{side}: {reason}" for side, reason in zip(("ahead", "aft"), found.limits, strict=True) if reason]
    if more and ends:
        items.append(Sentence(f"What ends it {'; '.join(ends)}.", "quiet"))
    trimmed = [(x, y) for x, y in zip(found.places, found.elevator, strict=True) if y is not None]
    if more and len(trimmed) > 1:
        x, y = zip(*trimmed, strict=True)
        said = "Share of elevator travel that trims level flight, trailing edge down positive."
        items.append(Picture("Trim over the balance point", "aft of the rotor axis", "m", "elevator", "1",
                             (Line("elevator", x, y),), said))  # fmt: skip
    return items
