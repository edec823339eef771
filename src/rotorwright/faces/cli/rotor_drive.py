"""``rotorwright rotor FILE --drive``, ``--wash``, ``--strips``: the whole aeroplane flown, not one rotor alone."""

from __future__ import annotations

import sys

MOST_STRIPS = 64
"""Samples that a span-wise solution takes at most: its own accuracy is coarser than that."""


def answer_drive(
    file: str, ramp_time: float | None, given: list[str] | None, samples: int, seed: int, json: bool
) -> None:
    """Print the drive choice of an aircraft file as a sheet or as a JSON document.

    Parameters
    ----------
    file : str
        Path of the aircraft file.
    ramp_time : float, optional
        Time in which a drive shall bring its rotor up [s].
    given : list of str, optional
        Fields told differently, as given with ``--set``.
    samples, seed : int
        Of the Unknowns.
    json : bool
        Print JSON.
    """
    from rotorwright.faces.cli.options import load_changed
    from rotorwright.faces.cli.progress import working

    aeroplane, changes = load_changed(file, given)
    with working("Flying it three ways") as progress:
        from rotorwright.studies.drive_choice import drive_choice

        answer = drive_choice(aeroplane, samples=samples, seed=seed, ramp_time=ramp_time, progress=progress)
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.drive_choice import drive_choice_sheet
    from rotorwright.sheets.terminal import print_sheet

    if json:
        print(as_json({**answer.as_dict(), "changes_asked_for": changes}))
    else:
        print_sheet(drive_choice_sheet(answer), sys.stdout)


def answer_wash(file: str, given: list[str] | None, samples: int, seed: int, json: bool) -> None:
    """Print what a propeller's slipstream does to the rotors of an aircraft file, here and with it at other places.

    Parameters
    ----------
    file, given, samples, seed, json
        As `answer_drive`.

    Raises
    ------
    InputError
        If the file has no propeller.
    """
    from rotorwright.faces.cli.options import load_changed
    from rotorwright.faces.cli.progress import working

    aeroplane, changes = load_changed(file, given)
    with working("Moving the propeller about"):
        from rotorwright.studies.blown import blown

        answer = blown(aeroplane, samples=samples, seed=seed)
    from rotorwright.sheets.blown import blown_document, blown_sheet
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.terminal import print_sheet

    if json:
        print(as_json({**blown_document(answer, aeroplane, samples, seed), "changes_asked_for": changes}))
    else:
        print_sheet(blown_sheet(answer, aeroplane), sys.stdout)


def answer_strips(
    file: str, height: float | None, sideslip: float, given: list[str] | None, samples: int, seed: int, json: bool
) -> None:
    """Print what strips along rotors and surfaces of an aircraft file say.

    Parameters
    ----------
    file : str
        Path of the aircraft file.
    height : float, optional
        Of the balance point above the ground [m].
    sideslip : float
        Air from the right is positive [rad].
    given, samples, seed, json
        As `answer_drive`.
    """
    from rotorwright.faces.cli.options import load_changed
    from rotorwright.faces.cli.progress import working

    aeroplane, changes = load_changed(file, given)
    with working("Cutting it into strips"):
        from rotorwright.studies.span_wise import span_wise

        answer = span_wise(aeroplane, height=height, sideslip=sideslip, samples=min(samples, MOST_STRIPS), seed=seed)
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.span_wise import span_wise_sheet
    from rotorwright.sheets.terminal import print_sheet

    if json:
        print(as_json({**answer.as_dict(), "changes_asked_for": changes}))
    else:
        print_sheet(span_wise_sheet(answer), sys.stdout)
