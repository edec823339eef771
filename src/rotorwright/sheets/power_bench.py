"""Sheets about the bench: what own readings of motor and propeller say, and how to take them."""

from __future__ import annotations

from collections.abc import Sequence

from rotorwright.base.unknown import unknowns
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.sheets.content import Item, Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.numbers import number_text, percent_text, quantity_text, units_of
from rotorwright.studies.bench_plan import CASE_STOP, CELL_STOP, HOLD, BenchPlan
from rotorwright.studies.bench_rig_fit import CHANNELS, BenchResidual
from rotorwright.studies.bench_rig_use import OnTheBench

WORDS = {
    "rotor_speed": "speed",
    "current": "amps",
    "electrical_power": "watts",
    "thrust": "thrust",
    "torque": "torque",
    "motor_temperature": "case temperature",
}
MOST_TOLD = 5
CAUTION = (
    "A propeller on a stand is a saw that starts without warning. Bolt the stand down, guard it, stand beside and "
    "behind the disc, never in its plane, nobody else near; eye protection on; arm last, a cut-off within reach; "
    "take the pack out before you touch anything. Never leave a charging or hot pack alone. Your club's safety officer "
    "and local rules come first."
)
PROCEDURE = (
    "Propeller balanced, whole, screwed on the right way round; blowing away from the stand's post, a metre of free "
    "air all round, no wall behind.",
    "Check the thrust scale with a known weight in the direction of the pull, before and after.",
    "Volts at the controller's own leads while it runs; amps in the battery lead; rpm by an optical or electrical "
    "counter.",
    f"Five steps up and the same down, each held {HOLD:.0f} s, then a minute of rest with the motor off to cool.",
    "Write down air temperature and pressure once. For the heat: case temperature with the seconds since the motor was "
    "started, at one steady throttle.",
    "Two throttles tell more than many readings of one: near half and full.",
)
HEAD = (
    "throttle_pct; volts; amps; rpm; thrust_gf; motor_temperature_degc; running_time_s; temperature_degc; pressure_hpa"
)


def bench_report_sheet(aeroplane: Aeroplane, stood: Sequence[OnTheBench]) -> Sheet:
    """Return the sheet that tells what own bench data did to the Unknowns of the thrusters."""
    units = units_of(aeroplane.told)
    sections: list[Section] = []
    lead: list[Sentence] = []
    prior = {unknown.name: unknown for unknown in unknowns()}
    for bench in stood:
        fit = bench.fit
        called = [name.replace("_", " ") for name in fit.disagreements]
        verdict = f"disagrees with what is usual in {', '.join(called)}" if called else "agrees with what is usual"
        lead.append(
            Sentence(f"{bench.thruster}: {len(bench.readings)} readings of {bench.file}; the bench {verdict}.", "lead")
        )
        rows = tuple(
            Row(
                (
                    name.replace("_", " "),
                    quantity_text(quantity, units),
                    f"was {prior[name].median:g} ({prior[name].low:g} to {prior[name].high:g})",
                )
            )
            for name, quantity in fit.posterior.items()
        )
        scatter = ", ".join(f"{WORDS[name]} {100.0 * share:.1f} %" for name, share in fit.scatter.items())
        items: list[Item] = [Sentence(f"Readings lie about the fit by: {scatter}."), Table(rows)]
        sections.append(Section(f"What the bench says of {bench.thruster}", tuple(items)))
        sections.append(Section("Reading by reading", (_readings(fit.residuals),)))
        doubts: list[Item] = []
        if called:
            doubts.append(
                Sentence(
                    f"Your bench wants {', '.join(called)} outside what is published. Check labels, volts and scale "
                    "before you believe it: neither is proved wrong.",
                    "doubt",
                )
            )
        doubts += [Sentence(text, "doubt") for text in _outliers(fit.residuals)]
        doubts += [Sentence(f"{note[:1].upper()}{note[1:]}.", "doubt") for note in fit.notes]
        if doubts:
            sections.append(Section("How far to trust it", tuple(doubts)))
    note = 'Write bench = "FILE.csv" under the thruster in the aircraft file: every answer then flies with it.'
    sections.append(Section("To keep it", (Sentence(note),)))
    sections.append(Section("Before the next run", (Sentence(CAUTION, "caution"),)))
    return Sheet(f"{aeroplane.name}: the bench", tuple(lead), tuple(sections), units)


def _readings(residuals: Sequence[BenchResidual]) -> Table:
    """Return fitted over measured, a line per reading."""
    lines = sorted({residual.line for residual in residuals})
    names = [name for name in CHANNELS if any(residual.quantity == name for residual in residuals)]
    table = {(residual.line, residual.quantity): residual for residual in residuals}
    rows = []
    for line in lines[:12]:
        cells = [f"line {line}"]
        for name in names:
            residual = table.get((line, name))
            cells.append("—" if residual is None else _off(residual))
        rows.append(Row(tuple(cells)))
    return Table(tuple(rows), ("fit less reading", *(WORDS[name] for name in names)))


def _off(residual: BenchResidual) -> str:
    if residual.quantity == "motor_temperature":
        return f"{residual.fitted - residual.measured:+.0f} K"
    return f"{100.0 * (residual.fitted / residual.measured - 1.0):+.1f} %"


def _outliers(residuals: Sequence[BenchResidual]) -> list[str]:
    out = sorted((each for each in residuals if each.sticks_out), key=lambda each: -abs(each.misfit))
    return [
        f"The {WORDS[each.quantity]} in line {each.line} sticks out by {_off(each)}: look at that reading again; it "
        "counts little here."
        for each in out[:MOST_TOLD]
    ]


def bench_plan_sheet(plan: BenchPlan) -> Sheet:
    """Return the printed test procedure of one thruster, with what to expect and where to stop."""
    units = units_of(plan.aeroplane.told)
    heads = ("throttle", "volts", "amps", "speed", "thrust", f"winding after {HOLD:.0f} s")
    rows = tuple(
        Row(
            (
                percent_text(step.throttle) if step.throttle < 0.995 else "full",
                number_text(step.voltage, "V", units),
                quantity_text(step.expected.current, units),
                quantity_text(step.expected.rotor_speed, units),
                quantity_text(step.expected.thrust, units),
                quantity_text(step.expected.winding_temperature, units),
            )
        )
        for step in plan.steps
    )
    stop = [
        f"the case passes {number_text(CASE_STOP, 'K', units)}",
        f"the pack falls below {CELL_STOP * plan.cells:.1f} V",
    ]
    if plan.current_stop > 0.0:
        stop.insert(0, f"the amps pass {number_text(plan.current_stop, 'A', units)}")
    full = plan.steps[-1].expected
    lead = Sentence(
        f"At full throttle expect {quantity_text(full.thrust, units)}, {quantity_text(full.current, units)} and "
        f"{quantity_text(full.rotor_speed, units)}; the tips move at {quantity_text(plan.tip_speed, units)}.",
        "lead",
    )
    sections = (
        Section("Cautions first", (Sentence(CAUTION, "caution"),)),
        Section(
            "What to expect", (Table(rows, heads), Sentence(f"Stop at once when {', '.join(stop)}, or if it shakes."))
        ),
        Section("How to run it", tuple(Sentence(f"{k}. {text}") for k, text in enumerate(PROCEDURE, 1))),
        Section("The file", (Sentence(HEAD), Sentence("Any of them; blank where nothing was measured.", "quiet"))),
    )
    return Sheet(f"{plan.aeroplane.name}: bench run of {plan.thruster}", (lead,), sections, units)
