import math

from hypothesis import given
from hypothesis import strategies as st

from rotorwright.physics.power.quadrants import quadrant_load

SHAPE = {"start_slope": -0.5, "join": 1.0, "join_value": 0.3, "join_slope": -1.7, "stopped": 0.2, "reversed_load": 0.5}


def load(speed: float, spin: float) -> float:
    y = min(max(speed / spin, 0.0), 1.0) if spin > 0.0 else 0.0
    inside = 1.0 - 0.5 * y + 1.0 * y * y - 1.2 * y**3  # 0.3 at y = 1, slope −2.1 there
    shape = SHAPE | {"join_slope": -0.5 + 2.0 - 3.6}
    return quadrant_load(speed, spin, inside, *shape.values())


@given(angle=st.floats(0.0, 2.0 * math.pi), size=st.floats(0.1, 50.0))
def test_first_derivatives_are_continuous_across_every_direction(angle: float, size: float) -> None:
    h = 1e-5
    for turn in (angle, 0.0, math.pi / 2.0, math.pi, 1.5 * math.pi, math.pi / 4.0):
        before = [load(size * math.cos(turn + a), size * math.sin(turn + a)) for a in (-2 * h, -h, 0.0, h, 2 * h)]
        left = (before[2] - before[0]) / (2 * h)
        right = (before[4] - before[2]) / (2 * h)
        assert abs(left - right) < 2e-3 * size * size


@given(angle=st.floats(0.0, 2.0 * math.pi), scale=st.floats(0.5, 3.0))
def test_load_is_homogeneous_of_degree_two(angle: float, scale: float) -> None:
    one = load(math.cos(angle), math.sin(angle))
    assert math.isclose(load(scale * math.cos(angle), scale * math.sin(angle)), scale**2 * one, abs_tol=1e-9)


def test_stopped_part_is_dragged_with_the_stream_both_ways() -> None:
    assert load(2.0, 0.0) == -0.8
    assert load(-2.0, 0.0) == 0.8
    assert load(0.0, 0.0) == 0.0
