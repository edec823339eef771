"""What the rotor bench accepts: checks that name field, found and allowed, and the record the kernels read."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from rotorwright.base import records
from rotorwright.base.errors import InputError, InputProblems, Problem
from rotorwright.design.stages import even_stage_phase

PLACE = "rotor_alone"
SECTIONS = {"plate": records.PLATE, "s-section": records.S_SECTION, "bucket": records.BUCKET}
FLOWS = {"quiet": records.QUIET, "outdoor": records.OUTDOOR, "turbulent": records.TURBULENT}
WORDS: dict[str, tuple[Any, ...]] = {
    "kind": ("drum", "vaned"),
    "section": tuple(SECTIONS),
    "surface": ("smooth", "rough"),
    "flow": tuple(FLOWS),
    "branch": ("quiet", "turbulent", None),
    "inner_end": ("open", "sealed"),
}
"""Arguments that take a word, and the words they take."""
# name: (lowest, highest, unit, whether the lowest itself is refused); far wider than the data: only nonsense is refused
_RANGES: dict[str, tuple[float, float, str, bool]] = {
    "diameter": (0.0, 50.0, "m", True),
    "span": (0.0, 500.0, "m", True),
    "disc_diameter": (0.0, 200.0, "m", True),
    "disc_thickness": (0.0, 10.0, "m", False),
    "overlap": (0.0, 50.0, "m", False),
    "airspeed": (0.0, 150.0, "m/s", False),
    "spin_ratio": (-1000.0, 1000.0, "1", False),
    "rotor_speed": (-20000.0, 20000.0, "rad/s", False),
    "stage_phase": (-2.0 * math.pi, 2.0 * math.pi, "rad", False),
    "skin_friction_factor": (0.0, 20.0, "1", True),
    "bearing_torque": (0.0, 1000.0, "N m", False),
    "bearing_drag": (0.0, 100.0, "N m s", False),
    "polar_inertia": (0.0, 1.0e5, "kg m²", False),
    "air_density": (0.0, 2000.0, "kg/m³", True),
    "air_viscosity": (0.0, 1.0, "Pa s", True),
}
_COUNTS = {"buckets": (2, 6), "stages": (1, 50), "disc_count": (0, 100), "samples": (8, 1024), "seed": (0, 2**31)}
_OPTIONAL = {
    "disc_diameter",
    "spin_ratio",
    "rotor_speed",
    "stage_phase",
    "skin_friction_factor",
    "polar_inertia",
    "disc_count",
}
_FLAGS = ("discs_turn", "free", "two_dimensional")


def _problem(field: str, message: str, found: Any, allowed: str, hint: str = "") -> Problem:
    return Problem(message, place=PLACE, field=field, found=repr(found), allowed=allowed, hint=hint)


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float, np.integer, np.floating)) and not isinstance(value, bool)


def check_bench(stated: dict[str, Any]) -> None:
    """Raise `InputError` or `InputProblems` when a bench argument cannot be used; all problems at once."""
    problems: list[Problem] = []
    for field, words in WORDS.items():
        if not (isinstance(stated[field], str) or stated[field] is None) or stated[field] not in words:
            allowed = ", ".join("nothing" if word is None else word for word in words)
            problems.append(_problem(field, "is not a word it knows", stated[field], allowed))
    for field, (low, high, unit, open_low) in _RANGES.items():
        value = stated[field]
        if value is None and field in _OPTIONAL:
            continue
        allowed = f"{'more than ' if open_low else ''}{low:g} to {high:g} {unit}"
        if not _is_number(value):
            problems.append(_problem(field, "is not a number", value, allowed))
        elif not (low <= value <= high) or (open_low and value <= low):
            problems.append(_problem(field, "is out of range", value, allowed))
    for field, (least, most) in _COUNTS.items():
        value = stated[field]
        if value is None and field in _OPTIONAL:
            continue
        if not isinstance(value, (int, np.integer)) or isinstance(value, bool) or not least <= value <= most:
            problems.append(_problem(field, "is not a whole number in range", value, f"{least} to {most}"))
    problems += [
        _problem(field, "is neither yes nor no", stated[field], "True, False")
        for field in _FLAGS
        if not isinstance(stated[field], (bool, np.bool_))
    ]
    if not problems:
        problems += _clashes(stated)
    if len(problems) == 1:
        one = problems[0]
        raise InputError(
            one.message, place=one.place, field=one.field, found=one.found, allowed=one.allowed, hint=one.hint
        )
    if problems:
        raise InputProblems(problems)


def _clashes(stated: dict[str, Any]) -> list[Problem]:
    problems = []
    motions = [name for name in ("spin_ratio", "rotor_speed") if stated[name] is not None]
    motions += ["free"] if stated["free"] else []
    if len(motions) != 1:
        found = " and ".join(motions) or "none"
        allowed = "exactly one of spin_ratio, rotor_speed, free"
        problems.append(Problem("its motion is not clear", PLACE, None, "spin_ratio", found, allowed))
    if stated["spin_ratio"] is not None and stated["airspeed"] == 0.0:
        hint = "Give rotor_speed."
        problems.append(_problem("spin_ratio", "means nothing in still air", stated["spin_ratio"], "", hint))
    disc, diameter = stated["disc_diameter"], stated["diameter"]
    if disc is not None and disc < diameter:
        problems.append(_problem("disc_diameter", "is smaller than the rotor", disc, f"{diameter:g} m or more"))
    if stated["disc_count"] and disc is None:
        problems.append(_problem("disc_diameter", "is missing though discs are counted", disc, "a size in m"))
    if stated["kind"] == "vaned" and stated["section"] == "bucket" and stated["overlap"] >= 0.9 * diameter:
        allowed = f"less than {0.9 * diameter:g} m"
        problems.append(_problem("overlap", "leaves no bucket", stated["overlap"], allowed))
    return problems


def stage_phase(stated: dict[str, Any]) -> float:
    """Return the angle between neighbouring stages, spread evenly unless stated [rad]."""
    if stated["stage_phase"] is not None:
        return float(stated["stage_phase"])
    return even_stage_phase(stated["section"], stated["buckets"], stated["stages"]) if stated["stages"] > 1 else 0.0


def rotor_row(stated: dict[str, Any]) -> Any:
    """Return the record the rotor kernels read, from checked bench arguments."""
    row = np.zeros(1, dtype=records.ROTOR)[0]
    row["kind"] = records.DRUM if stated["kind"] == "drum" else records.VANED
    row["section"] = SECTIONS[stated["section"]]
    for name in (
        "buckets",
        "overlap",
        "span",
        "diameter",
        "disc_thickness",
        "stages",
        "bearing_torque",
        "bearing_drag",
    ):
        row[name] = stated[name]
    row["stage_phase"] = stage_phase(stated)
    row["discs_turn"] = 1.0 if stated["discs_turn"] else 0.0
    row["rough"] = 1.0 if stated["surface"] == "rough" else 0.0
    row["flow"] = FLOWS[stated["flow"]]
    row["drive"] = records.NONE
    row["turning"] = 1.0
    row["polar_inertia"] = stated["polar_inertia"] or 0.0
    row["inner_end"] = 2.0 if stated["two_dimensional"] else (1.0 if stated["inner_end"] == "sealed" else 0.0)
    row["disc_diameter"] = stated["diameter"]
    if stated["disc_diameter"] is not None:
        count = 2 if stated["disc_count"] is None else stated["disc_count"]
        ends = 1 if row["inner_end"] == 1.0 else 2
        row["disc_diameter"] = stated["disc_diameter"]
        row["end_discs"] = min(count, ends)
        row["middle_discs"] = max(0, count - ends)
    return row
