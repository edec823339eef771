"""One rotor of an aeroplane as a shaft on its bearings: the nominal case and the samples of the Unknowns at once."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.catalogue.reader import MaterialRow, rule
from rotorwright.design.fill import FilledRows
from rotorwright.design.filled_in import Notes, known
from rotorwright.design.mirrors import twin_name
from rotorwright.design.parts.rotor import Rotor
from rotorwright.physics.mass.properties import mass_factor
from rotorwright.physics.structure.elements import BeamElements, element_matrices
from rotorwright.physics.structure.sections import (
    SecondMoments,
    bucket_second_moments,
    drum_second_moments,
    plate_second_moments,
    shear_form_factor,
    tube_second_moment,
    turned,
)
from rotorwright.physics.structure.shaft import Bonds, ShaftModel, add_disc, assembled, beam_matrices, on_bearings
from rotorwright.physics.structure.unequal import UnequalShaft, unequal_shaft

Floats = npt.NDArray[np.float64]

PIECES = 20
"""Elements along a rotor at least; ends, bearings, discs and stages always have a node."""
POISSON = 0.3
LEAST_SHARE = 0.02
"""Share of the skin's stiffness below which a shell on a dead axle would fall in [1]."""


@dataclass(frozen=True)
class RotorShaft:
    """One rotor as a shaft, first case nominal; a mirrored twin is the same seen in a mirror."""

    name: str
    """Of its table in the file."""
    rotors: tuple[str, ...]
    """Rows that are alike: itself, and its mirrored twin."""
    model: ShaftModel
    shaft_stiffness: Floats
    """Without bearings, shape (cases, 2 nodes, 2 nodes)."""
    unequal: UnequalShaft | None
    """For two-vaned rotors."""
    node_mass: Floats
    """Turning mass at every node, shape (cases, nodes) [kg]."""
    body: npt.NDArray[np.bool_]
    """Nodes of the turning body between its end faces, where lift pulls."""
    damping: Floats
    """Damping ratio, shape (cases,)."""
    vanes: int
    """Vanes that pass one after the other, stages counted; 0 for a drum."""
    weakest_mount: float
    """Nominal stiffness of one mount [N/m]."""
    notes: tuple[str, ...]

    @property
    def mass(self) -> Floats:
        """Return the turning mass of each case [kg]."""
        return np.asarray(self.node_mass.sum(axis=1))


def mount_exponent(aeroplane: Aeroplane, name: str) -> float:
    """Return how much of the mount's uncertainty applies: 2 nothing told, 1 a word told, 0.2 measured."""
    guessed = {entry.field for entry in aeroplane.filled_in}
    if f"rotor.{name}.shaft.mount_stiffness" not in guessed:
        return 0.2
    return 2.0 if f"rotor.{name}.shaft.mount" in guessed else 1.0


def rotor_shaft(
    aeroplane: Aeroplane, rows: FilledRows, name: str, factors: npt.NDArray[Any], masses: bool = True
) -> RotorShaft:
    """Return one rotor of an aeroplane as a shaft on its bearings.

    Parameters
    ----------
    aeroplane : Aeroplane
        Completed.
    rows : FilledRows
        Its rows, for the masses.
    name : str
        Table name of the rotor.
    factors : array of FACTORS records, shape (cases,)
        Nominal first.
    masses : bool
        False leaves the masses at their medians (for quick comparisons).

    Raises
    ------
    InputError
        If one bearing alone holds a turning shaft.
    """
    rotor = aeroplane.tables.rotor[name]
    notes: list[str] = []
    table = Notes(aeroplane.tables.material)
    layout = _Layout.of(rotor, name)
    tube, skin = table.material(str(rotor.shaft.material)), _skin(rotor, table, notes)
    weights = _Weights.of(rows, name, factors, masses)
    share = np.minimum(factors["skin_bending_share"], 1.0) if skin is not None else np.zeros(len(factors))
    stages = _sections(rotor)
    stiff = skin.stiffness or 0.0 if skin is not None else 0.0
    parts = _Beams(layout, rotor, tube, stiff, share, factors["tube_stiffness"], stages, weights)
    stiffness, mass, gyroscopic = parts.matrices()
    shaft = stiffness.copy()
    mount = _mounts(rotor, factors, mount_exponent(aeroplane, name))
    bonds = layout.bonds(mount)
    model = on_bearings(layout.places, stiffness, mass, gyroscopic, bonds)
    unequal = None
    if parts.unequal:
        difference, product = parts.differences()
        unequal = unequal_shaft(model, difference, product)
    two = rotor.kind == "vaned" and (rotor.section != "bucket" or rotor.buckets == 2)
    vanes = 0 if rotor.kind == "drum" else 2 if two else rotor.buckets
    if vanes and rotor.stages > 1 and math.sin(vanes * (rotor.stage_phase or 0.0) / 2.0) ** 2 > 1e-6:
        vanes *= rotor.stages
    twin = (twin_name(name),) if rotor.mirror else ()
    return RotorShaft(
        name, (name, *twin), model, shaft, unequal, _node_mass(mass), layout.in_body, factors["rotor_damping"],
        vanes, known(rotor.shaft.mount_stiffness), tuple(notes),
    )  # fmt: skip


