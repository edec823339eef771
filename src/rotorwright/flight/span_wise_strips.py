"""Strips along every rotor and plain surface, with the horseshoe vortices that hang on them.

The circulation of a rotor is prescribed: the lift the rotor room gives, spread along the span by an end-loss shape of
mean one, so that a rotor alone in a uniform stream carries exactly that lift. The shape is the room's own law of the
lift that ends allow, read locally: the plateau falls as a half ellipse towards an open end, towards the edge of an
extended span where a disc closes it. What is left at the disc turns up and down along it. A surface's circulation is
solved for.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.records import WING
from rotorwright.flight.span_wise_vortex import IMAGE, REAL, TWIN, Floats, Ints, Vortices
from rotorwright.physics.airframe.surface import LIFT_SLOPE_SHARE
from rotorwright.physics.rotor.span import aspect_ratio, effective_aspect_ratio

STRIPS = 12
"""Strips along a rotor or a whole surface."""
DISC_PIECES = 4
"""Pieces of vortex along a disc, up and down each."""
SHORTEST_FALL = 0.5
"""Diameters from an open end within which lift per span falls at least: no shorter than the radius (choice)."""
MOST_OF_PLATEAU = 0.999
ROTOR_CORE, SURFACE_CORE = 0.25, 0.03  # core over diameter (its wake is that thick), over chord (choice)
TOUCHING = 1.0e-6  # of half a span: a gap this narrow needs nothing to carry the circulation across
FAR = 1.0e3  # spans of circulation carried on beyond walls
PLATE_HEIGHT = 0.21  # end plate height over span that the surface room's gain of 1.4 stands for: 0.4/1.9
Records = npt.NDArray[Any]


class Strips(NamedTuple):
    """Strips, one row each: rotors first, then surfaces."""

    element: Ints  # rotors count from 0, surfaces follow
    row: Ints  # row of the rotor or surface
    is_rotor: npt.NDArray[np.bool_]
    line: Ints
    middle: Floats  # body axes from the nose point [m], shape (strips, 3)
    along: Floats  # the strip from left to right end [m], shape (strips, 3)
    width: Floats  # [m]
    chord: Floats  # or diameter [m]
    shape: Floats  # rotors: lift per span over its mean
    slope: Floats  # surfaces: circulation per speed across, ½ c a [m]


class Layout(NamedTuple):
    """Strips with their vortices."""

    strips: Strips
    vortices: Vortices
    rotors: int


@lru_cache(maxsize=64)
def stations(count: int, closed_start: bool, closed_end: bool) -> tuple[Floats, Floats]:
    """Return edges and middles of strips over 0…1, crowded towards open ends."""
    steps, halves = np.arange(count + 1) / count, (np.arange(count) + 0.5) / count
    if closed_start and closed_end:
        return steps, halves
    if closed_start:
        return np.sin(0.5 * math.pi * steps), np.sin(0.5 * math.pi * halves)
    if closed_end:
        return 1.0 - np.cos(0.5 * math.pi * steps), 1.0 - np.cos(0.5 * math.pi * halves)
    return 0.5 - 0.5 * np.cos(math.pi * steps), 0.5 - 0.5 * np.cos(math.pi * halves)


def end_loss_shape(across: Floats, lift_share: float, reach: float, fall: float) -> tuple[Floats, float]:
    """Return lift per span over its mean at places across a rotor, and at its end.

    Parameters
    ----------
    across : array
        Distance from the middle (from the sealed end) over half span (over span) [1].
    lift_share : float
        Lift over the plateau that the ends allow [1].
    reach : float
        Extended over true span, ≥ 1; 1 without discs.
    fall : float
        Least length of the fall towards an end, in the measure of ``across``.

    Notes
    -----
    The rotor room's smooth minimum of section lift and plateau; the local plateau P c sqrt(1 − (y/reach)²) has the mean
    P. A choice: no measurement of lift along a spinning rotor was found.
    """
    share = min(abs(lift_share), MOST_OF_PLATEAU)
    inside = 1.0 / reach
    mean = 0.5 * (math.sqrt(max(1.0 - inside * inside, 0.0)) + reach * math.asin(inside))
    shortest = math.sqrt(1.0 - (max(1.0 - fall, 0.0) * inside) ** 2) / mean
    section = max(share / (1.0 - share**4) ** 0.25, shortest)
    places = np.append(across, 1.0)
    limit = np.sqrt(np.maximum(1.0 - (places * inside) ** 2, 0.0)) / mean
    square = (limit / section) ** 2
    shape = limit / (1.0 + square * square) ** 0.25
    return shape[:-1], float(shape[-1])


class _Builder:
    """Collects strips and vortices element by element."""

    def __init__(self) -> None:
        self.strips: list[tuple[Any, ...]] = []
        self.strip_numbers: list[tuple[Any, ...]] = []
        self.strip_counts: list[int] = []
        self.vortices: list[tuple[Floats, ...]] = []
        self.vortex_numbers: list[tuple[float, ...]] = []
        self.count = 0
        self.lines: dict[tuple[int, ...], int] = {}

    def line(self, *place: float) -> int:
        """Return the number of a straight line; halves on both sides of the middle plane share it."""
        return self.lines.setdefault(tuple(round(float(number) * 1.0e6) for number in place), len(self.lines))

    def add(
        self, element: int, row: int, is_rotor: bool, line: int, ends: Floats, middle: Floats, chord: float,
        core: float, shape: Floats, slope: float,
    ) -> int:  # fmt: skip
        """Add the strips of an element between ``ends`` (strips + 1, 3); return the number of its first strip."""
        first, count = self.count, len(middle)
        along = ends[1:] - ends[:-1]
        number = np.arange(first, first + count)
        self.strips.append((middle, along, shape))
        self.strip_numbers.append((element, row, is_rotor, line, chord, slope))
        self.strip_counts.append(count)
        self.hang(ends[:-1], ends[1:], middle, number, np.ones(count), core, element, line)
        self.count += count
        return first

    def hang(
        self, start: Floats, end: Floats, middle: Floats, parent: Any, coefficient: Floats, core: float, element: int,
        line: int, kind: int = REAL,
    ) -> None:  # fmt: skip
        """Add vortices on strips that are there already or being added."""
        self.vortices.append((start, end, middle, parent, coefficient))
        self.vortex_numbers.append((core, element, line, kind))

    def hang_one(
        self, start: Floats, end: Floats, middle: Floats, parent: int, core: float, element: int, line: int
    ) -> None:
        """Add one vortex that carries on the circulation of a strip."""
        self.hang(start[None], end[None], middle[None], np.array([parent]), np.ones(1), core, element, line)

    def edge(
        self, at: Floats, up: Floats, outward: int, parent: int, strength: float, core: float, element: int, line: int
    ) -> None:
        """Lead what circulation is left at an end along a disc or plate, half to each side, falling to nothing."""
        edges, middles = stations(DISC_PIECES, True, False)
        both = np.array([1.0, -1.0])[:, None, None]
        rays = both * edges[:, None] * up
        inner, outer = (at + rays[:, :-1]).reshape(-1, 3), (at + rays[:, 1:]).reshape(-1, 3)
        spots = (at + both * middles[:, None] * up).reshape(-1, 3)
        fall = np.tile(0.5 * strength * np.sqrt(1.0 - middles), 2)
        start, end = (inner, outer) if outward > 0 else (outer, inner)
        self.hang(start, end, spots, np.full(len(fall), parent), fall, core, element, line)

    def layout(self, rotors: int) -> Layout:
        """Return everything as arrays."""
        whole = np.int64
        if not self.strips:
            raise InputError("has neither rotor nor surface, so there is nothing that lifts", place="aeroplane")
        middle, along, shape = (np.concatenate(part) for part in zip(*self.strips, strict=True))
        numbers = np.repeat(np.array(self.strip_numbers, dtype=np.float64), self.strip_counts, axis=0).T
        element, row, is_rotor, line, chord, slope = (np.ascontiguousarray(part) for part in numbers)
        strips = Strips(
            element.astype(whole), row.astype(whole), is_rotor > 0.0, line.astype(whole), middle, along,
            np.sqrt(np.einsum("ij,ij->i", along, along)), chord, shape, slope,
        )  # fmt: skip
        start, end, felt, parent, coefficient = (np.concatenate(part) for part in zip(*self.vortices, strict=True))
        counts = [len(part[0]) for part in self.vortices]
        numbers = np.repeat(np.array(self.vortex_numbers, dtype=np.float64), counts, axis=0).T
        core, owner, on, kind = (np.ascontiguousarray(part) for part in numbers)
        vortices = Vortices(
            start, end, felt, parent.astype(whole), coefficient, core, owner.astype(whole), on.astype(whole),
            kind.astype(whole),
        )  # fmt: skip
        return Layout(strips, vortices, rotors)


def _add_rotor(build: _Builder, i: int, rotor: Any, factors: Any, lift_share: float, count: int) -> None:
    half = 0.5 * float(rotor["span"])
    sealed = float(rotor["inner_end"])
    outward = 1 if rotor["y"] >= 0.0 else -1
    at = np.array([rotor["x"], rotor["y"], rotor["z"]])
    span = np.array([0.0, half, 0.0])
    reach = 1.0
    discs = int(rotor["end_discs"]) if rotor["disc_diameter"] > rotor["diameter"] else 0
    if discs:
        gain = effective_aspect_ratio(rotor, factors) / aspect_ratio(rotor)
        reach = math.sqrt(max(gain, 1.0))
    closed = (sealed >= 2.0 or (sealed == 1.0 and outward > 0), sealed >= 2.0 or (sealed == 1.0 and outward < 0))
    edges, middles = stations(count, *closed)
    places, spots = 2.0 * edges - 1.0, 2.0 * middles - 1.0
    fall = 2.0 * SHORTEST_FALL * float(rotor["diameter"] / rotor["span"])
    if sealed >= 2.0:
        shape, last = np.ones(count), 1.0
    elif sealed == 1.0:
        shape, last = end_loss_shape(0.5 * (1.0 + outward * spots), lift_share, reach, 0.5 * fall)
    else:
        shape, last = end_loss_shape(np.abs(spots), lift_share, reach, fall)
    mean = float((shape * np.diff(edges)).sum())
    shape, at_end = shape / mean, last / mean
    core = ROTOR_CORE * float(rotor["diameter"])
    line = build.line(0, rotor["x"], abs(rotor["y"]), rotor["z"], rotor["span"], rotor["diameter"])
    diameter = float(rotor["diameter"])
    first = build.add(
        i, i, True, line, at + np.outer(places, span), at + np.outer(spots, span), diameter, core, shape, 0.0
    )
    begun = len(build.vortices) - 1
    ends = ((-1, first), (1, first + count - 1))
    for side, strip in ends:
        open_end = sealed == 0.0 or (sealed == 1.0 and side == outward)
        if open_end and (discs >= 2 or (discs == 1 and side == outward)):
            up = np.array([0.0, 0.0, -0.5 * float(rotor["disc_diameter"])])
            carried = at_end / float(shape[strip - first])
            build.edge(at + side * span, up, side, strip, carried, core, i, line)
    if sealed == 1.0:
        inner = at - outward * span
        middle_plane = np.array([at[0], 0.0, at[2]])
        start, end = (middle_plane, inner) if outward > 0 else (inner, middle_plane)
        strip = first if outward > 0 else first + count - 1
        if abs(float(inner[1])) > TOUCHING * half:
            build.hang_one(start, end, 0.5 * (start + end), strip, core, i, line)
        mirror = np.array([1.0, -1.0, 1.0])
        there = list(zip(build.vortices[begun:], build.vortex_numbers[begun:], strict=True))
        for (left, right, spots, parent, coefficient), numbers in there:
            build.vortices.append((right * mirror, left * mirror, spots * mirror, parent, coefficient))
            build.vortex_numbers.append((*numbers[:3], float(TWIN)))
    elif sealed >= 2.0:
        far = np.array([0.0, FAR * half, 0.0])
        outside = 0.5 * (far + span)  # no downwash is felt out there
        build.hang_one(at - far, at - span, at - outside, first, core, i, line)
        build.hang_one(at + span, at + far, at + outside, first + count - 1, core, i, line)


def _add_surface(build: _Builder, element: int, i: int, surface: Any, factors: Any, count: int) -> None:
    if not surface["area"] > 0.0:
        return
    span = float(surface["area"] / surface["chord"])
    halved = float(surface["span"]) > 1.2 * span
    outward = 1 if surface["y"] >= 0.0 else -1
    direction = np.array([0.0, math.cos(surface["tilt"]), math.sin(surface["tilt"])])
    at = np.array([surface["x"], surface["y"], surface["z"]])
    edges, middles = stations(max(count // 2, 1) if halved else count, halved and outward > 0, halved and outward < 0)
    ends = at + np.outer(edges - 0.5, span * direction)
    chord = float(surface["chord"])
    weight = float(factors["tail_effectiveness"]) if surface["kind"] != WING else 1.0
    slope = 0.5 * chord * 2.0 * math.pi * LIFT_SLOPE_SHARE * weight
    core = SURFACE_CORE * chord
    line = build.line(1, surface["x"], abs(surface["y"]), surface["z"], span, chord)
    spots = at + np.outer(middles - 0.5, span * direction)
    first = build.add(element, i, False, line, ends, spots, chord, core, np.ones(len(middles)), slope)
    if surface["end_plates"] == 1.0:
        whole = 2.0 * span if halved else span
        up = 0.5 * PLATE_HEIGHT * whole * np.array([0.0, direction[2], -direction[1]])
        for side, strip in ((-1, first), (1, first + len(middles) - 1)):
            if not halved or side == outward:
                build.edge(at + side * 0.5 * span * direction, up, side, strip, 1.0, core, element, line)


def lay_out(rotors: Records, surfaces: Records, factors: Any, lift_shares: Any, count: int = STRIPS) -> Layout:
    """Return the strips of an aeroplane.

    Parameters
    ----------
    rotors, surfaces : arrays of ROTOR and SURFACE records
    factors : FACTORS record
    lift_shares : sequence of float
        Lift of each rotor over the plateau its ends allow [1].
    count : int
        Strips along a rotor or a whole surface.
    """
    build = _Builder()
    for i, rotor in enumerate(rotors):
        _add_rotor(build, i, rotor, factors, float(lift_shares[i]), count)
    for i, surface in enumerate(surfaces):
        _add_surface(build, len(rotors) + i, i, surface, factors, count)
    return build.layout(len(rotors))


def with_ground(vortices: Vortices, down: Floats, below: Floats) -> Vortices:
    """Return vortices with their images in the ground.

    Parameters
    ----------
    vortices : Vortices
    down : array, shape (3,)
        Unit vector towards the ground, square to the stream.
    below : array, shape (3,)
        A point of the ground [m].
    """

    def reflected(points: Floats) -> Floats:
        return points + np.outer(2.0 * ((below - points) @ down), down)

    real = vortices.kind == REAL
    images = Vortices(*(part[real] for part in vortices))
    count = len(images.parent)
    images = images._replace(
        start=reflected(images.start), end=reflected(images.end), middle=reflected(images.middle),
        coefficient=-images.coefficient, element=np.full(count, IMAGE, dtype=np.int64),
        line=np.full(count, IMAGE, dtype=np.int64),
    )  # fmt: skip
    return Vortices(*(np.concatenate(pair) for pair in zip(vortices, images, strict=True)))
