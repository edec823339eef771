"""One rotor alone, as on a rig or in a tunnel: the bench call of the rotor room."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.constants import GRAVITY, SEA_LEVEL_DENSITY, SEA_LEVEL_VISCOSITY
from rotorwright.base.errors import InputError, InputProblems
from rotorwright.base.jit import jit
from rotorwright.base.quantity import SUPPORT_WORDS, Quantity, exact, from_samples
from rotorwright.base.status import NOT_APPLICABLE, NOT_CONVERGED, OUT_OF_LIMITS
from rotorwright.base.unknown import nominal_factors, sampled_factors, unknowns
from rotorwright.physics.rotor.bearings import bearing_friction
from rotorwright.physics.rotor.freewheel import freewheel_speed
from rotorwright.physics.rotor.loads import rotor_load_parts
from rotorwright.physics.rotor.support import rotor_support, vaned_force_support
from rotorwright.physics.rotor.tables import RotorTables, rotor_tables
from rotorwright.studies.bench_rotor_input import check_bench, rotor_row, stage_phase
from rotorwright.studies.rotor_rig_fit import OWN_RIG, RotorFit, fit_rotor, fitted_factors
from rotorwright.studies.sampling import normal_scores

DRUM_SOURCES = ("swanson1961", "reid1924", "tokumaru1993", "badalamenti2008", "prandtl1925", "bordogna2019")
DRUM_END_SOURCES = ("prandtl1926", "badalamenti2010")
DRUM_DRAG_SOURCES = ("badalamenti2008", "karabelas2010", "bordogna2019", "ostman2023")
DRUM_TORQUE_SOURCES = ("theodorsen1944", "bordogna2019")
DISC_SOURCES = ("bird1960",)
PLATE_FORCE_SOURCES = ("smith1970", "pomerenk2024")
PLATE_TORQUE_SOURCES = ("aqeel2025", "iversen1979")
VANE_FORCE_SOURCES = ("sheldahl1978", "common-practice")
VANE_TORQUE_SOURCES = ("sheldahl1978", "kamoji2008")
GEOMETRY = ("mechanics",)
"""Works behind each quantity, by citation key (base/citations.toml)."""

FORCED_FAMILY = 60.0
"""A family shift of this many spreads forces one lift family at every Reynolds number."""

BREAST_HEIGHT = 1.5
"""Height from which a loose piece is taken to leave [m]: a rotor on a stand or in the hand."""

LIFT, PROFILE_DRAG, END_DRAG, DISC_DRAG, BODY_TORQUE, DISC_TORQUE, SPEED, FRICTION, STATUS = range(9)


@dataclass(frozen=True)
class RotorAlone:
    """What one rotor alone does, as mean values over a turn; every quantity with its 80 % band.

    ``torque`` is aerodynamic, positive when it helps the spin; ``power`` is what a drive must supply, bearings
    included. Coefficients refer to q, span · diameter and, for torque, the radius; in still air they are None.
    """

    lift_coefficient: Quantity
    drag_coefficient: Quantity
    torque_coefficient: Quantity
    lift: Quantity
    drag: Quantity
    torque: Quantity
    power: Quantity
    spin_ratio: Quantity
    rotor_speed: Quantity
    reynolds_number: Quantity
    profile_drag: Quantity
    end_drag: Quantity
    disc_drag: Quantity
    disc_torque: Quantity
    rim_speed: Quantity
    throw_distance: Quantity
    stored_energy: Quantity | None
    notes: tuple[str, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data: quantities by name, and notes."""
        quantities = {}
        for part in fields(self):
            value = getattr(self, part.name)
            if isinstance(value, Quantity):
                quantities[part.name] = value.as_dict()
        return {"quantities": quantities, "notes": list(self.notes)}


@jit
def _bench_batch(
    rotor: Any,
    tables: RotorTables,
    airspeed: float,
    rotor_speed: float,
    free: float,
    air_density: float,
    air_viscosity: float,
    factors: Any,
    out: Any,
) -> None:
    for case in range(out.shape[0]):
        speed = rotor_speed
        status = 0
        if free == 1.0:
            speed, status = freewheel_speed(rotor, tables, airspeed, air_density, air_viscosity, factors[case])
        parts = rotor_load_parts(rotor, tables, airspeed, speed, air_density, air_viscosity, factors[case])
        for place in range(6):
            out[case, place] = parts[place]
        out[case, SPEED] = speed
        out[case, FRICTION] = bearing_friction(rotor, speed, factors[case])
        out[case, STATUS] = status


@lru_cache(maxsize=8)
def _factors(samples: int, seed: int) -> npt.NDArray[Any]:
    return sampled_factors(normal_scores(samples, len(unknowns()), seed))