def _skin(rotor: Rotor, table: Notes, notes: list[str]) -> MaterialRow | None:
    if rotor.skin.material is None:
        notes.append("the material of skin or vanes is not told, so they add mass but no stiffness")
        return None
    row = table.material(rotor.skin.material)
    if row.stiffness is None:
        notes.append(f"{row.name} has no stiffness in the tables, so skin or vanes add mass but no stiffness")
        return None
    return row


def _sections(rotor: Rotor) -> list[SecondMoments]:
    """Return the section of every stage, turned as it stands."""
    thickness = known(rotor.skin.thickness)
    if rotor.kind == "drum":
        one = drum_second_moments(rotor.diameter, thickness)
    elif rotor.section == "plate":
        one = plate_second_moments(rotor.diameter, thickness)
    else:
        buckets = rotor.buckets if rotor.section == "bucket" else 2
        overlap = rotor.overlap if rotor.section == "bucket" else 0.0
        one = bucket_second_moments(rotor.diameter, buckets, overlap, thickness)
    return [turned(one, number * (rotor.stage_phase or 0.0)) for number in range(rotor.stages)]


def _mounts(rotor: Rotor, factors: npt.NDArray[Any], exponent: float) -> tuple[Floats, Floats]:
    """Return stiffness of mount and ball bearing in a row, fore and aft, and up and down, shape (cases,)."""
    scatter = factors["mount_stiffness"] ** exponent
    ball = rule("mount", "ball_bearing").value
    told = (known(rotor.shaft.mount_stiffness_fore), known(rotor.shaft.mount_stiffness))
    fore, up = (1.0 / (1.0 / (each * scatter) + 1.0 / ball) for each in told)
    return fore, up


@dataclass(frozen=True)
class _Layout:
    """Where the nodes sit: first those of the tube; those of a shell on a dead axle follow."""

    tube: Floats
    shell: Floats
    span: float
    bearings: tuple[float, ...]
    turns: bool

    @classmethod
    def of(cls, rotor: Rotor, name: str) -> _Layout:
        half, face = 0.5 * known(rotor.shaft.length), 0.5 * rotor.span
        places = rotor.shaft.bearing_positions or ()
        if rotor.shaft.turns and len(places) < 2:
            raise InputError(
                "one bearing alone does not hold a turning shaft",
                field=f"rotor.{name}.shaft.bearing_count", found=str(len(places)), allowed="2 or more",
            )  # fmt: skip
        half = max(half, *(abs(place) for place in places))
        inside = [
            -face,
            face,
            *_disc_places(rotor),
            *(face * (2.0 * k / rotor.stages - 1.0) for k in range(rotor.stages)),
        ]
        if not rotor.shaft.turns:
            places = tuple(min(max(place, -face), face) for place in places)
            shell = _divided([*inside, *places], rotor.span / PIECES)
            tube = _divided([-half, half, *places], rotor.span / PIECES)
            return cls(tube, shell, rotor.span, places, False)
        ends = [-half, half] if half > face else []
        return cls(_divided([*inside, *ends, *places], rotor.span / PIECES), np.zeros(0), rotor.span, places, True)

    @property
    def places(self) -> Floats:
        return np.concatenate([self.tube, self.shell])

    @property
    def in_body(self) -> npt.NDArray[np.bool_]:
        if not self.turns:
            return np.arange(len(self.places)) >= len(self.tube)
        return np.abs(self.places) <= 0.5 * self.span + 1e-9

    def node(self, place: float) -> int:
        """Return the node of the turning body nearest to a place."""
        if self.turns:
            return int(np.argmin(np.abs(self.tube - place)))
        return len(self.tube) + int(np.argmin(np.abs(self.shell - place)))

    def bonds(self, mount: tuple[Floats, Floats]) -> Bonds:
        fore, up = (each[:, None] for each in mount)
        count = len(self.bearings)
        none = np.zeros((len(fore), count))
        if self.turns:
            nodes = np.array([self.node(place) for place in self.bearings])
            return Bonds(nodes, np.full(count, -1), fore + none, up + none, none, none, none)
        axle = [int(np.argmin(np.abs(self.tube - place))) for place in self.bearings]
        ball = rule("mount", "ball_bearing").value
        node = np.array([self.node(place) for place in self.bearings] + [0, len(self.tube) - 1])
        other = np.array([*axle, -1, -1])
        inner, wide = np.full((len(fore), count), ball), np.zeros((len(fore), count + 2))
        two = np.zeros((len(fore), 2))
        return Bonds(
            node, other, np.concatenate([inner, fore + two], axis=1), np.concatenate([inner, up + two], axis=1),
            wide, wide, wide,
        )  # fmt: skip


