"""The implicit friction law is solved to the root that a general root finder gives."""

import math

import pytest
from scipy.optimize import brentq

from rotorwright.physics.rotor.tables import smooth_cylinder_friction


@pytest.mark.parametrize("reynolds", [20.0, 1e2, 1e3, 1e5, 1e6, 1e8])
def test_friction_is_the_root(reynolds):
    root = brentq(lambda y: y + 0.6 - 4.07 * math.log10(reynolds / y), 1e-3, 1e3, xtol=1e-13)
    expected = (root**-8.0 + (4.0 / reynolds) ** 4.0) ** 0.25
    assert smooth_cylinder_friction(reynolds) == pytest.approx(expected, rel=1e-9)
