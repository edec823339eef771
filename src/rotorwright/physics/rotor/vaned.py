"""Vaned rotors: torque from running backwards through standstill and freewheel to driven, lift and drag."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.curves import read_curve, smooth_step
from rotorwright.base.jit import jit
from rotorwright.base.records import BUCKET, PLATE
from rotorwright.physics.rotor.tables import Floats

SLOW_REYNOLDS, FAST_REYNOLDS = math.log(8.0e4), math.log(4.0e5)
# From Reynolds number 4e5 down to 8e4 the working line loses torque and steepens by these ratios.
# Source: Kamoji et al. 2008 (0.463, 0.346) against Sheldahl, Blackwell & Feltz 1978 (0.545, 0.307).
SLOW_TORQUE, SLOW_SLOPE = 0.463 / 0.545, 0.346 / 0.307
THREE_TORQUE, THREE_SLOPE = 0.416, 0.280
PLATE_PEAK, PLATE_REYNOLDS = 0.105, math.log(8.2e4)
PLATE_ANCHOR = 0.46 / 0.620
STILL_AIR_BUCKET, STILL_AIR_PLATE = 0.20, 0.475


@jit
def long_wing_share(ratio: float) -> float:
    """Return the share of two-dimensional lift slope at an aspect ratio: AR/(2 + √(4 + AR²)) [1].

    Source: Helmbold's low-aspect-ratio wing formula (from memory); approaches 1 for a long span.
    """
    return ratio / (2.0 + math.sqrt(4.0 + ratio * ratio))


@jit
def plate_running_ratio(ratio: float, factors: Any) -> float:
    """Return the spin ratio at which a turning plate feels no torque [1].

    Notes
    -----
    0.742 f(AR), f = {h (2 − (AR/(AR + 0.595))^0.76)}^(2/3), h = AR/(2 + √(4 + AR²)); times factor
    plate_freewheel_ratio to the power 0.4 at the measured aspect ratio 2, 1 above 5.4 and below 0.74.

    Source: aspect-ratio function of J. D. Iversen, J. Fluid Mech. 92 (1979) 327 (from memory), anchored to 0.46 at
    aspect ratio 2 by Aqeel 2025 (digitised). Without the anchor it would be a third higher: the band holds both.
    """
    wide = long_wing_share(ratio) * (2.0 - (ratio / (ratio + 0.595)) ** 0.76)
    away = math.log(0.5 * ratio)
    power = 0.4 + 0.6 * smooth_step(away * away, 0.0, 1.0)
    return float(PLATE_ANCHOR * wide ** (2.0 / 3.0) * factors.plate_freewheel_ratio**power)


@jit
def plate_torque(running: float, spin_ratio: float, log_reynolds: float, factors: Any) -> float:
    """Return the mean torque coefficient of a turning plate, odd in the spin ratio; ``running``: `plate_running_ratio`.

    Notes
    -----
    4 Q_m x (1 − x), x = spin_ratio / running ratio, faded out below x = 0.4 (a slow plate does not keep turning);
    beyond x = 1 the tangent, and beyond 1.1 the still-air damping 0.475 (spin_ratio − 1.1 running ratio)².
    Q_m = 0.105 (Re/8.2e4)^−0.24 between Re 3e4 and 2.4e5, times factor plate_torque.

    Validity: aspect ratio 2, thickness 0.023, Reynolds number 3.7e4–9.7e4, x 0.3–0.9 tested.

    Source: Aqeel 2025, IIT Delhi (digitised); damping of Pomerenk & Ristroph 2024 (read-secondary).
    """
    size = abs(spin_ratio)
    x = size / running
    trend = smooth_step(log_reynolds, math.log(2.0e4), math.log(3.4e5))  # C1 stand-in for a clipped power law
    peak = PLATE_PEAK * factors.plate_torque * math.exp(-0.24 * (math.log(2.0e4) + 2.833 * trend - PLATE_REYNOLDS))
    if x <= 1.0:
        torque = 4.0 * peak * x * (1.0 - x) * smooth_step(x, 0.0, 0.4)
    else:
        torque = 4.0 * peak * (1.0 - x)
    over = size - 1.1 * running
    if over > 0.0:
        torque -= STILL_AIR_PLATE * factors.vane_windage * over * over
    return float(torque if spin_ratio >= 0.0 else -torque)


@jit
def bucket_line(
    rotor: Any, overlap_torque: Floats, overlap_slope: Floats, log_reynolds: float, factors: Any
) -> tuple[float, float, float]:
    """Return torque at zero and running spin ratio of the working line, and the weight of high Reynolds numbers.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    overlap_torque, overlap_slope : array
        Curves of base.curves over overlap / bucket diameter [1].
    log_reynolds : float
        ln of the Reynolds number on diameter.
    factors : record of base.unknown.FACTORS

    Notes
    -----
    Line: torque_coefficient = a (1 − spin_ratio/running). a and slope over overlap / bucket diameter at Re 4e5
    (tables), times 0.85 and 1.13 at Re 8e4, C1 between. The factor vane_freewheel_ratio acts fully at 8e4, to
    the power 0.4 at 4e5 and 1.6 below 4e4.
    """
    torque, slope = bucket_line_at_speed(rotor, overlap_torque, overlap_slope)
    return bucket_line_given(torque, slope, math.log(factors.vane_freewheel_ratio), log_reynolds)


@jit
def bucket_line_at_speed(rotor: Any, overlap_torque: Floats, overlap_slope: Floats) -> tuple[float, float]:
    """Return torque and slope of the working line at Reynolds number 4e5, which stay the same of a rotor."""
    if rotor.section == BUCKET and rotor.buckets > 2.5:
        return THREE_TORQUE, THREE_SLOPE
    ratio = 0.0
    if rotor.section == BUCKET:
        ratio = 2.0 * rotor.overlap / (rotor.diameter + rotor.overlap)  # D = 2 d_b − s
    return read_curve(overlap_torque, min(ratio, 0.35)), read_curve(overlap_slope, min(ratio, 0.35))


@jit
def bucket_line_given(
    torque: float, slope: float, log_freewheel: float, log_reynolds: float
) -> tuple[float, float, float]:
    """Return `bucket_line` from the line at Reynolds number 4e5 and ln of the factor vane_freewheel_ratio."""
    fast = smooth_step(log_reynolds, SLOW_REYNOLDS, FAST_REYNOLDS)
    torque *= SLOW_TORQUE + (1.0 - SLOW_TORQUE) * fast
    slope *= SLOW_SLOPE + (1.0 - SLOW_SLOPE) * fast
    power = 1.0 - 0.6 * fast + 0.6 * (1.0 - smooth_step(log_reynolds, math.log(4.0e4), SLOW_REYNOLDS))
    return float(torque), float(torque / slope * math.exp(power * log_freewheel)), fast


@jit
def bucket_torque(
    rotor: Any,
    line_torque: float,
    line_slope: float,
    log_freewheel: float,
    log_torque: float,
    fast_shape: Floats,
    slow_shape: Floats,
    three_shape: Floats,
    spin_ratio: float,
    log_reynolds: float,
    factors: Any,
) -> float:
    """Return the mean torque coefficient of an S-section or bucket rotor.

    ``line_torque`` and ``line_slope`` are those of `bucket_line_at_speed`, ``log_freewheel`` and ``log_torque`` ln of
    the factors vane_freewheel_ratio and vane_torque.

    Notes
    -----
    a · shape(x), x = spin_ratio / running; the shapes hold the static torque, the working line 1 − x and at low
    Reynolds number the steeper end near freewheel. Beyond |x| = 1.1 the still-air damping
    0.20 (|spin_ratio| − 1.1 running)². Times factors vane_torque (to the power 0.65 at 4e5) and,
    for phased stages, stage_torque. End discs of 1.1 diameters are inside the data.

    Validity: Reynolds number 8e4–9e5, overlap 0–0.2 bucket diameters, spin ratio 0–1.9; backwards is judgement.

    Source: Sheldahl, Blackwell & Feltz, J. Energy 2 (1978) 160 (digitised); Kamoji, Kedare & Prabhu 2008 (digitised).
    """
    torque, running, fast = bucket_line_given(line_torque, line_slope, log_freewheel, log_reynolds)
    x = spin_ratio / running
    if rotor.section == BUCKET and rotor.buckets > 2.5:
        shape = read_curve(three_shape, x)
    else:
        shape = 0.0
        if fast < 1.0:
            shape += (1.0 - fast) * read_curve(slow_shape, x)
        if fast > 0.0:
            shape += fast * read_curve(fast_shape, x)
    result = torque * shape
    over = abs(spin_ratio) - 1.1 * running
    if over > 0.0:
        damping = STILL_AIR_BUCKET * factors.vane_windage * over * over
        result += -damping if spin_ratio > 0.0 else damping
    result *= math.exp((1.0 - 0.35 * fast) * log_torque)
    if rotor.stages > 1.5:
        result *= factors.stage_torque
    return float(result)


@jit
def vaned_lift_slope(rotor: Any, effective_aspect_ratio: float, factors: Any) -> float:
    """Return the mean lift coefficient over the spin ratio before the plateau of the ends.

    Notes
    -----
    Plate: 2.2 h(AR_e), factor plate_lift. S-section and bucket: 1.42 h(AR_e), which is 1.05 at aspect ratio 4.5 with
    discs of 1.1 diameters; factor vane_lift. h = `long_wing_share`.

    Source: rotational-lift coefficient 1.1 of Pomerenk & Ristroph 2024 and Smith 1970 (plate, abstract); the bucket
    slope rests on builders' lift to drag of about 1 and side force of the order of drag (Sheldahl et al. 1978): no
    measured curve was found.
    """
    share = long_wing_share(effective_aspect_ratio)
    if rotor.section == PLATE:
        return float(2.2 * share * factors.plate_lift)
    return float(1.42 * share * factors.vane_lift)


@jit
def vaned_profile_drag(rotor: Any, spin_ratio: float, lift_coefficient: float, factors: Any) -> float:
    """Return the mean drag coefficient without the end drag.

    Notes
    -----
    Plate: 1.0 + 0.108 CL² + 0.2/(1 + (spin_ratio/0.1)²), the last because a stopped plate parks broadside; factor
    plate_drag. S-section and bucket: 1.12, factor vane_drag.

    Source: plate through 0.98 at no lift (Pomerenk & Ristroph 2024) and Smith 1970; bucket as for lift.
    """
    if rotor.section == PLATE:
        slow = spin_ratio / 0.1
        drag = 1.0 + 0.108 * lift_coefficient * lift_coefficient + 0.2 / (1.0 + slow * slow)
        return float(drag * factors.plate_drag)
    return float(1.12 * factors.vane_drag)
