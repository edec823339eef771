"""Write ``docs/hand-calculation.md``: a level flight worked by hand, beside what the tool says.

Run ``python tools/hand_calculation_page.py`` after changing the example, a law or a median.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
PAGE = ROOT / "docs" / "hand-calculation.md"
sys.path.insert(0, str(ROOT / "tools"))

from hand_calculation import Given, work_out  # noqa: E402

EXAMPLE = "drum-major"
COMPARED = (
    # name in a balance, words, unit, relative tolerance
    ("level_speed", "airspeed", " m/s", 0.03),
    ("level_incidence", "incidence", " rad", 0.08),
    ("level_thrust", "thrust", " N", 0.03),
    ("level_throttle", "throttle", "", 0.03),
    ("drive_duty", "duty of the drum drives", "", 0.02),
    ("level_power", "power at the terminals", " W", 0.05),
    ("level_current", "pack current", " A", 0.05),
)


LEFT_OUT = "surface.tip"
"""Table of the file that the calculation goes without: one wing more would make it half as long again."""


def flown() -> Any:
    """Return the example in steady flight, every Unknown at its median, without the table left out."""
    from rotorwright.design.aircraft_file import loads
    from rotorwright.studies.evaluate import fly

    tables = (ROOT / "examples" / f"{EXAMPLE}.toml").read_text(encoding="utf-8").split("\n[")
    kept = [table for table in tables if not table.startswith(f"{LEFT_OUT}]")]
    if len(kept) != len(tables) - 1:
        raise SystemExit(f"the example has no table [{LEFT_OUT}]")
    return fly(loads("\n[".join(kept), EXAMPLE), samples=0)


def given(flown: Any) -> Given:
    """Return what the calculation starts from: geometry, mass, balance point, air; drum speed and elevator as flown."""
    from rotorwright.flight.envelope import LEVEL

    vehicle, air, steady = flown.numbers.vehicle[0], flown.numbers.air[0], flown.envelope.steady[0, LEVEL]
    numbers = (vehicle["mass"], vehicle["x"], vehicle["z"], air["density"], air["viscosity"], air["gravity"])
    return Given(flown.rows, *map(float, numbers), float(steady["rotor_speed"]), float(steady["elevator"]))


def page() -> str:
    """Return the page."""
    from rotorwright.studies.balance_quantities import read_quantities

    as_flown = flown()
    start = given(as_flown)
    sheet, answers, passes = work_out(start)
    told = read_quantities(as_flown)
    lines = [
        "# A level flight worked by hand",
        "",
        "Made by `tools/hand_calculation_page.py`; do not edit it.",
        "",
        f"The example `{EXAMPLE}` without its tip panels in level flight, step by step with ordinary arithmetic:",
        "no compiled code takes part, every law stands in the page of its room, tables are read by straight lines.",
        "A test repeats it and compares it with the tool, so that a slip would have to be made twice, in two ways,",
        "to go unseen.",
        "to go unseen.",
        "",
        "Left out, because it is small: the loss of lift of a smooth drum below a spin ratio of 0.9 (only where the",
        "wash meets it), the tail's separated part, the rounding of curves near rest.",
        "",
        "## Given",
        "",
        "Geometry from the aircraft file; mass and balance point from `rotorwright check`, air from the field.",
        "",
        "| what | value |",
        "|---|---|",
        f"| mass | {start.mass:.4g} kg, weight {start.mass * start.gravity:.4g} N |",
        f"| balance point | {-start.x:.4g} m aft of the nose point, {-start.z:.4g} m above it |",
        f"| density, viscosity | {start.density:.5g} kg/m³, {start.viscosity:.4g} Pa s |",
        f"| drums | {start.rotor_speed:.4g} rad/s, held by their drives |",
        f"| elevator | {start.elevator:.3g} of its travel |",
        "",
        "## Passes",
        "",
        "Three unknowns, three sums. Start anywhere near, see what is missing, change V, α and T by the three straight",
        "lines that small changes of each give, repeat:",
        "",
        "| pass | V, m/s | α, rad | T, N |",
        "|--:|--:|--:|--:|",
        *(f"| {k} | {v:.4f} | {a:.4f} | {t:.4f} |" for k, (v, a, t) in enumerate(passes)),
        "",
        "What follows is the last pass, written out.",
        *sheet.lines,
        "",
        "## By hand and by the tool",
        "",
        f"`rotorwright balance drum.toml --nominal --json`, drum.toml: `{EXAMPLE}.toml`, `[{LEFT_OUT}]` struck out.",
        "",
        "| quantity | by hand | tool | apart | allowed |",
        "|---|--:|--:|--:|--:|",
    ]
    for name, words, unit, tolerance in COMPARED:
        ours = told[name].nominal
        assert ours is not None
        apart = answers[name] / ours - 1.0
        lines.append(
            f"| {words} (`{name}`) | {answers[name]:.4g}{unit} | {ours:.4g}{unit} | {apart:+.1%} | ±{tolerance:.0%} |"
        )
    lines += [
        "",
        "The speed is the touchiest number: between spin ratios of 1.5 and 2.5 the lift of a drum at a held speed",
        "grows only with the power 0.2 to 0.5 of the airspeed, so one per cent of lift read wrongly from a table is 2",
        "to 5 per cent of airspeed. That is as true of the aeroplane as of this page.",
    ]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
