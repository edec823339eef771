"""``rotorwright shake FILE --strength`` and ``--tolerances``: does the rotor hold, how true must it be built?"""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rotorwright.design.aeroplane import Aeroplane


def answer_strength(
    aeroplane: Aeroplane, changes: dict[str, str], gust: float | None, samples: int, seed: int, nominal: bool,
    json: bool, everything: bool = False,
) -> None:  # fmt: skip
    """Print the strength of an aircraft file's rotors as a sheet or as a JSON document.

    Parameters
    ----------
    aeroplane : Aeroplane
    changes : dict
        Fields told differently, as given with ``--set``.
    gust : float, optional
        [m/s]
    samples, seed : int
        Of the Unknowns.
    nominal : bool
        Every Unknown at its median.
    json : bool
        Print JSON.
    everything : bool
        Show every margin.
    """
    from rotorwright.faces.cli.progress import working

    with working("Loading the rotors"):
        from rotorwright.studies.strength import GUST, strength

        answer = strength(
            aeroplane, samples=samples, seed=seed, nominal_only=nominal, gust=GUST if gust is None else gust
        )
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.shake_strength import strength_sheet
    from rotorwright.sheets.terminal import print_sheet

    if json:
        print(as_json({**answer.as_dict(), "changes_asked_for": changes}))
    else:
        print_sheet(strength_sheet(answer, everything), sys.stdout)


def answer_tolerances(aeroplane: Aeroplane, changes: dict[str, str], seed: int, json: bool) -> None:
    """Print what the balance grade asks of the builder and what hand building reaches.

    Parameters
    ----------
    aeroplane : Aeroplane
    changes : dict
        Fields told differently, as given with ``--set``.
    seed : int
        Of the draws.
    json : bool
        Print JSON.
    """
    from rotorwright.faces.cli.progress import working

    with working("Building it many times"):
        from rotorwright.studies.tolerances import tolerances

        answer = tolerances(aeroplane, seed=seed)
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.shake_tolerances import tolerances_sheet
    from rotorwright.sheets.terminal import print_sheet

    if json:
        print(as_json({**answer.as_dict(), "changes_asked_for": changes}))
    else:
        print_sheet(tolerances_sheet(answer), sys.stdout)