def _disc_places(rotor: Rotor) -> list[float]:
    if rotor.discs is None:
        return []
    count = rotor.discs.count
    if count == 1:
        return [0.5 * rotor.span]
    return [rotor.span * (number / (count - 1) - 0.5) for number in range(count)]


def _divided(places: list[float], longest: float) -> Floats:
    edges = np.unique(np.round(places, 9))
    gaps = np.diff(edges)
    edges = np.concatenate([edges[:1], edges[1:][gaps > 1e-6]])
    found = [float(edges[0])]
    for start, end in itertools.pairwise(edges):
        pieces = max(1, math.ceil((end - start) / longest - 1e-6))
        found += [float(start + (end - start) * (number + 1) / pieces) for number in range(pieces)]
    return np.array(found)


@dataclass(frozen=True)
class _Weights:
    """Mass and inertia of a rotor's parts, shape (cases,) each; a missing part is zero."""

    skin: tuple[Floats, Floats]
    """Mass and polar inertia."""
    tube: Floats
    discs: tuple[tuple[Floats, Floats, Floats], ...]
    """Mass, diametral and polar inertia of each turning disc."""

    @classmethod
    def of(cls, rows: FilledRows, name: str, factors: npt.NDArray[Any], masses: bool) -> _Weights:
        found: dict[str, tuple[Any, Floats]] = {}
        for label, row in zip(rows.names.masses, rows.masses, strict=True):
            head, _, part = label.rpartition(f"{name} ")
            if not head and part and label.startswith(f"{name} "):
                each_case = [float(mass_factor(row, each)) if masses else 1.0 for each in factors]
                found[part] = (row, np.array(each_case))
        nothing = np.zeros(len(factors))
        skin = (nothing, nothing)
        if "skin" in found:
            row, scale = found["skin"]
            skin = (row["mass"] * scale, row["iyy"] * scale)
        tube = found["shaft"][0]["mass"] * found["shaft"][1] if "shaft" in found else nothing
        discs = tuple(
            (row["mass"] * scale, row["ixx"] * scale, row["iyy"] * scale)
            for part, (row, scale) in found.items()
            if part.startswith("disc ") and row["rotor"] >= 0
        )
        return cls(skin, tube, discs)


