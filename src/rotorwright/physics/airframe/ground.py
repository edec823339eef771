"""Ground effect: induced drag by two published laws kept as a band, lift and downwash by the wing's image below ground.

The two laws of induced drag disagree by up to 0.2; where in between the truth lies is drawn.
"""

from __future__ import annotations

import math

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


FADES, GONE = 2.0, 3.0
"""Heights over the span between which what is left of ground effect, less than 1 %, fades out (numerical choice)."""
LEAST_HEIGHT = 0.02
"""Over the span: lower than this a lifting line does not come, its own thickness is in the way (numerical choice)."""


@jit
def induced_drag_kept(height: float, span: float, share: float) -> float:
    """Return induced drag near the ground over that in free air, between the two laws.

    Parameters
    ----------
    height, span : float
        Height of the lift line and span [m].
    share : float
        0: `ground_factor_wieselsberger`; 1: `ground_factor_mccormick`.
    """
    strong = ground_factor_wieselsberger(height, span)
    return strong + share * (ground_factor_mccormick(height, span) - strong)


@jit
def ground_help(height: float, span: float, share: float) -> tuple[float, float, float]:
    """Return what the ground does to a wing above it; nothing from three spans up.

    Parameters
    ----------
    height, span : float
        Height of the lift line and span over both halves [m].
    share : float
        As `induced_drag_kept` takes it.

    Returns
    -------
    relief : float
        Share of the induced drag taken off [1].
    slowing : float
        Speed by which the image holds the air back at the wing, over the circulation round it [1/m].
    nearness : float
        One over the depth of the image below the wing [1/m].

    Notes
    -----
    Relief 1 − φ of `induced_drag_kept`. The image is a horseshoe vortex of span π b/4 turning the other way, 2 h below:
    its bound part holds the air back at the wing by Γ s/(4 π h √(s² + 4 h²)), s = π b/8; its trailing part is what the
    relief stands for, and what takes downwash off a tail. All three are smooth, and fade out from 2 to 3 spans.
    Source: law of Biot and Savart with an image in the ground (closed form); the idea of the image: Wieselsberger,
    NACA TM 77 (1922) (from memory). No measurement of a spinning rotor near the ground was found.
    """
    if height >= GONE * span:
        return 0.0, 0.0, 0.0
    least = LEAST_HEIGHT * span
    above = 0.5 * (height + math.sqrt(height * height + 4.0 * least * least))
    fade = 1.0
    if height > FADES * span:
        x = (GONE * span - height) / ((GONE - FADES) * span)
        fade = x * x * (3.0 - 2.0 * x)
    half = math.pi * span / 8.0
    slowing = half / (4.0 * math.pi * above * math.sqrt(half * half + 4.0 * above * above))
    return fade * (1.0 - induced_drag_kept(above, span, share)), fade * slowing, fade * 0.5 / above
