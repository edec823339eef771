"""Finite span: how ends, discs and a body at one end set the lift plateau and the effective aspect ratio."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit
from rotorwright.base.records import DRUM

WALL_TO_WALL = 1.0e5
"""Aspect ratio that stands for two-dimensional flow (both ends sealed)."""

PLAIN_EFFICIENCY, FIXED_DISC_EFFICIENCY, TURNING_DISC_EFFICIENCY = 0.60, 0.75, 1.20
"""Span efficiency of a drum with plain ends, fixed and turning discs of twice its diameter."""

PLATEAU_GAIN = 1.5
"""Most that discs can add to the lift plateau, as a share of the plain one."""


@jit
def disc_ratio(rotor: Any) -> float:
    """Return end-disc diameter over rotor diameter [1], 1 without end discs."""
    if rotor.end_discs <= 0.0 or rotor.disc_diameter <= rotor.diameter:
        return 1.0
    return float(rotor.disc_diameter / rotor.diameter)


@jit
def closed_share(rotor: Any) -> float:
    """Return the share of the free ends that carry a disc [1]."""
    if rotor.inner_end == 1.0:
        return min(1.0, float(rotor.end_discs))
    return min(1.0, 0.5 * float(rotor.end_discs))


@jit
def aspect_ratio(rotor: Any) -> float:
    """Return span over diameter [1], mirrored if a wide body seals one end, very large if both ends are sealed.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    """
    if rotor.inner_end >= 2.0:
        return WALL_TO_WALL
    ratio = float(rotor.span / rotor.diameter)
    return 2.0 * ratio if rotor.inner_end == 1.0 else ratio


@jit
def effective_aspect_ratio(rotor: Any, factors: Any) -> float:
    """Return the aspect ratio that sets end drag and downwash.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    factors : record of base.unknown.FACTORS

    Returns
    -------
    ratio : float
        [1]; with one end sealed by a wide body it is that of the mirrored rotor.

    Notes
    -----
    Drum: AR·e, e = 0.60 plain, 0.75 with fixed and 1.20 with turning discs of twice the diameter, linear between.
    Vaned: AR + 1.9 disc_ratio with end discs (end-plate rule of plain wings). Both times the factor span_efficiency.

    Validity: aspect ratio 1.5–20, disc ratio 1–3 (held beyond 2 for drums).

    Source: plain and fixed from Badalamenti & Prince 2008 and Badalamenti 2010 (digitised); turning between the
    polynomials of Milutinovic et al. 2015 (1.0–1.5) and Tillig et al. 2020 for ship rotors (0.7–1.0), both read in open
    code; the end-plate rule of vaned rotors from memory.
    """
    ratio = aspect_ratio(rotor)
    share = closed_share(rotor)
    discs = disc_ratio(rotor)
    if rotor.kind == DRUM:
        best = TURNING_DISC_EFFICIENCY if rotor.discs_turn == 1.0 else FIXED_DISC_EFFICIENCY
        efficiency = PLAIN_EFFICIENCY + (best - PLAIN_EFFICIENCY) * share * min(discs - 1.0, 1.0)
        return ratio * efficiency * float(factors.span_efficiency)
    extra = 1.9 * discs * share if rotor.end_discs > 0.0 else 0.0
    return (ratio + extra) * float(factors.span_efficiency)


@jit
def effective_span(rotor: Any, factors: Any) -> float:
    """Return the span b_e [m] with b_e²/(span · diameter) equal to the effective aspect ratio.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    factors : record of base.unknown.FACTORS
    """
    return math.sqrt(effective_aspect_ratio(rotor, factors) * rotor.span * rotor.diameter)


@jit
def lift_plateau(rotor: Any, factors: Any) -> float:
    """Return the lift coefficient that the ends let a rotor reach at high spin ratio.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    factors : record of base.unknown.FACTORS

    Notes
    -----
    c · AR · K; c = 0.91 (factor drum_end_cap); K = 1 + 1.5 (1 − exp(−g (disc_ratio − 1))), g = 1.3 for turning discs
    (factor turning_disc_gain), 0.40 for fixed ones (factor fixed_disc_gain); an end without a disc counts as plain.

    Validity: aspect ratio 4.7–5.1 tested, 1.5–20 by the rule; disc ratio 1–3. Discs between the ends add nothing here:
    no reproducible gain is published.

    Source: c from Badalamenti & Prince 2008 and Prandtl 1925, g from Prandtl 1926 and Badalamenti 2010 (digitised).
    """
    plain = float(factors.drum_end_cap) * aspect_ratio(rotor)
    discs = disc_ratio(rotor)
    if discs <= 1.0:
        return plain
    gain = float(factors.turning_disc_gain) if rotor.discs_turn == 1.0 else float(factors.fixed_disc_gain)
    raised = PLATEAU_GAIN * (1.0 - math.exp(-gain * (discs - 1.0)))
    return plain * (1.0 + closed_share(rotor) * raised)


@jit
def capped_lift(section_lift: float, plateau: float) -> float:
    """Return the lift coefficient of the whole rotor: a smooth minimum of section lift and plateau, odd in lift."""
    ratio = section_lift / plateau
    square = ratio * ratio
    return section_lift / math.sqrt(math.sqrt(1.0 + square * square))
