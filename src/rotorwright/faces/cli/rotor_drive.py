"""``rotorwright rotor FILE --drive``: driven or free, the same aeroplane three ways, spin-up and slipstream."""

from __future__ import annotations

import sys


def answer_drive(
    file: str, changes: dict[str, str], ramp_time: float | None, samples: int, seed: int, json: bool
) -> None:
    """Print the drive choice of an aircraft file as a sheet or as a JSON document.

    Parameters
    ----------
    file : str
        Path of the aircraft file.
    changes : dict
        Fields told differently, as given with ``--set``.
    ramp_time : float, optional
        Time in which a drive shall bring its rotor up [s].
    samples, seed : int
        Of the Unknowns.
    json : bool
        Print JSON.
    """
    from rotorwright.base.records import PROPELLER
    from rotorwright.design.aircraft_file import load
    from rotorwright.faces.cli.progress import working

    aeroplane = load(file, changes)
    with working("Flying it three ways") as progress:
        from rotorwright.design.fill import fill
        from rotorwright.studies.blown import blown
        from rotorwright.studies.drive_choice import drive_choice

        answer = drive_choice(aeroplane, samples=samples, seed=seed, ramp_time=ramp_time, progress=progress)
        wash = None
        if (fill(aeroplane).thrusters["kind"] == PROPELLER).any():
            wash = blown(aeroplane, samples=min(samples, 64), seed=seed)
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.drive_choice import drive_choice_sheet
    from rotorwright.sheets.terminal import print_sheet

    if json:
        document = {**answer.as_dict(), "changes_asked_for": changes}
        document["blown"] = None if wash is None else wash.as_dict()
        print(as_json(document))
    else:
        print_sheet(drive_choice_sheet(answer, wash), sys.stdout)
