"""The line of a bungee launch: it pulls at the hook until it is slack or slides off."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit_into_caller
from rotorwright.flight.layout import FORCES, MOMENTS, POSITION

SLIDES_OFF = 0.17
"""Cosine of the angle between line and nose below which the ring slides off the hook, 80° (judgement)."""
SOFT_END = 0.05
"""Stretch over which the pull begins [m], so that the line lets go without a jerk."""

# what the line leaves: force and moment on the airframe, then whether it still holds
ON_HOOK = 6
LINE_COLUMNS = 7


@jit_into_caller
def pull_line(script: Any, state: Any, r: Any, loads: Any, line: Any) -> None:
    """Add what the line does to the sums of ``loads``; fill ``line``.

    Parameters
    ----------
    script : SCRIPT record
        Reads ``line_stiffness``, ``line_length``, ``line_share``, ``stake``, ``slope``, ``hook_x``, ``hook_z``.
    state : array
    r : tuple of nine floats
        From body to earth axes, row by row.
    loads : array
    line : array, shape (`LINE_COLUMNS`,)
        Force [N] and moment [N m] in body axes; 1 while it is on the hook.

    Notes
    -----
    Tension η k s with s the stretch beyond the slack length, begun smoothly; η is what comes back of the work that
    stretching took.
    """
    for k in range(6):
        line[k] = 0.0
    if line[ON_HOOK] < 0.5:
        return
    x, z = script.hook_x, script.hook_z
    north = script.stake - state[POSITION] - (r[0] * x + r[2] * z)
    east = -state[POSITION + 1] - (r[3] * x + r[5] * z)
    down = -math.tan(script.slope) * script.stake - state[POSITION + 2] - (r[6] * x + r[8] * z)
    far = math.sqrt(north * north + east * east + down * down + 1.0e-12)
    stretch = far - script.line_length
    along = r[0] * north + r[3] * east + r[6] * down
    if stretch <= 0.0 or along < SLIDES_OFF * far:
        line[ON_HOOK] = 0.0
        return
    begun = stretch - 0.5 * SOFT_END if stretch > SOFT_END else 0.5 * stretch * stretch / SOFT_END
    pull = script.line_share * script.line_stiffness * begun / far
    fx = pull * along
    fy = pull * (r[1] * north + r[4] * east + r[7] * down)
    fz = pull * (r[2] * north + r[5] * east + r[8] * down)
    line[0], line[1], line[2] = fx, fy, fz
    line[3], line[4], line[5] = -z * fy, z * fx - x * fz, x * fy
    for k in range(3):
        loads[FORCES + k] += line[k]
        loads[MOMENTS + k] += line[3 + k]