def bench_factors(stated: dict[str, Any]) -> npt.NDArray[Any]:
    """Return factor rows, the nominal one first, with what the caller states held fixed.

    Parameters
    ----------
    stated : dict
        Checked arguments of `rotor_alone`: samples, seed, branch, skin_friction_factor and ``fit`` (a `RotorFit`).
    """
    samples, seed, fit = int(stated["samples"]), int(stated["seed"]), stated["fit"]
    if fit is None:
        factors = np.concatenate([nominal_factors(1), _factors(samples, seed)])
    else:
        factors = fitted_factors(fit, samples, seed)
    factors["bearing_friction"] = 1.0  # the bench states its friction
    if stated["branch"] is not None:
        factors["drum_lift_family"] = FORCED_FAMILY if stated["branch"] == "turbulent" else -FORCED_FAMILY
    if stated["skin_friction_factor"] is not None:
        factors["skin_friction"] = stated["skin_friction_factor"]
    return factors


def with_fit(stated: dict[str, Any]) -> dict[str, Any]:
    """Return checked arguments with readings, if ``fit`` holds such, turned into a `RotorFit`."""
    fit = stated["fit"]
    if fit is None or isinstance(fit, RotorFit):
        return stated
    if isinstance(fit, str) or not isinstance(fit, Sequence):
        raise InputError("is not a list of readings", place="rotor_alone", field="fit", found=type(fit).__name__)
    density, viscosity = float(stated["air_density"]), float(stated["air_viscosity"])
    return {**stated, "fit": fit_rotor(rotor_row(stated), fit, air_density=density, air_viscosity=viscosity)}


def rotor_fit(question: Mapping[str, Any], readings: Sequence[Any], place: str = "fit") -> RotorFit:
    """Return what own rig data say about the Unknowns of a rotor.

    Parameters
    ----------
    question : mapping
        The rotor, its airspeed, spin and air, as arguments of `rotor_alone`.
    readings : sequence of RigRow or mapping
        See `rotor_rig_fit.fit_rotor`.
    place : str
        Where the readings come from, for messages.

    Raises
    ------
    InputProblems
        If the rotor or a reading cannot be used.
    """
    stated = {**(rotor_alone.__kwdefaults__ or {}), **question, "fit": None}
    check_bench(stated)
    try:
        fit = with_fit({**stated, "fit": readings})["fit"]
    except InputProblems as trouble:
        raise InputProblems([replace(each, place=each.place or place) for each in trouble.problems]) from None
    assert isinstance(fit, RotorFit)
    return fit


def rotor_alone(
    *,
    kind: str,
    diameter: float,
    span: float,
    disc_diameter: float | None = None,
    discs_turn: bool = True,
    section: str = "bucket",
    buckets: int = 2,
    overlap: float = 0.0,
    stages: int = 1,
    stage_phase: float | None = None,
    airspeed: float,
    spin_ratio: float | None = None,
    rotor_speed: float | None = None,
    free: bool = False,
    two_dimensional: bool = False,
    surface: str = "smooth",
    flow: str = "quiet",
    branch: str | None = None,
    skin_friction_factor: float | None = None,
    bearing_torque: float = 0.0,
    air_density: float = SEA_LEVEL_DENSITY,
    air_viscosity: float = SEA_LEVEL_VISCOSITY,
    disc_count: int | None = None,
    disc_thickness: float = 0.0,
    inner_end: str = "open",
    bearing_drag: float = 0.0,
    polar_inertia: float | None = None,
    fit: RotorFit | Sequence[Any] | None = None,
    samples: int = 256,
    seed: int = 0,
) -> RotorAlone:
    """Return what one rotor alone does in a uniform stream across its axis.

    Parameters
    ----------
    kind : str
        "drum" or "vaned".
    diameter, span, disc_diameter : float
        [m]. No disc_diameter: no discs.
    discs_turn : bool
        Whether the end discs turn with a drum.
    section : str
        Of a vaned rotor: "bucket", "s-section" or "plate".
    buckets : int
        2 or 3 (more are answered as 3).
    overlap : float
        Gap by which two buckets overlap [m]; diameter = 2 d_b − overlap.
    stages : int
        Sections phased along the span.
    stage_phase : float, optional
        Between neighbours [rad], spread evenly over one repeat of the section unless told; mean loads do not depend on
        it, start and swing do.
    airspeed : float
        [m/s].
    spin_ratio, rotor_speed, free : float, float, bool
        Exactly one of: surface speed over airspeed [1], rotor speed [rad/s], or freewheeling. Positive spin lifts.
    two_dimensional : bool
        Between walls at both ends.
    surface : str
        "smooth" or "rough".
    flow : str
        The air: of a "quiet" tunnel, "turbulent" (a stream with about 2 % turbulence), or "outdoor".
    branch : str, optional
        "quiet" or "turbulent" forces one lift family of a drum; None blends by Reynolds number.
    skin_friction_factor : float, optional
        Measured skin friction over that of a smooth cylinder; replaces the build factor 1.6 (1.0–2.3).
    bearing_torque : float
        Constant friction of the whole rotor [N m].
    air_density, air_viscosity : float
        [kg/m³], [Pa s].
    disc_count : int, optional
        All discs; 2 unless stated, beyond 2 they stand between the ends.
    disc_thickness : float
        [m].
    inner_end : str
        "open", or "sealed": one end closed by a body wider than 1.5 diameters.
    bearing_drag : float
        Friction that grows with speed [N m s].
    polar_inertia : float, optional
        [kg m²], for the stored energy.
    fit : RotorFit or sequence of mappings, optional
        Own rig data of this rotor, fitted (`fit_rotor`) or as readings: airspeed [m/s] and any of rotor_speed [rad/s],
        lift, drag [N], torque [N m]; they move and narrow the Unknowns behind the answer.
    samples, seed : int
        Of the bands.

    Returns
    -------
    RotorAlone

    Raises
    ------
    InputProblems
        When an argument cannot be used; each problem names field, found and allowed.

    Notes
    -----
    Formulas, ranges and sources: docs/physics/rotor-drums.md, rotor-vanes.md, rotor-freewheel.md.
    """
    stated = dict(locals())
    check_bench(stated)
    stated = with_fit(stated)
    row = rotor_row(stated)
    radius = 0.5 * diameter
    speed = 0.0
    if rotor_speed is not None:
        speed = float(rotor_speed)
    elif spin_ratio is not None:
        speed = spin_ratio * airspeed / radius
    factors = bench_factors(stated)
    out = np.empty((samples + 1, 9))
    _bench_batch(
        row, rotor_tables(), float(airspeed), speed, 1.0 if free else 0.0, float(air_density), float(air_viscosity),
        factors, out,
    )  # fmt: skip
    out += 0.0  # no minus zeros
    return _report(row, out, stated, radius)


