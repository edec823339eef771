"""``rotorwright handling``: what it is like to fly, told before the first flight."""

from __future__ import annotations

import sys

from rotorwright.faces.cli.options import AircraftFile, Json, Samples, Seed, Set, load_changed
from rotorwright.faces.cli.outcome import answering


@answering
def command(
    file: AircraftFile,
    set_: Set = None,
    samples: Samples = 48,
    seed: Seed = 0,
    json: Json = False,
) -> None:
    """Tell how an aeroplane handles: left alone, gyroscope, controls, gusts, turns, and where it may balance."""
    aeroplane, changes = load_changed(file, set_)

    from rotorwright.faces.cli.progress import working

    with working("Disturbing level flight"):
        from rotorwright.studies.handling import handling

        answer = handling(aeroplane, samples=samples, seed=seed)
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.handling import handling_sheet
    from rotorwright.sheets.terminal import print_sheet

    if json:
        print(as_json({**answer.as_dict(), "changes_asked_for": changes}))
    else:
        print_sheet(handling_sheet(answer), sys.stdout)
