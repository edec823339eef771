"""The fast forms that the equation of motion has in place of strips, read from it for comparison."""

from __future__ import annotations

import numpy as np

from rotorwright.base.records import WING
from rotorwright.flight.equation import rotor_downwash, state_rates, thrust_axis
from rotorwright.flight.layout import MOMENTS, RATES, THRUST, thruster_block
from rotorwright.flight.linear import Point
from rotorwright.flight.span_wise import SpanWise, cross
from rotorwright.flight.span_wise_vortex import Floats
from rotorwright.physics.airframe.downwash import downwash_angle

STEP = 1.0e-3


def fast_downwash(solution: SpanWise, loads: Floats, tail: int) -> float:
    """Return the downwash that the equation of motion has at a tailplane [rad].

    Parameters
    ----------
    solution : SpanWise
        Its wings' lift is used.
    loads : array
        Of the equation of motion in the same condition.
    tail : int
        Row of the surface.
    """
    case = solution.problem.case
    surface = case.surfaces[tail]
    pressure = 0.5 * float(case.air[0]["density"]) * sum(part * part for part in solution.motion.velocity)
    angle = float(rotor_downwash(case, loads, float(surface["x"]), float(surface["z"]), pressure, 1.0))
    strips = solution.problem.layout.strips
    wings = [row for row, each in enumerate(case.surfaces) if each["kind"] == WING]
    if wings:
        mine = ~strips.is_rotor & np.isin(strips.row, wings)
        lift = -float(solution.forces[mine, 2].sum())
        span = max(float(case.surfaces[row]["span"] + 2.0 * abs(case.surfaces[row]["y"])) for row in wings)
        last = case.surfaces[wings[-1]]
        behind, below = float(last["x"] - surface["x"]), float(last["z"] - surface["z"])
        angle += float(downwash_angle(lift, pressure, span, behind, below, case.factors[0]))
    return angle


def fast_damping(point: Point) -> tuple[float, float]:
    """Return rolling moment by roll rate and yawing moment by yaw rate in the equation of motion [N m s].

    Parameters
    ----------
    point : Point
        A steady condition. Bodies and propellers are left out, as they are in the strips.
    """
    bodies = point.case.bodies.copy()
    for name in ("length", "width", "height", "drag_area", "side_area", "top_area"):
        bodies[name] = 0.0
    case = point.case._replace(bodies=bodies)
    found = []
    for axis in (0, 2):
        moments = []
        for step in (STEP, -STEP):
            state = point.state.copy()
            state[RATES + axis] += step
            work = point.work
            state_rates(case, point.tables, state, point.controls, work.loads, work.rates, work.air_velocity)
            moment = float(work.loads[MOMENTS + axis])
            for i, thruster in enumerate(case.thrusters):
                push = float(work.loads[thruster_block(point.rotors, i) + THRUST]) * np.array(thrust_axis(thruster))
                arm = np.array([float(thruster[name] - case.vehicle[0][name]) for name in "xyz"])
                moment -= float(cross(arm, push)[axis])
            moments.append(moment)
        found.append((moments[0] - moments[1]) / (2.0 * STEP))
    return found[0], found[1]
