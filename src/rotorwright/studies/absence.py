"""Why a number of a balance is missing in some samples: told from what each of those samples can and cannot do."""

from __future__ import annotations

from collections import Counter
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.status import NOT_APPLICABLE, NOT_CONVERGED, OK, OUT_OF_LIMITS, OVER_THROTTLE
from rotorwright.flight.envelope import (
    APPROACH,
    BANKED,
    FULL,
    GLIDE,
    GLIDE_OFF,
    HEAVY,
    HEAVY_RESERVE,
    LEVEL,
    OPENED,
    TURN,
    TURN_LIMIT,
    glides_without_drive,
)
from rotorwright.studies.evaluate import Flown

SECOND_CAUSE = 0.25
"""A second cause is told too if it holds for this share of the samples that lack the number."""

NO_BALANCE = "no setting of elevator and rotor drive balances it at any speed"
NO_TRIM = "no elevator setting balances it at any speed"
NO_THRUST = "full throttle cannot hold its height"
NO_LEVEL_FOUND = "the search found no level flight"
HANGS = "full throttle is no steady climb, it hangs on its thrust"
DROPS = "no steady glide was found, it drops more steeply than the search follows"
STOPS = "no steady glide without the rotor drive, a drum that does not turn does not lift"
BEYOND = "it flies level, but elevator or rotor drive end before {what}"
TOO_WEAK = "it flies level, but full throttle is not enough for {what}"
NOT_FOUND = "it flies level, but the search found no {what}"
WHAT = {
    FULL: "full-throttle climb",
    BANKED: "turn at the reserve's bank",
    APPROACH: "6° approach",
    HEAVY: "greatest weight",
    HEAVY_RESERVE: "greatest weight with the reserve",
    TURN: "30° bank",
    TURN_LIMIT: "steepest bank",
    OPENED: "balance at full throttle",
}
"""What a condition is called in a sentence."""


def reason(flown: Flown, which: int, there: npt.NDArray[np.bool_]) -> str:
    """Return why a number of one condition is missing, commonest cause first; empty if no sample lacks it.

    Parameters
    ----------
    flown : Flown
    which : int
        The condition, a row of the envelope.
    there : array of bool, shape (cases,)
        In which cases (nominal first) the number exists.
    """
    first = 1 if flown.samples else 0
    missing = [case for case in range(first, len(there)) if not there[case]]
    causes = Counter(_cause(flown, which, case) for case in missing)
    if not causes:
        return ""
    told = [cause for cause, count in causes.most_common(2) if count >= SECOND_CAUSE * len(missing)]
    return "; or ".join(told or [causes.most_common(1)[0][0]])


def _cause(flown: Flown, which: int, case: int) -> str:
    status: Any = flown.envelope.steady["status"][case]
    if which in (GLIDE, GLIDE_OFF):
        if status[which] == NOT_APPLICABLE:
            return _no_balance(flown)
        if which == GLIDE_OFF and not glides_without_drive(flown.numbers):
            return STOPS
        return BEYOND.format(what="the glide") if status[which] == OUT_OF_LIMITS else DROPS
    if status[LEVEL] != OK:
        if status[LEVEL] == OVER_THROTTLE:
            return NO_THRUST
        return _no_balance(flown)
    if which == FULL and status[FULL] == NOT_APPLICABLE:
        return HANGS
    what = WHAT.get(which, "this")
    if status[which] == OVER_THROTTLE:
        return TOO_WEAK.format(what=f"a {what}")
    if status[which] == OUT_OF_LIMITS:
        return BEYOND.format(what=f"the {what}")
    return NOT_FOUND.format(what=what) if status[which] == NOT_CONVERGED else NO_LEVEL_FOUND


def _no_balance(flown: Flown) -> str:
    return NO_BALANCE if len(flown.rows.drives) else NO_TRIM
