"""Bench call: what share of its thrust a duct leaves a fan."""

from __future__ import annotations

from rotorwright.base.quantity import Quantity
from rotorwright.physics.power.duct import OBSTRUCTION_LOSS, SHARP_LIP, duct_loss, installation_share
from rotorwright.studies import bench_inputs as check

MODEL_BAND = 0.1
"""How far a share reckoned so may be off besides its parts (judgement)."""


def duct_alone(
    *,
    length_ratio: float = 2.0,
    obstructions: int = 0,
    inlet_ratio: float = 1.1,
    exit_ratio: float = 0.9,
    lip_ratio: float = 0.08,
) -> Quantity:
    """Return the share of a bare fan's static thrust that inlet and duct leave, for ``installation`` in the file.

    Parameters
    ----------
    length_ratio : float
        Length of the duct over its diameter.
    obstructions : int
        Spars, rods, servos in it.
    inlet_ratio, exit_ratio : float
        Throat of the inlet and exit over the swept area.
    lip_ratio : float
        Radius of the inlet's lip over the diameter.

    Raises
    ------
    InputError
        If an argument cannot be used.

    Notes
    -----
    See `rotorwright.physics.power.duct`. The band is that of lip and obstructions, and 10 % more.
    """
    length = check.number("length_ratio", length_ratio, low=0.0, high=30.0, unit="")
    count = check.whole("obstructions", obstructions, low=0, high=10)
    inlet = check.number("inlet_ratio", inlet_ratio, low=0.3, high=3.0, unit="")
    leaving = check.number("exit_ratio", exit_ratio, low=0.3, high=1.5, unit="")
    lip = check.number("lip_ratio", lip_ratio, low=0.0, high=0.5, unit="")
    share = installation_share(duct_loss(length, count, inlet), leaving, lip)
    low = installation_share(duct_loss(length, count, inlet, OBSTRUCTION_LOSS[2]), leaving, lip, SHARP_LIP[1])
    high = installation_share(duct_loss(length, count, inlet, OBSTRUCTION_LOSS[1]), leaving, lip, SHARP_LIP[2])
    return Quantity(
        share, low - MODEL_BAND * share, min(high + MODEL_BAND * share, 1.0), share, "1",
        support="beyond data", sources=("common-practice",),
    )  # fmt: skip
