"""What inlet, duct and nozzle of a ducted fan cost: total-pressure loss, a sharp lip, a throat that is too small."""

from __future__ import annotations

SHARP_LIP = (0.78, 0.70, 0.85)
"""Share of static thrust left by a lip without radius, with its band (from memory: 15–30 % lost)."""
FULL_LIP = 0.08
"""Lip radius over fan diameter that recovers it all (from memory: 6–10 %)."""
SMOOTH_LOSS = 0.05
"""Total-pressure loss of a clean duct over dynamic pressure (from memory)."""
FRICTION_PER_DIAMETER = 0.02
"""More of it per diameter of length (from memory)."""
OBSTRUCTION_LOSS = (0.2, 0.1, 0.3)
"""More of it for every spar, rod or servo in the duct, with its band (from memory)."""


def duct_loss(length_ratio: float, obstructions: float, inlet_ratio: float, each: float = OBSTRUCTION_LOSS[0]) -> float:
    """Return the total-pressure loss of a duct over the dynamic pressure in it [1].

    Parameters
    ----------
    length_ratio : float
        Length over diameter.
    obstructions : float
        Things that stand in the duct.
    inlet_ratio : float
        Area of the inlet's throat over the swept area.
    each : float
        Loss of one obstruction [1].

    Notes
    -----
    K = 0.05 + 0.02 L/D + 0.2 n + (1/a − 1)² for a throat smaller than the swept area (a < 1).
    Source: sudden widening after J.-C. de Borda and L. Carnot (closed form); the rest from memory.
    """
    narrow = max(1.0 / inlet_ratio - 1.0, 0.0)
    return SMOOTH_LOSS + FRICTION_PER_DIAMETER * length_ratio + each * obstructions + narrow * narrow


def installation_share(loss: float, exit_ratio: float, lip_ratio: float, sharp: float = SHARP_LIP[0]) -> float:
    """Return the share of a bare fan's static thrust that its duct leaves [1].

    Parameters
    ----------
    loss : float
        From `duct_loss`.
    exit_ratio : float
        Exit area over swept area.
    lip_ratio : float
        Radius of the inlet lip over the fan's diameter.
    sharp : float
        Share left by a lip without radius.

    Notes
    -----
    At constant fan power ½ ρ A v³ (1 + K σ²) stays, so v³ ∝ 1/(1 + K σ²) and T ∝ (1 + K σ²)^(−2/3), σ exit over swept
    area; the bare fan's own exit is counted elsewhere. Lip: from 0.78 without radius smoothly to 1 at 8 % of the
    diameter.

    Validity: at rest; in flight a lip matters less. Source: momentum theory (closed form); lip from memory.
    """
    rounded = min(max(lip_ratio / FULL_LIP, 0.0), 1.0)
    lip = sharp + (1.0 - sharp) * rounded * rounded * (3.0 - 2.0 * rounded)
    return float(lip * (1.0 + loss * exit_ratio * exit_ratio) ** (-2.0 / 3.0))
