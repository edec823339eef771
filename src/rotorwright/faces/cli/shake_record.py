"""``rotorwright shake --record CSV``: what a phone strapped to the aeroplane recorded."""

from __future__ import annotations

import sys


def answer_record(
    path: str,
    *,
    rotor_speed: float | None,
    vanes: int,
    body_mass: float | None,
    predicted: tuple[float, ...] = (),
    seed: int = 0,
    json: bool = False,
) -> None:
    """Print what a recording tells, or its JSON document.

    Parameters
    ----------
    path : str
        File with columns of time and acceleration.
    rotor_speed : float, optional
        As measured otherwise [rad/s].
    vanes : int
        Of the rotor; 0 for a drum.
    body_mass : float, optional
        Everything that was shaken, hung freely [kg].
    predicted : tuple of float
        Critical speeds reckoned beforehand [rad/s].
    seed : int
        Of the draws behind the bands.
    json : bool
        Print JSON.
    """
    from rotorwright.faces.cli.progress import working

    with working("Reading the recording"):
        from rotorwright.studies.vibration_orders import analyse_record
        from rotorwright.studies.vibration_record import read_record_file

        record = read_record_file(path)
        answer = analyse_record(
            record, rotor_speed=rotor_speed, vanes=vanes, body_mass=body_mass, predicted=predicted, seed=seed
        )
    from rotorwright.sheets.document import as_json, document
    from rotorwright.sheets.shake_record import record_sheet
    from rotorwright.sheets.terminal import print_sheet

    if json:
        conditions = {"recording": path, "rotor_speed": rotor_speed, "vanes": vanes, "body_mass": body_mass}
        print(
            as_json(document(quantities={}, conditions=conditions, warnings=answer.notes, recording=answer.as_dict()))
        )
    else:
        print_sheet(record_sheet(answer), sys.stdout)