@dataclass(frozen=True)
class _Beams:
    """Turns layout, sections and weights into matrices."""

    layout: _Layout
    rotor: Rotor
    tube: MaterialRow
    skin_stiffness: float
    share: Floats
    tube_scatter: Floats
    stages: list[SecondMoments]
    weights: _Weights

    @property
    def unequal(self) -> bool:
        one = self.stages[0]
        half = math.hypot(0.5 * (one.first - one.second), one.product)
        return self.skin_stiffness > 0.0 and half > 1e-6 * (one.first + one.second) and self.layout.turns

    def _runs(self) -> list[tuple[Floats, int]]:
        """Return node places of each beam and where its nodes start: the tube, and the shell of a dead axle."""
        tube = (self.layout.tube, 0)
        return [tube] if self.layout.turns else [tube, (self.layout.shell, len(self.layout.tube))]

    def _stage(self, places: Floats) -> npt.NDArray[np.int64]:
        """Return the stage every element lies in, −1 outside the body."""
        middle = 0.5 * (places[1:] + places[:-1])
        along = (middle / self.layout.span + 0.5) * len(self.stages)
        found = np.floor(along).astype(np.int64)
        return np.where((along > 0.0) & (along < len(self.stages)), found, -1)

    def matrices(self) -> tuple[Floats, Floats, Floats]:
        nodes, cases = len(self.layout.places), len(self.share)
        whole = tuple(np.zeros((cases, 2 * nodes, 2 * nodes)) for _ in range(3))
        for number, (places, start) in enumerate(self._runs()):
            beam = self._beam(places, number)
            ends = [(start + k, start + k + 1) for k in range(len(places) - 1)]
            for total, part in zip(whole, beam_matrices(beam, ends, nodes), strict=True):
                total += part
        stiffness, mass, gyroscopic = whole
        for place, (weight, diametral, polar) in zip(_disc_places(self.rotor), self.weights.discs, strict=False):
            add_disc(mass, gyroscopic, self.layout.node(place), weight, diametral, polar)
        return stiffness, mass, gyroscopic

    def _beam(self, places: Floats, number: int) -> BeamElements:
        """Return the elements of the tube with its skin, or of tube and shell singly on a dead axle."""
        sizes = self.rotor.shaft.tube
        assert sizes is not None
        length = np.diff(places)
        inside = (self._stage(places) >= 0).astype(np.float64)
        moment, area = tube_second_moment(sizes.outer, sizes.inner), math.pi / 4.0 * (sizes.outer**2 - sizes.inner**2)
        modulus = self.tube.stiffness or 0.0
        shear = self.tube.shear_stiffness or modulus / (2.0 * (1.0 + POISSON))
        form = shear_form_factor(sizes.outer, sizes.inner, POISSON)
        with_tube, with_skin = (1.0, 1.0) if self.layout.turns else ((1.0, 0.0) if number == 0 else (0.0, 1.0))
        turns = 1.0 if self.layout.turns else 0.0
        share = np.maximum(self.share, LEAST_SHARE if not self.layout.turns else 0.0)[:, None] * self.skin_stiffness
        mean = np.mean([0.5 * (each.first + each.second) for each in self.stages])
        tube_bends = (modulus * moment * self.tube_scatter)[:, None] * with_tube
        bending = tube_bends + share * mean * inside * with_skin
        shearing = with_tube * form * shear * area * self.tube_scatter[:, None]
        shearing = shearing + with_skin * 0.5 * share / (2.0 * (1.0 + POISSON)) * self.stages[0].area * inside
        span, whole = self.layout.span, float(self.layout.tube[-1] - self.layout.tube[0])
        tube_mass = (self.weights.tube / whole)[:, None] * with_tube
        slice_inertia = tube_mass * moment / area
        skin_mass, skin_polar = ((each / span)[:, None] * inside * with_skin for each in self.weights.skin)
        mass = tube_mass + skin_mass
        diametral = slice_inertia + 0.5 * skin_polar
        polar = 2.0 * slice_inertia * turns + skin_polar
        shape = np.broadcast_shapes(bending.shape, (len(length),))
        return BeamElements(
            np.broadcast_to(length, shape), np.broadcast_to(np.maximum(bending, 1e-9), shape),
            np.broadcast_to(np.maximum(shearing, 1e-6), shape),
            *(np.broadcast_to(each, shape) for each in (mass, diametral, polar)),
        )  # fmt: skip

    def differences(self) -> tuple[Floats, Floats]:
        """Return half the difference of the two bending directions, and their coupling, as stiffness matrices.

        Each element's stiffness times the share of its bending stiffness that differs: shear softens both alike.
        """
        places, start = self._runs()[-1]
        stage, nodes = self._stage(places), len(self.layout.places)
        beam = self._beam(places, 0)
        blocks = element_matrices(beam).stiffness
        ends = [(start + k, start + k + 1) for k in range(len(places) - 1)]
        found = []
        for moments in (
            [0.5 * (each.first - each.second) for each in self.stages],
            [each.product for each in self.stages],
        ):
            values = np.where(stage >= 0, np.array(moments)[np.maximum(stage, 0)], 0.0)
            part = self.share[:, None] * self.skin_stiffness * values / beam.bending_stiffness
            found.append(assembled(part[..., None, None] * blocks, ends, nodes))
        return found[0], found[1]


def _node_mass(mass: Floats) -> Floats:
    """Return the mass that moves with every node when the whole rotor moves: row sums over deflections."""
    return np.asarray(mass[..., 0::2, 0::2].sum(axis=-1))
