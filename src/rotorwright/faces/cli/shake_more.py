"""The other questions of ``rotorwright shake``: strength, tolerances, balancing, a recording."""

from __future__ import annotations

from typing import Any

from rotorwright.faces.cli.options import Measures, load_changed

OWN = {
    "strength": ("strength", "gust", "all_"),
    "tolerances": ("tolerances",),
    "run": ("run", "runs", "radius", "holes", "left_on"),
    "record": ("record", "rotor_speed", "shaken_mass"),
}
"""Options that belong to each question."""
SHARED = ("file", "set_", "seed", "json", "samples", "nominal")
PLAIN = ("sag", "rig")


def needs_file(file: str | None, measures: Measures) -> None:
    """Take note if no aircraft file was given."""
    if file is None:
        measures.trouble("FILE", "is needed", hint="rotorwright shake my.toml")


def answered(given: dict[str, Any], measures: Measures) -> bool:
    """Answer another question than where the rotors shake, if one was asked.

    Parameters
    ----------
    given : dict
        Every option by the name of its argument.
    measures : Measures
        Collects what is wrong.

    Returns
    -------
    bool
        Whether the answer was given.
    """
    asked = [name for name in OWN if any(_told(given[option]) for option in OWN[name])]
    if not asked:
        return False
    question = asked[0]
    strangers = [option for other in asked[1:] for option in OWN[other]] + list(PLAIN)
    for option in strangers:
        if _told(given[option]):
            measures.trouble(_spelled(option), f"does not go with {_spelled(question)}")
    for other in ("gust", "all_"):
        if _told(given[other]) and not given["strength"]:
            measures.trouble(_spelled(other), "goes with --strength only")
    if question == "record" and given["record"] is None:
        measures.trouble("--rotor-speed, --shaken-mass", "go with --record only")
    if question == "run" and not (given["run"] or given["runs"]):
        measures.trouble("--radius, --holes, --left-on", "go with --run or --runs only")
    {"strength": _strength, "tolerances": _tolerances, "run": _balance, "record": _record}[question](given, measures)
    return True


def _told(value: Any) -> bool:
    return value is not None and value is not False and value != []


def _spelled(option: str) -> str:
    words = {"all_": "--all", "rig": "--rig-resonance", "run": "--run or --runs"}
    return words.get(option, f"--{option.replace('_', '-')}")


def _strength(given: dict[str, Any], measures: Measures) -> None:
    from rotorwright.faces.cli.shake_strength import answer_strength

    gust = measures.read("--gust", given["gust"], "speed")
    if gust is not None and not 0.0 <= gust <= 30.0:
        measures.trouble("--gust", "is out of range", allowed="0 to 30 m/s")
    needs_file(given["file"], measures)
    measures.insist()
    aeroplane, changes = load_changed(given["file"], given["set_"])
    answer_strength(
        aeroplane, changes, gust, given["samples"], given["seed"], given["nominal"], given["json"], given["all_"]
    )


def _tolerances(given: dict[str, Any], measures: Measures) -> None:
    from rotorwright.faces.cli.shake_strength import answer_tolerances

    needs_file(given["file"], measures)
    measures.insist()
    aeroplane, changes = load_changed(given["file"], given["set_"])
    answer_tolerances(aeroplane, changes, given["seed"], given["json"])


def _balance(given: dict[str, Any], measures: Measures) -> None:
    from rotorwright.faces.cli.shake_balance import answer_balance

    radius = measures.read("--radius", given["radius"], "length")
    if radius is not None and not 0.001 <= radius <= 2.0:
        measures.trouble("--radius", "is out of range", allowed="1 mm to 2 m")
    if given["file"] is not None:
        measures.trouble("FILE", "does not go with balancing: the runs tell everything")
    measures.insist()
    answer_balance(
        given["run"] or (), given["runs"], radius=radius, left_on=given["left_on"], holes=given["holes"],
        seed=given["seed"], json=given["json"],
    )  # fmt: skip


def _record(given: dict[str, Any], measures: Measures) -> None:
    from rotorwright.faces.cli.options import speaking_of_options
    from rotorwright.faces.cli.shake_record import answer_record

    speed = measures.read("--rotor-speed", given["rotor_speed"], "rotation")
    mass = measures.read("--shaken-mass", given["shaken_mass"], "mass")
    for option, value in (("--rotor-speed", speed), ("--shaken-mass", mass)):
        if value is not None and not value > 0.0:
            measures.trouble(option, "must be above zero")
    measures.insist()
    vanes: int = 0
    predicted: tuple[float, ...] = ()
    if given["file"] is not None:
        vanes, predicted = _from_file(given)
    with speaking_of_options({"rotor_speed": "--rotor-speed"}):
        answer_record(
            given["record"], rotor_speed=speed, vanes=vanes, body_mass=mass, predicted=predicted, seed=given["seed"],
            json=given["json"],
        )  # fmt: skip


def _from_file(given: dict[str, Any]) -> tuple[int, tuple[float, ...]]:
    """Return vanes of the first rotor and all predicted critical speeds of an aircraft file."""
    from rotorwright.studies.shake import shake

    aeroplane, _ = load_changed(given["file"], given["set_"])
    first = next(iter(aeroplane.tables.rotor.values()), None)
    if first is None:
        return 0, ()
    vanes = 0 if first.kind == "drum" else first.buckets if first.section == "bucket" else 2
    answer = shake(aeroplane, nominal_only=True)
    found = [band.critical.nominal for rotor in answer.rotors for band in rotor.bands if band.order == 1]
    return vanes, tuple(speed for speed in found if speed)
