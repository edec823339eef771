"""``rotorwright power FILE --choose``: which motor, propeller or fan and cells would suit this aeroplane?"""

from __future__ import annotations

import sys

from rotorwright.faces.cli.options import Measures, load_changed


def answer_choice(
    file: str, changes: list[str] | None, parts: str | None, largest: str | None, nominal: bool, samples: int,
    seed: int, everything: bool, json: bool,
) -> None:  # fmt: skip
    """Print a choice of parts as a sheet or as a JSON document.

    Parameters
    ----------
    file : str
        Path of the aircraft file.
    changes : list of str, optional
        Fields told differently, as given with ``--set``.
    parts : str, optional
        The maker's own parts (CSV).
    largest : str, optional
        Room for a propeller, a measure.
    nominal : bool
        Fly the choices with every Unknown at its median only.
    samples, seed : int
        Of the Unknowns.
    everything : bool
        Add the picture of mass against power.
    json : bool
        Print JSON.
    """
    from rotorwright.faces.cli.progress import working

    measures = Measures()
    room = measures.read("--largest", largest, "length")
    measures.insist()
    aeroplane, told = load_changed(file, changes)
    with working("Trying every combination"):
        from rotorwright.studies.choose_parts import choose_parts

        answer = choose_parts(aeroplane, parts=parts, largest=room, samples=0 if nominal else samples, seed=seed)
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.power_choice import choice_sheet
    from rotorwright.sheets.terminal import print_sheet

    if json:
        print(as_json({**answer.as_dict(), "changes_asked_for": told}))
    else:
        print_sheet(choice_sheet(answer, everything=everything), sys.stdout)
