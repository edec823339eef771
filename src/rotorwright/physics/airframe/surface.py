"""Loads on a plain surface: tail, fin, canard or wing, over the whole circle of incidence and down to zero speed.

The surface's own directions: its span points along (0, cos t, sin t) in body axes, its underside along
(0, −sin t, cos t), t the tilt about x; a flat surface has t = 0, a fin t = +π/2 (its "underside" looks left).
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from rotorwright.base.jit import jit, jit_into_caller
from rotorwright.base.records import WING

LIFT_SLOPE_SHARE = 0.9  # section lift slope over 2π at model Reynolds numbers (common practice, no source)
SPAN_EFFICIENCY = 0.85  # of plain tails and wings (common practice, no source)
END_PLATE_GAIN = 1.4  # aspect ratio with closed tips: 1 + 1.9 × plate height/span, height/span about 0.2 (Hoerner)
FINITE_SPAN_STALL = 0.9  # largest lift of the surface over that of its section (common practice, no source)
CONTROL_SOFTENING = 0.6  # [rad] beyond it more deflection brings nothing (common practice: effect fades above 25°)
DRAG_REYNOLDS = 1.0e5  # the section drag in the record is meant at this Reynolds number
DRAG_EXPONENT = 0.4  # section drag ~ Re^−0.4 below 5e5, between laminar plate (0.5) and rough section (0.2)
SEPARATION_STEEPNESS = 40.0  # [1/rad] sharp enough to leave half-stalled angles attached within 0.1 %


@jit
def lift_slope(aspect_ratio: float, section_share: float) -> float:
    """Return the lift slope [1/rad] of a straight surface of finite span.

    Parameters
    ----------
    aspect_ratio : float
        Span²/area.
    section_share : float
        Slope of its section over 2π.

    Notes
    -----
    a = 2π A / (2 + sqrt(4 + (A/κ)²)): 2πκ for a long surface, πA/2 for a short one.
    Validity: unswept, incompressible, attached flow. Source: H. B. Helmbold (1942), as given by E. C. Polhamus (from
    memory; both limits are closed forms).
    """
    stretched = aspect_ratio / section_share
    return 2.0 * math.pi * aspect_ratio / (2.0 + math.sqrt(4.0 + stretched * stretched))


@jit
def flap_effectiveness(chord_share: float) -> float:
    """Return dα/dδ of a hinged trailing edge by thin-aerofoil theory, 0 (no flap) … 1 (all of the chord).

    Parameters
    ----------
    chord_share : float
        Control chord over chord [1].

    Notes
    -----
    1 − (θ − sin θ)/π with cos θ = 2 c_f/c − 1. Source: H. Glauert, ARC R&M 1095 (1927) (closed form).
    """
    angle = math.acos(min(max(2.0 * chord_share - 1.0, -1.0), 1.0))
    return 1.0 - (angle - math.sin(angle)) / math.pi


@jit
def flap_moment_slope(chord_share: float) -> float:
    """Return dC_m/dδ [1/rad] about the quarter chord by thin-aerofoil theory (negative: trailing edge down, nose down).

    Parameters
    ----------
    chord_share : float
        Control chord over chord [1].

    Notes
    -----
    −sin θ (1 − cos θ)/2 with cos θ = 2 c_f/c − 1. Source: H. Glauert, ARC R&M 1095 (1927) (closed form).
    """
    angle = math.acos(min(max(2.0 * chord_share - 1.0, -1.0), 1.0))
    return -0.5 * math.sin(angle) * (1.0 - math.cos(angle))


@jit
def plate_normal_force(angle: float, aspect_ratio: float) -> float:
    """Return the normal-force coefficient of a separated flat plate at any ``angle`` of incidence [rad].

    Parameters
    ----------
    angle : float
        Incidence [rad].
    aspect_ratio : float
        Span²/area [1].

    Notes
    -----
    C_N = s/(0.283 + 0.222 |s|) (1 − r |s|), s = sin α; r brings the value at 90° to that of a finite plate,
    1.11 + 0.018 A (at most 1.98). C1 everywhere. Validity: separated flow.
    Source: S. F. Hoerner, Fluid-Dynamic Drag (1965), separated plates, and Viterna and Corrigan (1981) for the finite
    plate (both from memory).
    """
    slant = math.sin(angle)
    size = abs(slant)
    square_on = min(1.11 + 0.018 * aspect_ratio, 1.98)
    return slant / (0.283 + 0.222 * size) * (1.0 - (1.0 - square_on / 1.98) * size)


@jit
def separated_share(angle: float, limit: float) -> float:
    """Return 0 (attached) … 1 (separated) for an incidence beyond ±``limit`` [rad], smooth everywhere.

    Parameters
    ----------
    angle, limit : float
        [rad]
    """
    above = 1.0 / (1.0 + math.exp(-SEPARATION_STEEPNESS * (angle - limit)))
    below = 1.0 / (1.0 + math.exp(SEPARATION_STEEPNESS * (angle + limit)))
    return above + below - above * below


class SurfaceConstants(NamedTuple):
    """What stays the same of a surface while the air and its control move, from `surface_constants`."""

    sin_tilt: float
    cos_tilt: float
    sin_set: float
    cos_set: float
    lift_slope: float
    lift_limit: float
    stall_angle: float
    control_lift: float
    """Incidence a unit of softened deflection is worth."""
    control_moment: float
    """Moment coefficient of a unit of softened deflection [1/rad]."""
    induced_drag: float
    """Drag over lift coefficient squared."""
    aspect_ratio: float
    half_area: float
    """Half the area, times the loss of dynamic pressure at a tail or fin [m²]."""
    section_drag: float


@jit
def surface_constants(surface: Any, factors: Any) -> SurfaceConstants:
    """Return what `surface_loads_given` needs of a surface; see `surface_loads`.

    Parameters
    ----------
    surface : SURFACE record
        Its area must not be zero.
    factors : FACTORS record
    """
    aspect_ratio = surface.span * surface.span / surface.area
    if surface.end_plates == 1.0:
        aspect_ratio *= END_PLATE_GAIN
    slope = lift_slope(aspect_ratio, LIFT_SLOPE_SHARE)
    lift_limit = max(FINITE_SPAN_STALL * surface.max_lift, 0.05)
    half_area = 0.5 * surface.area
    if surface.kind != WING:
        half_area *= factors.tail_effectiveness
    return SurfaceConstants(
        math.sin(surface.tilt),
        math.cos(surface.tilt),
        math.sin(surface.incidence),
        math.cos(surface.incidence),
        slope,
        lift_limit,
        1.25 * lift_limit / slope,
        factors.control_effectiveness * flap_effectiveness(surface.control_share),
        factors.control_effectiveness * flap_moment_slope(surface.control_share),
        1.0 / (math.pi * SPAN_EFFICIENCY * aspect_ratio),
        aspect_ratio,
        half_area,
        factors.surface_drag * surface.section_drag,
    )


@jit
def surface_loads(
    surface: Any,
    u: float,
    v: float,
    w: float,
    deflection: float,
    air_density: float,
    air_viscosity: float,
    factors: Any,
) -> tuple[float, float, float, float]:
    """Return force and pitching moment of a plain surface.

    Parameters
    ----------
    surface : SURFACE record
    u, v, w : float
        The surface's own motion through the air, body axes (forward, right, down) [m/s]; downwash and wash included.
    deflection : float
        Of its control [rad], trailing edge towards the underside positive (down on a flat surface, left on a fin);
        the caller has already applied travel and sign.
    air_density, air_viscosity : float
        [kg/m³], [Pa s]
    factors : FACTORS record
        Reads ``control_effectiveness``, ``surface_drag`` and, for tails and fins, ``tail_effectiveness`` (a factor on
        dynamic pressure; do not apply it again).

    Returns
    -------
    fx, fy, fz : float
        Force in body axes [N].
    pitching_moment : float
        About the quarter-chord point, round the span direction (0, cos tilt, sin tilt) [N m].

    Notes
    -----
    Attached: C_L = C_Lmax x/(1 + x⁸)^(1/8), x = a (α − α₀ + τ δ)/C_Lmax; C_D = C_D0 (Re/1e5)^−0.4 + C_L²/(π e A).
    Separated: flat plate. A smooth switch just beyond the stall joins them. Flow along the span is left out.
    Validity: Reynolds 2e4–1e6 for the drag trend; any direction of flow. Zero force at zero area or zero speed.
    Source: simple-sweep strip of thin-aerofoil and lifting-line theory; see the functions it calls.
    """
    if not surface.area > 0.0:
        return 0.0, 0.0, 0.0, 0.0
    fixed = surface_constants(surface, factors)
    return surface_loads_given(surface, fixed, u, v, w, deflection, air_density, air_viscosity)


@jit_into_caller
def surface_loads_given(
    surface: Any,
    fixed: SurfaceConstants,
    u: float,
    v: float,
    w: float,
    deflection: float,
    air_density: float,
    air_viscosity: float,
) -> tuple[float, float, float, float]:
    """Return `surface_loads` of a surface whose constants are known.

    Parameters
    ----------
    surface : SURFACE record
        Its area must not be zero.
    fixed : SurfaceConstants
        From `surface_constants`.
    u, v, w : float
        The surface's own motion through the air, body axes [m/s].
    deflection : float
        [rad]
    air_density, air_viscosity : float
        [kg/m³], [Pa s]
    """
    under = w * fixed.cos_tilt - v * fixed.sin_tilt
    along = u * fixed.cos_set - under * fixed.sin_set  # motion along the chord, nose-wards
    across = u * fixed.sin_set + under * fixed.cos_set  # motion towards the underside
    speed2 = along * along + across * across
    speed = math.sqrt(speed2)
    alpha = math.atan2(across, along)
    cos_alpha, sin_alpha = 1.0, 0.0
    if speed > 0.0:
        inverse = 1.0 / speed
        cos_alpha, sin_alpha = along * inverse, across * inverse

    soft_deflection = CONTROL_SOFTENING * math.tanh(deflection / CONTROL_SOFTENING)
    turned = fixed.control_lift * soft_deflection
    effective = alpha - surface.zero_lift_angle + turned
    x = fixed.lift_slope * effective / fixed.lift_limit
    x2 = x * x
    lift = fixed.lift_limit * x / math.sqrt(math.sqrt(math.sqrt(1.0 + x2 * x2 * x2 * x2)))

    reynolds = speed * surface.chord * (air_density / air_viscosity)
    low_speed = 0.05 * DRAG_REYNOLDS  # keeps the trend finite in still air
    section_drag = fixed.section_drag * ((DRAG_REYNOLDS + low_speed) / (reynolds + low_speed)) ** DRAG_EXPONENT
    drag = section_drag + lift * lift * fixed.induced_drag

    separated = separated_share(effective, fixed.stall_angle)
    normal = plate_normal_force(alpha + 0.5 * turned, fixed.aspect_ratio)
    lift = (1.0 - separated) * lift + separated * normal * cos_alpha
    drag = (1.0 - separated) * drag + separated * (section_drag + normal * sin_alpha)
    # the centre of pressure moves from a quarter chord to the middle at 90° and to three quarters at 180°
    moment = (1.0 - separated) * fixed.control_moment * soft_deflection
    moment -= separated * normal * 0.25 * (1.0 - cos_alpha)

    half = air_density * fixed.half_area
    chordwise = half * speed * (lift * across - drag * along)
    downwards = -half * speed * (lift * along + drag * across)
    fx = chordwise * fixed.cos_set + downwards * fixed.sin_set
    under_force = downwards * fixed.cos_set - chordwise * fixed.sin_set
    pitching = half * speed2 * surface.chord * moment
    return fx, -under_force * fixed.sin_tilt, under_force * fixed.cos_tilt, pitching
