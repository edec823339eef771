"""Downwash of a lifting rotor or surface at a point on the middle plane behind (or ahead of) it."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit

LARGEST_ANGLE = math.radians(35.0)
"""Beyond this the wake is no sheet any more; the angle levels off (choice, no source)."""
LINEAR_LIMIT = 0.15
"""Above this value of C_L/(π A) small-angle wake theory is out of its range: flag it (choice, no source)."""
STILL_PRESSURE = 0.05  # [Pa] about 0.3 m/s: keeps the angle defined in still air
CORE_SHARE = 0.2  # core of the bound vortex over the effective span: keeps the rotor's own place regular


@jit
def far_downwash(lift: float, dynamic_pressure: float, effective_span: float) -> float:
    """Return the small-angle far-field downwash [rad] on the centre line, 2 L/(q π b²) = 2 C_L/(π A_e).

    Parameters
    ----------
    lift : float
        [N]
    dynamic_pressure : float
        [Pa]
    effective_span : float
        [m]

    Notes
    -----
    No levelling-off; NaN or infinite at zero dynamic pressure or span.
    Source: Prandtl's lifting line, elliptic loading (closed form).
    """
    return 2.0 * lift / (math.pi * dynamic_pressure * effective_span * effective_span)


@jit
def downwash_growth(distance_aft: float, height: float, effective_span: float) -> float:
    """Return the share of the far-field downwash present at a point on the middle plane.

    Parameters
    ----------
    distance_aft, height, effective_span : float
        Place of the point and span of the lifting line [m].

    Notes
    -----
    A horseshoe vortex of span π b/4: trailing part ½ (1 + x/sqrt(x² + s² + h²)) · s²/(s² + h²), bound part
    ½ s² x/((x² + h² + c²) sqrt(x² + s² + h²)), s = π b/8, core c = 0.2 b. One half at the lifting line itself, about 1
    a span behind, upwash ahead.
    Source: law of Biot and Savart (closed form), rolled-up span of elliptic loading.
    """
    half_gap = math.pi * effective_span / 8.0
    gap2 = half_gap * half_gap
    height2 = height * height
    core = CORE_SHARE * effective_span
    reach = math.sqrt(distance_aft * distance_aft + gap2 + height2)
    trailing = 0.5 * (1.0 + distance_aft / reach) * gap2 / (gap2 + height2)
    bound = 0.5 * gap2 * distance_aft / ((distance_aft * distance_aft + height2 + core * core) * reach)
    return trailing + bound


@jit
def downwash_angle(
    lift: float,
    dynamic_pressure: float,
    effective_span: float,
    distance_aft: float,
    height_offset: float,
    factors: Any,
) -> float:
    """Return the downwash angle at a point on the middle plane behind a lifting rotor or surface.

    Parameters
    ----------
    lift : float
        Of the lifting rotor or surface [N], both halves together.
    dynamic_pressure : float
        Of the undisturbed stream [Pa].
    effective_span : float
        sqrt(A_e × area): the span that carries its induced drag [m].
    distance_aft : float
        Point behind the lifting line, along the stream [m]; negative ahead.
    height_offset : float
        Point above the lifting line, across the stream [m].
    factors : FACTORS record
        Reads ``downwash``.

    Returns
    -------
    float
        [rad], positive when the air at the point is turned downwards; subtract it from the local incidence.

    Notes
    -----
    Far field 2 L/(q π b²) × growth; the wake sinks by a quarter of the far angle; levels off smoothly at 35°.
    Small-angle theory ends near C_L/(π A_e) = 0.15 (`LINEAR_LIMIT`). Smooth through zero lift and zero stream.
    Source: see `far_downwash` and `downwash_growth`. No measurement behind a spinning rotor was found: the Unknown
    ``downwash`` carries a 1σ of 40 %.
    """
    if not effective_span > 0.0:
        return 0.0
    span2 = math.pi * effective_span * effective_span
    strength = 2.0 * factors.downwash * lift
    sink = 0.25 * _levelled(strength, dynamic_pressure * span2, STILL_PRESSURE * span2)
    height = height_offset + sink * max(distance_aft, 0.0)
    growth = downwash_growth(distance_aft, height, effective_span)
    return _levelled(strength * growth, dynamic_pressure * span2, STILL_PRESSURE * span2)


@jit
def _levelled(numerator: float, denominator: float, floor: float) -> float:
    """Return numerator/denominator, levelling off at ±`LARGEST_ANGLE`, finite when both vanish."""
    steep = numerator * (1.0 / LARGEST_ANGLE)
    scale = denominator * denominator + floor * floor
    return numerator / math.sqrt(math.sqrt(scale * scale + steep * steep * steep * steep))
