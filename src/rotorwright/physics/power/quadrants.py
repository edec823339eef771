"""One smooth law for anything that turns in a stream: working, windmilling, stopped, backing."""

from __future__ import annotations

import math

from rotorwright.base.curves import smooth_step
from rotorwright.base.jit import jit


@jit
def quadrant_load(
    speed: float,
    spin: float,
    inside: float,
    start_slope: float,
    join: float,
    join_value: float,
    join_slope: float,
    stopped: float,
    reversed_load: float,
) -> float:
    """Return a load that is homogeneous of degree two in stream speed and spin.

    Parameters
    ----------
    speed : float
        Stream speed along the axis [m/s].
    spin : float
        Speed of rotation expressed as a speed, so that the shape's variable is ``speed / spin`` [m/s].
    inside : float
        Shape at ``speed / spin``, read by the caller clipped to 0…``join`` [1].
    start_slope : float
        Slope of the shape at 0 [1].
    join, join_value, join_slope : float
        End of the measured shape, its value and slope there [1].
    stopped : float
        Load of the stopped part over speed², acting against the working sense [1].
    reversed_load : float
        Load of the part turning backwards in still air over spin², acting against the working sense [1].

    Returns
    -------
    load : float
        [m²/s²].

    Notes
    -----
    With y = speed/spin the load is spin²·f(y) where the shape is known. Beyond the join it goes on as a parabola whose
    leading term is the stopped load, so that the limit spin → 0 exists; backing (speed < 0) and turning backwards are
    likewise quadratic. Both first derivatives are continuous everywhere, the origin included.

    Validity: the measured shape only between 0 and ``join``; elsewhere a bounded continuation.
    Source: own construction.
    """
    if spin > 0.0:
        if speed < 0.0:
            return inside * spin * spin + start_slope * speed * spin + stopped * speed * speed
        if speed <= join * spin:
            return inside * spin * spin
        beyond = speed - join * spin
        return join_value * spin * spin + join_slope * beyond * spin - stopped * beyond * beyond
    cross = start_slope
    drag = stopped
    if speed > 0.0:
        edge = join_slope + 2.0 * stopped * join
        cross += (edge - start_slope) * smooth_step(speed / math.sqrt(speed * speed + spin * spin), 0.0, 1.0)
        drag = -stopped
    return drag * speed * speed + cross * speed * spin - reversed_load * spin * spin
