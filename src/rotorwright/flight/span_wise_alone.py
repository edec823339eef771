"""Plain wings and bare rotors by the span-wise method, as on a bench: the method held against closed forms."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from rotorwright.base.records import WING
from rotorwright.flight.alone import assemble_parts
from rotorwright.flight.numbers import case_of, physics_tables
from rotorwright.flight.span_wise import (
    Motion,
    SpanWise,
    induced_drag_alone,
    problem_of,
    set_up,
    solve_span_wise,
)
from rotorwright.flight.span_wise_settle import END, LIFT, SPEED
from rotorwright.flight.span_wise_strips import Layout, lay_out
from rotorwright.flight.span_wise_vortex import Floats, real_vortices, wake_drag

DENSITY = 1.225


def _chords(planform: str, taper: float, places: Floats) -> Floats:
    """Return chord over mean chord at places −1…1 across the span."""
    if planform == "elliptic":
        return np.asarray(4.0 / math.pi * np.sqrt(np.maximum(1.0 - places * places, 0.0)))
    if planform == "tapered":
        return np.asarray(2.0 * (1.0 - (1.0 - taper) * np.abs(places)) / (1.0 + taper))
    raise ValueError(f"planform {planform!r} is not one of elliptic, tapered")


def _wing(case: Any, layout: Layout, planform: str, taper: float, section_slope: float, span: float) -> Layout:
    strips = layout.strips
    places = 2.0 * (strips.middle[:, 1] - np.mean(strips.middle[:, 1])) / span
    chord = float(case.surfaces[0]["chord"])
    slope = 0.5 * chord * section_slope * _chords(planform, taper, places)
    return layout._replace(strips=strips._replace(slope=slope))


def plain_wing_alone(
    *,
    aspect_ratio: float,
    incidence: float,
    planform: str = "tapered",
    taper: float = 1.0,
    section_slope: float = 2.0 * math.pi,
    height_over_span: float | None = None,
    roll_helix: float = 0.0,
    distance_over_span: float = 50.0,
    strips: int = 40,
) -> dict[str, float]:
    """Return what the span-wise method says about a plain wing.

    Parameters
    ----------
    aspect_ratio : float
        [1]
    incidence : float
        Of chord against stream [rad]; no camber.
    planform : str
        ``elliptic`` chord, or straight ``tapered``.
    taper : float
        Tip over root chord; 1 is a rectangle.
    section_slope : float
        Lift slope of the section [1/rad].
    height_over_span : float, optional
        Height of the wing above ground over its span; far from it if left out.
    roll_helix : float
        Rolling speed of the tip over airspeed, p b/(2 V) [1].
    distance_over_span : float
        Where downwash is read behind the wing, in spans.
    strips : int
        Across the span.

    Returns
    -------
    dict
        ``lift_coefficient``; ``induced_drag_coefficient`` near the wing and ``wake_drag_coefficient`` far behind;
        ``induced_factor``, drag over that of elliptic lift; ``downwash`` [rad] on the centre line; ``rolling_moment``
        coefficient on span.
    """
    span, speed = 1.0, 10.0
    chord = span / aspect_ratio
    surface = {"kind": WING, "area": span * chord, "span": span, "chord": chord}
    case = case_of(assemble_parts({"surfaces": [surface]}, DENSITY), 0)
    motion = Motion(
        velocity=(speed * math.cos(incidence), 0.0, speed * math.sin(incidence)),
        rates=(2.0 * speed * roll_helix / span, 0.0, 0.0),
        height=None if height_over_span is None else height_over_span * span,
    )
    layout = lay_out(case.rotors, case.surfaces, case.factors[0], (), strips)
    layout = _wing(case, layout, planform, taper, section_slope, span)
    solution = solve_span_wise(problem_of(case, physics_tables(), layout, motion), motion)
    pressure_area = 0.5 * DENSITY * speed * speed * span * chord
    stream = solution.problem.stream
    drag = float(solution.force @ stream)
    lift = float(math.sqrt(max(float(solution.force @ solution.force) - drag * drag, 0.0)))
    lift = math.copysign(lift, -float(solution.force[2]))
    coefficient, induced = lift / pressure_area, drag / pressure_area
    point = distance_over_span * span * stream
    down = solution.induced_at(point[None])[0]
    square = float(down @ np.array([-stream[2], 0.0, stream[0]]))
    ideal = coefficient * coefficient / (math.pi * aspect_ratio)
    return {
        "lift_coefficient": coefficient,
        "induced_drag_coefficient": induced,
        "wake_drag_coefficient": solution.wake_drag / pressure_area,
        "induced_factor": induced / ideal if ideal > 0.0 else math.nan,
        "downwash": -square / speed,
        "rolling_moment": float(solution.moment[0]) / (pressure_area * span),
    }


def mutual_drag_alone(*, gap_over_span: float, span_ratio: float = 1.0, strips: int = 60) -> float:
    """Return the mutual induced drag of two wings one above the other over that of the wider one alone.

    Parameters
    ----------
    gap_over_span : float
        Height between them over the larger span.
    span_ratio : float
        Smaller over larger span.
    strips : int
        Across each.

    Notes
    -----
    Both carry elliptic lift L₁, L₂; total = (L₁²/b₁² + 2 σ L₁ L₂/(b₁ b₂) + L₂²/b₂²)/(π q), σ is returned.
    """
    wings = [
        {"kind": WING, "area": 0.1 * span, "span": span, "chord": 0.1, "z": -place}
        for span, place in ((1.0, 0.0), (span_ratio, gap_over_span))
    ]
    case = case_of(assemble_parts({"surfaces": wings}, DENSITY), 0)
    layout = lay_out(case.rotors, case.surfaces, case.factors[0], (), strips)
    layer = layout.strips
    stream = np.array([-1.0, 0.0, 0.0])
    drags = []
    for first, second in ((1.0, 0.0), (0.0, 1.0), (1.0, 1.0)):
        half = np.where(layer.row == 0, 0.5, 0.5 * span_ratio)
        weight = np.where(layer.row == 0, first, second / span_ratio)
        circulation = weight * np.sqrt(np.maximum(1.0 - (layer.middle[:, 1] / half) ** 2, 0.0))
        drags.append(float(wake_drag(real_vortices(layout.vortices), stream, circulation, DENSITY)))
    return (drags[2] - drags[0] - drags[1]) / (2.0 * math.sqrt(drags[0] * drags[1]))


def rotors_alone(
    *,
    rotors: list[dict[str, float]],
    airspeed: float,
    spin_ratio: float,
    height: float | None = None,
    roll_rate: float = 0.0,
    yaw_rate: float = 0.0,
    freewheeling: bool = False,
    strips: int = 12,
) -> dict[str, list[float]]:
    """Return what the span-wise method says about bare rotors in a uniform stream.

    Parameters
    ----------
    rotors : list of dict
        Fields of base.records.ROTOR; what is left out is zero.
    airspeed : float
        [m/s]
    spin_ratio : float
        Of each rotor on the undisturbed stream.
    height : float, optional
        Of the nose point above ground [m].
    roll_rate, yaw_rate : float
        [rad/s]
    freewheeling : bool
        Whether they turn slower in slower air.
    strips : int
        Along each.

    Returns
    -------
    dict
        One number for each rotor: ``lift``, ``drag`` (all of it, tilted lift included), ``end_drag``, ``induced_drag``
        of its own wake [N], ``local_speed`` mean [m/s]; and single ones: ``wake_drag`` [N], ``roll_moment``,
        ``yaw_moment`` [N m].
    """
    case = case_of(assemble_parts({"rotors": [{"turning": 1.0} | rotor for rotor in rotors]}, DENSITY), 0)
    speeds = tuple(2.0 * spin_ratio * airspeed / rotor["diameter"] for rotor in rotors)
    motion = Motion(
        (airspeed, 0.0, 0.0), (roll_rate, 0.0, yaw_rate), rotor_speeds=speeds, height=height, freewheeling=freewheeling
    )
    solution = solve_span_wise(set_up(case, physics_tables(), motion, strips), motion)
    return rotor_sums(solution) | {
        "wake_drag": [solution.wake_drag],
        "roll_moment": [float(solution.moment[0])],
        "yaw_moment": [float(solution.moment[2])],
    }


def rotor_sums(solution: SpanWise) -> dict[str, list[float]]:
    """Return the sums over the strips of each rotor, and its own induced drag."""
    strips = solution.problem.layout.strips
    rows = range(solution.problem.layout.rotors)
    mine = [strips.is_rotor & (strips.row == row) for row in rows]
    own = induced_drag_alone(solution)
    stream = solution.problem.stream
    return {
        "lift": [float(solution.loads[each, LIFT].sum()) for each in mine],
        "drag": [float((solution.forces[each] @ stream).sum()) for each in mine],
        "end_drag": [float(solution.loads[each, END].sum()) for each in mine],
        "induced_drag": [float(number) for number in own],
        "local_speed": [
            float((solution.loads[each, SPEED] * strips.width[each]).sum() / strips.width[each].sum()) for each in mine
        ],
        "circulation": [float(solution.circulation[each].max()) for each in mine],
    }
