"""``rotorwright power``: is it strong enough in the air, what gets hot and when, how long does it fly, which parts?"""

from __future__ import annotations

import sys

from rotorwright.faces.cli.options import AircraftFile, Json, Nominal, Samples, Seed, Set, read_changes
from rotorwright.faces.cli.outcome import answering


@answering
def command(
    file: AircraftFile,
    set_: Set = None,
    nominal: Nominal = False,
    samples: Samples = 64,
    seed: Seed = 0,
    json: Json = False,
) -> None:
    """Tell the power story of an aeroplane: thrust available against required, heat, endurance, fail-safe."""
    from rotorwright.design.aircraft_file import load
    from rotorwright.faces.cli.progress import working

    changes = read_changes(set_)
    aeroplane = load(file, changes)
    with working("Matching thrust and drag") as progress:
        from rotorwright.studies.power import power

        answer = power(aeroplane, samples=samples, seed=seed, nominal_only=nominal, progress=progress)
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.power import power_sheet
    from rotorwright.sheets.terminal import print_sheet

    if json:
        print(as_json({**answer.as_dict(), "changes_asked_for": changes}))
    else:
        print_sheet(power_sheet(answer), sys.stdout)
