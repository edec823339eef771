"""How the stages of a rotor are turned against each other unless the maker tells."""

from __future__ import annotations

import math


def even_stage_phase(section: str, buckets: int, stages: int) -> float:
    """Return the angle between neighbouring stages that spreads them evenly over one repeat of the section [rad].

    Parameters
    ----------
    section : str
        "bucket", "s-section" or "plate".
    buckets : int
        Of a bucket rotor; the other sections have two vanes.
    stages : int

    Notes
    -----
    2π over the vanes, over the stages. Source: closed form of geometry.
    """
    return 2.0 * math.pi / (buckets if section == "bucket" else 2) / stages
