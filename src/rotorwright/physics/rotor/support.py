"""How well a rotor's running state is covered by measurements."""

from __future__ import annotations

from typing import Any

from rotorwright.base.jit import jit
from rotorwright.base.records import BUCKET, DRUM, PLATE
from rotorwright.physics.rotor.span import aspect_ratio, disc_ratio

INSIDE, BETWEEN, BEYOND = 0.0, 1.0, 2.0


@jit
def _within(number: float, low: float, high: float) -> bool:
    return low <= number <= high


@jit
def _drum_support(ratio: float, discs: float, turn: float, spin: float, reynolds: float) -> float:
    plain = discs < 1.02
    if ratio > 1.0e4:
        # Swanson 1961; Bordogna et al. 2019 (mid-span, wall to wall)
        if (_within(reynolds, 3.4e4, 5.2e5) and spin <= 1.0) or (_within(reynolds, 1.7e5, 1.05e6) and spin <= 4.7):
            return INSIDE
    elif plain:
        if _within(ratio, 16.0, 21.0) and _within(reynolds, 3.0e3, 5.0e3) and _within(spin, 0.5, 10.0):
            return INSIDE  # Tokumaru & Dimotakis 1993
        if _within(ratio, 11.5, 15.0) and _within(reynolds, 3.9e4, 1.2e5) and spin <= 4.4:
            return INSIDE  # Reid 1924
        if _within(ratio, 4.4, 5.7) and _within(reynolds, 1.9e4, 9.6e4) and spin <= 7.4:
            return INSIDE  # Badalamenti & Prince 2008, Prandtl 1925
    elif _within(ratio, 4.4, 5.7):
        if turn == 1.0 and _within(discs, 1.6, 3.1) and _within(reynolds, 4.0e4, 6.5e4) and spin <= 4.7:
            return INSIDE  # Prandtl 1926
        if turn == 0.0 and _within(discs, 1.8, 2.2) and _within(reynolds, 1.7e4, 9.6e4) and spin <= 5.1:
            return INSIDE  # Badalamenti 2010
    shape = ratio > 1.0e4 or (_within(ratio, 3.0, 21.0) and discs <= 3.1)
    if shape and _within(reynolds, 3.0e3, 1.05e6) and spin <= 8.0:
        return BETWEEN
    return BEYOND


@jit
def rotor_support(rotor: Any, spin_ratio: float, reynolds_number: float) -> float:
    """Return 0 inside one source's tested ranges, 1 between sources, 2 beyond all data.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    spin_ratio : float
        [1], signed.
    reynolds_number : float
        On the diameter [1].

    Notes
    -----
    The word covers the best-founded quantity: lift and drag for drums, torque for vaned rotors. Lift and drag of vaned
    rotors have next to no measurements; callers use `vaned_force_support` for them.
    """
    spin = abs(spin_ratio)
    if rotor.kind == DRUM:
        return _drum_support(aspect_ratio(rotor), disc_ratio(rotor), rotor.discs_turn, spin, reynolds_number)
    ratio = rotor.span / rotor.diameter
    if rotor.section == PLATE:
        if _within(ratio, 1.8, 2.2) and _within(reynolds_number, 3.4e4, 1.0e5) and _within(spin_ratio, 0.13, 0.5):
            return INSIDE  # Aqeel 2025
        if _within(ratio, 1.0, 20.0) and _within(reynolds_number, 9.0e3, 2.5e5) and _within(spin, 0.1, 1.2):
            return BETWEEN
        return BEYOND
    if _within(spin_ratio, 0.0, 1.9) and rotor.stages < 1.5:
        gap = 2.0 * rotor.overlap / (rotor.diameter + rotor.overlap)
        if rotor.section == BUCKET and rotor.buckets > 2.5:
            if _within(ratio, 0.8, 1.8) and _within(reynolds_number, 3.5e5, 9.0e5):
                return INSIDE  # Sheldahl, Blackwell & Feltz 1978
        elif _within(ratio, 0.8, 1.8) and gap <= 0.21:
            if _within(reynolds_number, 3.5e5, 9.0e5):
                return INSIDE
            if _within(reynolds_number, 7.0e4, 9.0e4) and spin_ratio <= 1.3:
                return INSIDE  # Kamoji, Kedare & Prabhu 2008
    if _within(ratio, 0.8, 5.0) and _within(reynolds_number, 7.0e4, 9.0e5) and _within(spin_ratio, 0.0, 1.9):
        return BETWEEN
    return BEYOND


@jit
def vaned_force_support(rotor: Any, spin_ratio: float, reynolds_number: float) -> float:
    """Return the support of the lift and drag of a vaned rotor: one published plate, else beyond data.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    spin_ratio : float
        [1], signed.
    reynolds_number : float
        On the diameter [1].
    """
    if rotor.section == PLATE and _within(spin_ratio, 0.3, 1.2) and _within(reynolds_number, 3.0e4, 2.6e5):
        return BETWEEN
    return BEYOND
