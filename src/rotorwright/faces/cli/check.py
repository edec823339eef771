"""``rotorwright check``: is the file right, what does the aeroplane weigh, what touches what."""

from __future__ import annotations

import sys

from rotorwright.faces.cli.options import AircraftFile, Json, Set, load_changed
from rotorwright.faces.cli.outcome import answering


@answering
def command(file: AircraftFile, set_: Set = None, json: Json = False) -> None:
    """Check an aircraft file: every mistake at once, mass and balance point, direction of spin, clearances."""
    from rotorwright.sheets.check import check_document, check_sheet
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.terminal import print_sheet

    aeroplane, _ = load_changed(file, set_)

    from rotorwright.faces.cli.progress import working

    with working("Weighing the aeroplane"):
        from rotorwright.studies.check import check

        answer = check(aeroplane)
    if json:
        print(as_json(check_document(answer)))
    else:
        print_sheet(check_sheet(answer), sys.stdout)