def _report(row: Any, out: npt.NDArray[np.float64], stated: dict[str, Any], radius: float) -> RotorAlone:
    airspeed, density = float(stated["airspeed"]), float(stated["air_density"])
    area = float(stated["span"]) * 2.0 * radius
    reynolds = airspeed * 2.0 * radius * density / float(stated["air_viscosity"])
    nominal_speed = float(out[0, SPEED])
    spin = out[:, SPEED] * radius / airspeed if airspeed > 0.0 else np.full(len(out), np.nan)
    vaned = stated["kind"] == "vaned"
    support_spin = float(spin[0]) if airspeed > 0.0 else 0.0
    torque_word = SUPPORT_WORDS[int(rotor_support(row, support_spin, reynolds))] if airspeed > 0.0 else SUPPORT_WORDS[1]
    force_word = SUPPORT_WORDS[int(vaned_force_support(row, support_spin, reynolds))] if vaned else torque_word
    lift_sources, drag_sources, torque_sources = _sources(stated)
    lift_word = drag_word = force_word
    fit = stated["fit"]
    if fit is not None:  # own rig data outrank what is published, where they were taken
        inside = {name: fit.covers(name, support_spin, reynolds) for name in ("lift", "drag", "torque")}
        lift_word = SUPPORT_WORDS[0] if inside["lift"] else lift_word
        drag_word = SUPPORT_WORDS[0] if inside["drag"] else drag_word
        torque_word = SUPPORT_WORDS[0] if inside["torque"] else torque_word
        lift_sources, drag_sources, torque_sources = (
            (OWN_RIG, *sources) if name in fit.measured else sources
            for name, sources in (("lift", lift_sources), ("drag", drag_sources), ("torque", torque_sources))
        )

    def quantity(
        numbers: npt.NDArray[np.float64], unit: str, word: str, sources: tuple[str, ...], reason: str = ""
    ) -> Quantity:
        return from_samples(numbers[1:], float(numbers[0]), unit, support=word, sources=sources, reason=reason)

    pressure_area = 0.5 * density * airspeed * airspeed * area
    scale = 1.0 / pressure_area if pressure_area > 0.0 else math.nan
    still = "" if pressure_area > 0.0 else "there is no stream to refer it to"
    lift = out[:, LIFT]
    drag = out[:, PROFILE_DRAG] + out[:, END_DRAG] + out[:, DISC_DRAG]
    torque = out[:, BODY_TORQUE] + out[:, DISC_TORQUE]
    power = (out[:, FRICTION] - torque) * out[:, SPEED]
    if stated["free"]:
        power = np.zeros(len(out))  # the balance leaves only the solver's residual
    rim = radius if row["end_discs"] + row["middle_discs"] == 0 else max(radius, 0.5 * float(row["disc_diameter"]))
    inertia = stated["polar_inertia"]
    speed_sources = torque_sources if stated["free"] else GEOMETRY
    return RotorAlone(
        lift_coefficient=quantity(lift * scale, "1", lift_word, lift_sources, still),
        drag_coefficient=quantity(drag * scale, "1", drag_word, drag_sources, still),
        torque_coefficient=quantity(torque * scale / radius, "1", torque_word, torque_sources, still),
        lift=quantity(lift, "N", lift_word, lift_sources),
        drag=quantity(drag, "N", drag_word, drag_sources),
        torque=quantity(torque, "N m", torque_word, torque_sources),
        power=quantity(power, "W", torque_word, torque_sources),
        spin_ratio=quantity(spin, "1", torque_word, speed_sources, still),
        rotor_speed=quantity(out[:, SPEED], "rad/s", torque_word, speed_sources),
        reynolds_number=exact(reynolds, "1", GEOMETRY),
        profile_drag=quantity(out[:, PROFILE_DRAG], "N", drag_word, drag_sources),
        end_drag=quantity(out[:, END_DRAG], "N", drag_word, drag_sources),
        disc_drag=quantity(out[:, DISC_DRAG], "N", drag_word, DISC_SOURCES),
        disc_torque=quantity(out[:, DISC_TORQUE], "N m", torque_word, DISC_SOURCES),
        rim_speed=quantity(np.abs(out[:, SPEED]) * rim, "m/s", torque_word, speed_sources),
        throw_distance=quantity(throw_distance(np.abs(out[:, SPEED]) * rim), "m", torque_word, GEOMETRY),
        stored_energy=None
        if inertia is None
        else quantity(0.5 * float(inertia) * out[:, SPEED] ** 2, "J", torque_word, GEOMETRY),
        notes=_notes(stated, int(out[0, STATUS]), nominal_speed, support_spin),
    )


