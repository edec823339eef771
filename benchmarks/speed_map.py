"""Time a speed map of one shaft: our reduced model against an open general-purpose rotordynamics library.

``python benchmarks/speed_map.py`` with the rival installed beside us (``constraints-bench.txt``) prints both and the
ratio in one run; without it, our time only and how to get the rival. Both start from the described shaft.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

import numpy as np

from rotorwright.physics.structure.whirl import reduced, speed_map, whirl_at
from rotorwright.studies.shaft_alone import _disc, _divided, _element, _model, _support

ELEMENTS = 20
SPEEDS = np.linspace(0.0, 400.0, 41)
TUBE = {"length": 1.0 / ELEMENTS, "outer": 0.010, "inner": 0.008, "modulus": 125e9, "poisson": 0.3, "density": 1550.0}
DISCS = [
    {"position": place, "mass": 0.03, "polar_inertia": 1e-4, "diametral_inertia": 5e-5}
    for place in (0.0, 0.25, 0.5, 0.75, 1.0)
]
SUPPORTS = [{"position": place, "kx": 2e4} for place in (0.0, 1.0)]


def ours() -> Any:
    """Return our frequencies over the speeds, shape (speeds, 6)."""
    elements = [_element(place, TUBE) for place in range(ELEMENTS)]
    discs = [_disc(place, disc, 1.0) for place, disc in enumerate(DISCS)]
    supports = [_support(place, support, 1.0) for place, support in enumerate(SUPPORTS)]
    pieces = _divided(elements, [each["position"] for each in (*discs, *supports)], None)
    return speed_map(reduced(_model(pieces, discs, supports)), SPEEDS, many=6)[0]


def full_model() -> Any:
    """Return the same from all freedoms."""
    elements = [_element(place, TUBE) for place in range(ELEMENTS)]
    discs = [_disc(place, disc, 1.0) for place, disc in enumerate(DISCS)]
    supports = [_support(place, support, 1.0) for place, support in enumerate(SUPPORTS)]
    model = _model(_divided(elements, [], None), discs, supports)
    return np.array([whirl_at(model, float(speed)).frequencies[:6] for speed in SPEEDS])


def rival() -> Any:
    """Return the rival's map of the same shaft."""
    import ross

    material = ross.Material(name="tube", rho=TUBE["density"], E=TUBE["modulus"], Poisson=TUBE["poisson"])
    shaft = [
        ross.ShaftElement(
            L=TUBE["length"], idl=TUBE["inner"], odl=TUBE["outer"], material=material, shear_effects=True,
            rotary_inertia=True, gyroscopic=True,
        )
        for _ in range(ELEMENTS)
    ]  # fmt: skip
    discs = [
        ross.DiskElement(n=round(disc["position"] * ELEMENTS), m=disc["mass"], Id=disc["diametral_inertia"],
                         Ip=disc["polar_inertia"])
        for disc in DISCS
    ]  # fmt: skip
    bearings = [ross.BearingElement(n=node, kxx=2e4, kyy=2e4, cxx=0.0) for node in (0, ELEMENTS)]
    return ross.Rotor(shaft, discs, bearings).run_campbell(SPEEDS, frequencies=6)


def least(work: Callable[[], Any], repeats: int) -> float:
    """Return the least wall time of some repeats [s]."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    """Print both times and their ratio."""
    error = float(np.max(np.abs(ours() / full_model() - 1.0)))
    mine = least(ours, 5)
    print(f"speed map, {len(SPEEDS)} speeds, {ELEMENTS} elements, 6 whirls")
    print(f"  ours, reduced to 16 modes   {1000.0 * mine:8.1f} ms   at most {100.0 * error:.4f} % off the full model")
    try:
        import ross
    except ImportError:
        print("  the rival is not installed: pip install -c constraints-bench.txt ross-rotordynamics, beside us")
        return
    theirs = least(rival, 2)  # the first one also fills its caches
    print(f"  open library {ross.__version__:<14} {1000.0 * theirs:8.1f} ms   ratio {theirs / mine:.0f}, target 10")


if __name__ == "__main__":
    main()
