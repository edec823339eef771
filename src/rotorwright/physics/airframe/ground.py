"""Ground effect on induced drag: two published laws that disagree by up to 0.2, so both are kept as a band."""

from __future__ import annotations

from rotorwright.base.jit import jit


@jit
def ground_factor_mccormick(height: float, span: float) -> float:
    """Return induced drag near the ground over that in free air.

    Parameters
    ----------
    height, span : float
        Height of the lift line and span [m].

    Notes
    -----
    φ = (16 h/b)²/(1 + (16 h/b)²). Source: B. W. McCormick, Aerodynamics, Aeronautics and Flight Mechanics (from memory;
    the form was also seen in public code).
    """
    ratio = 16.0 * height / span
    return ratio * ratio / (1.0 + ratio * ratio)


@jit
def ground_factor_wieselsberger(height: float, span: float) -> float:
    """Return induced drag near the ground over that in free air.

    Parameters
    ----------
    height, span : float
        Height of the lift line and span [m].

    Notes
    -----
    φ = 1 − (1 − 1.32 h/b)/(1.05 + 7.4 h/b), valid for 1/15 < h/b < 1/2. Above, it goes on smoothly to 1 from the value
    and slope at 1/2; below, straight towards the ground from 1/15 as the formula stands.
    Source: C. Wieselsberger, NACA TM 77 (1922) (from memory).
    """
    ratio = height / span
    if ratio <= 0.5:
        return 1.0 - (1.0 - 1.32 * ratio) / (1.05 + 7.4 * ratio)
    # value 0.92842 and slope 0.38812 at 1/2, carried on as 1 − A/(1 + B (h/b − 1/2))²: C1, rising to 1
    loss = (1.0 - 1.32 * 0.5) / (1.05 + 7.4 * 0.5)
    slope = (1.32 + 7.4 * loss) / (1.05 + 7.4 * 0.5)
    growth = 1.0 + 0.5 * slope / loss * (ratio - 0.5)
    return 1.0 - loss / (growth * growth)