def throw_distance(rim_speed: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Return how far a piece that leaves the rim can fly without air drag, from breast height [m].

    Parameters
    ----------
    rim_speed : array
        [m/s], ≥ 0.

    Notes
    -----
    v/g √(v² + 2 g h), h = 1.5 m: the longest throw over all directions. Source: closed form of mechanics; that nobody
    should stand within it, in the plane of rotation and without a barrier, is this project's own judgement.
    """
    return rim_speed / GRAVITY * np.sqrt(rim_speed**2 + 2.0 * GRAVITY * BREAST_HEIGHT)


def _sources(stated: dict[str, Any]) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    discs = DISC_SOURCES if stated["disc_diameter"] else ()
    if stated["kind"] == "drum":
        ends = DRUM_END_SOURCES if stated["disc_diameter"] else ()
        return DRUM_SOURCES + ends, DRUM_DRAG_SOURCES + discs, DRUM_TORQUE_SOURCES + discs
    if stated["section"] == "plate":
        return PLATE_FORCE_SOURCES, PLATE_FORCE_SOURCES + discs, PLATE_TORQUE_SOURCES + discs
    return VANE_FORCE_SOURCES, VANE_FORCE_SOURCES + discs, VANE_TORQUE_SOURCES + discs


def _notes(stated: dict[str, Any], status: int, speed: float, spin_ratio: float) -> tuple[str, ...]:
    notes = []
    if status == NOT_APPLICABLE:
        notes.append("a smooth drum does not turn itself: it needs a drive")
    if status == OUT_OF_LIMITS and stated["airspeed"] > 0.0:
        notes.append("friction is too much for it to run at this airspeed: it stands still")
    if status == NOT_CONVERGED:
        notes.append("no freewheel balance was found")
    if stated["kind"] == "vaned" and stated["section"] == "plate" and stated["free"] and speed > 0.0:
        notes.append("a plate has to be kicked past edge-on before it keeps turning")
    if stated["kind"] == "vaned" and stated["section"] != "plate":
        notes.append("no measured lift and drag curve of such a rotor was found: measure yours")
    if stated["kind"] == "vaned" and stated["stages"] > 1 and stated["stage_phase"] is None:
        angle = math.degrees(stage_phase(stated))
        notes.append(f"the {stated['stages']} stages are taken as spread evenly, {angle:.3g}° between neighbours")
    quiet = stated["kind"] == "drum" and stated["branch"] != "turbulent"
    if quiet and 0.0 < abs(spin_ratio) < 1.2:
        notes.append("below spin ratio 1.2 the lift of a drum may be lost or reversed: do not fly there")
    return tuple(notes)
