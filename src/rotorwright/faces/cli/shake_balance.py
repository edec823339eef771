"""``rotorwright shake --run …`` and ``--runs CSV``: correction masses from the maker's own readings."""

from __future__ import annotations

import math
import sys
from collections.abc import Sequence


def answer_balance(
    typed: Sequence[str],
    table: str | None,
    *,
    radius: float | None,
    left_on: bool,
    holes: int | None,
    seed: int,
    json: bool,
) -> None:
    """Print the balance card of a set of runs, or its JSON document.

    Parameters
    ----------
    typed : sequence of str
        Runs in short words.
    table : str, optional
        File with a line for each run.
    radius : float, optional
        At which the masses sit [m].
    left_on : bool
        The trial masses stayed on.
    holes : int, optional
        Places evenly round the disc that can take mass, the first one at the mark.
    seed : int
        Of the reading errors drawn.
    json : bool
        Print JSON.
    """
    from rotorwright.base.errors import InputError
    from rotorwright.faces.cli.options import speaking_of_options

    if typed and table is not None:
        raise InputError("give runs one by one or as a table, not both", place="--run, --runs")
    if typed and radius is None:
        raise InputError("is needed with --run", place="--radius", allowed='"100 mm"')
    if holes is not None and not 2 <= holes <= 360:
        raise InputError("is out of range", place="--holes", found=str(holes), allowed="2 to 360")

    from rotorwright.studies.balancing import BalancePlanes, BalanceWithoutPhase, balance_planes, balance_without_phase
    from rotorwright.studies.balancing_runs import read_run, read_runs_file

    if table is not None:
        runs = read_runs_file(table, radius)
    else:
        runs = tuple(read_run(text, radius or 0.0) for text in typed)
    places = None if holes is None else [2.0 * math.pi * place / holes for place in range(holes)]
    planes = max((run.plane + 1 for run in runs if run.plane is not None), default=0)
    answer: BalancePlanes | BalanceWithoutPhase
    with speaking_of_options({"runs": "--run", "readings": "--run", "amplitudes": "--run", "angles": "--run"}):
        if runs and all(run.has_phase for run in runs):
            answer = balance_planes(
                runs=[run.as_run() for run in runs],
                trial_left_on=left_on,
                holes=None if places is None else [places] * max(planes, 1),
                seed=seed,
            )
        else:
            trials = [run for run in runs if run.plane is not None]
            if left_on or planes > 1 or len(runs) != len(trials) + 1 or len({run.trial for run in trials}) > 1:
                raise InputError(
                    "without phase need one plane, one run as found and one mass tried at three places or more",
                    place="--run",
                    allowed='"4.2" "1: 1@0 = 5.1" "1: 1@120 = 3.0" "1: 1@240 = 4.6"',
                )
            found = next(run for run in runs if run.plane is None)
            answer = balance_without_phase(
                as_found=found.amplitudes[0],
                amplitudes=[run.amplitudes[0] for run in trials],
                angles=[run.angle for run in trials],
                trial=trials[0].trial if trials else 0.0,
                holes=places,
                seed=seed,
            )
    from rotorwright.sheets.document import as_json, document
    from rotorwright.sheets.shake_balancing import balancing_sheet
    from rotorwright.sheets.terminal import print_sheet

    if json:
        conditions = {"radius": radius, "trial_left_on": left_on, "seed": seed}
        print(
            as_json(document(quantities={}, conditions=conditions, warnings=answer.notes, balancing=answer.as_dict()))
        )
    else:
        print_sheet(balancing_sheet(answer, radius=radius, trial_left_on=left_on, holes=places), sys.stdout)
