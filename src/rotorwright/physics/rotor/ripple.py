"""How lift, drag and torque of a vaned rotor swing within a turn, and the spin with them."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.records import BUCKET, PLATE

# Half-amplitudes of one section at its first harmonic: lift and drag over their mean; torque over the torque at rest of
# the working line (buckets), or as a coefficient (plate, whose mean torque vanishes at freewheel).
# Source: plate lift and drag from peak and mean of Smith 1970 (abstract); plate torque: parked torque of Pomerenk &
# Ristroph 2024; bucket torque Marinic-Kragic et al. 2020, 0.27 and 0.02 at 4 per turn on a line of 0.543 (computation,
# digitised); bucket lift and drag: coarse estimates; three buckets: parked swing of Sheldahl et al. 1978.
PLATE_LIFT, PLATE_DRAG, PLATE_TORQUE = 1.05, 1.69, 0.27
BUCKET_LIFT, BUCKET_DRAG, BUCKET_TORQUE = 0.75, 0.65, 0.27 / 0.543
SECOND_TORQUE = 0.02 / 0.543
THREE_TORQUE, THREE_FORCE = 0.14 / 0.416, 0.5
UNEVEN = 0.10
"""Share of the swing of one section that real stages keep: they are never quite alike."""


def pulses_per_turn(rotor: Any) -> int:
    """Return how often one section repeats itself within a turn: 2, or 3 with three buckets.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    """
    return 3 if rotor["section"] == BUCKET and rotor["buckets"] > 2.5 else 2


def left_of_harmonic(stages: int, stage_phase: float, harmonic: int) -> float:
    """Return the share of a harmonic that phased stages leave together: |Σ e^(i h k φ)|/N [1].

    Parameters
    ----------
    stages : int
    stage_phase : float
        Between neighbours [rad].
    harmonic : int
        Per turn.
    """
    real = sum(math.cos(harmonic * k * stage_phase) for k in range(stages))
    imaginary = sum(math.sin(harmonic * k * stage_phase) for k in range(stages))
    return math.hypot(real, imaginary) / stages


def ripple_shares(rotor: Any) -> tuple[float, float, float]:
    """Return half-amplitudes within a turn: lift and drag over their mean, torque over the line's torque at rest.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
        Vaned.

    Returns
    -------
    lift, drag, torque : float
        [1]; for a plate torque is a coefficient itself.

    Notes
    -----
    One section: its first harmonic, and for the torque of two buckets the second. N stages: (0.1 + 0.9 s) of the first,
    s = |Σ e^(i h k φ)|/N, plus what they leave of the second: stages phased by half a turn over N cancel all harmonics
    but multiples of 2 N.

    Validity: spin near freewheel; lift and drag of buckets are coarse.
    """
    stages = max(1, round(float(rotor["stages"])))
    phase = float(rotor["stage_phase"])
    pulses = pulses_per_turn(rotor)
    left = 1.0
    if stages > 1:
        left = UNEVEN + (1.0 - UNEVEN) * left_of_harmonic(stages, phase, pulses)
    if rotor["section"] == PLATE:
        return PLATE_LIFT * left, PLATE_DRAG * left, PLATE_TORQUE * left
    if pulses == 3:
        return THREE_FORCE * left, THREE_FORCE * left, THREE_TORQUE * left
    second = SECOND_TORQUE * left_of_harmonic(stages, phase, 2 * pulses)
    return BUCKET_LIFT * left, BUCKET_DRAG * left, BUCKET_TORQUE * left + second


def speed_ripple(torque_ripple: float, polar_inertia: float, rotor_speed: float, pulses: int) -> float:
    """Return the half-amplitude of the spin within a turn over its mean: Q/(n I ω²) [1].

    Parameters
    ----------
    torque_ripple : float
        Half-amplitude [N m].
    polar_inertia, rotor_speed : float
        [kg m²], [rad/s].
    pulses : int
        n, per turn.

    Notes
    -----
    With two pulses this is C/(32 I* spin_ratio²), C the torque ripple over q S R, I* = I/(ρ d⁴ span). Source: closed
    form; valid while it is small.
    """
    if rotor_speed == 0.0 or polar_inertia <= 0.0:
        return math.nan
    return abs(torque_ripple) / (pulses * polar_inertia * rotor_speed * rotor_speed)
