"""Tooth-belt drives between two pulleys: length, centre distance, mesh, tension, side load, losses, vibration."""

from __future__ import annotations

import math
from typing import NamedTuple

from rotorwright.physics.power.belt_profiles import BeltProfile, profile_named, tooth_force

MOST_SPEED = 33.0
"""Belt speed above which pulleys must be specially made and balanced [m/s] (belt maker's procedure, read secondary)."""
FULL_MESH = 6
"""Teeth in mesh for which ratings hold (belt maker's engineering note, 2012, read secondary)."""
LEAST_WRAP = math.radians(60.0)
"""Every loaded pulley wants at least this much wrap (same note)."""
PASSED_ON = 0.98
"""Share of the power passed on besides the idle drag (US Department of Energy tip sheet, read secondary)."""


def pitch_diameter(teeth: float, pitch: float) -> float:
    """Return the pitch diameter of a pulley [m].

    Parameters
    ----------
    teeth : float
        Number of grooves.
    pitch : float
        [m].

    Notes
    -----
    d = z p/π. Source: closed form.
    """
    return teeth * pitch / math.pi


def outside_diameter(profile: str, teeth: float) -> float:
    """Return the outside diameter of a pulley over its teeth [m].

    Parameters
    ----------
    profile : str
        Trade name of the belt's profile.
    teeth : float
        Number of grooves.

    Notes
    -----
    d_o = z p/π − 2a. Source: see `profile_named`.
    """
    form = profile_named(profile)
    return pitch_diameter(teeth, form.pitch) - form.line_offset


def belt_length(small: float, large: float, centre: float) -> float:
    """Return the pitch length of a belt round two pulleys [m].

    Parameters
    ----------
    small, large : float
        Pitch diameters [m].
    centre : float
        Distance between the shafts [m].

    Returns
    -------
    length : float
        [m]; NaN if one pulley would lie inside the other.

    Notes
    -----
    L = 2 C cos α + π (d₁ + d₂)/2 + α (d₂ − d₁), sin α = (d₂ − d₁)/(2 C). Source: closed form.
    """
    sine = (large - small) / (2.0 * centre) if centre > 0.0 else math.inf
    if abs(sine) > 1.0:
        return math.nan
    lean = math.asin(sine)
    return 2.0 * centre * math.cos(lean) + 0.5 * math.pi * (small + large) + lean * (large - small)


def centre_distance(length: float, small: float, large: float) -> float:
    """Return the distance between the shafts that a belt of a pitch length asks for [m].

    Parameters
    ----------
    length : float
        Pitch length: teeth × pitch [m].
    small, large : float
        Pitch diameters [m].

    Returns
    -------
    centre : float
        [m]; NaN if the belt is too short to go round both pulleys.

    Notes
    -----
    Exact: Newton on `belt_length` (dL/dC = 2 cos α) from C = K + √(K² − (d₂ − d₁)²/8), K = L/4 − π (d₁ + d₂)/8.
    Source: closed form.
    """
    apart = 0.5 * abs(large - small)
    shortest = math.pi * max(small, large)  # pulleys touching from inside: the belt goes round the large one only
    if not length > shortest:
        return math.nan
    first = 0.25 * length - math.pi / 8.0 * (small + large)
    square = first * first - (large - small) ** 2 / 8.0
    centre = max(first + math.sqrt(max(square, 0.0)), apart * (1.0 + 1.0e-9), 1.0e-9)
    for _ in range(60):
        lean = math.asin(min(apart / centre, 1.0))
        wrong = belt_length(small, large, centre) - length
        step = wrong / max(2.0 * math.cos(lean), 1.0e-6)
        centre = max(centre - step, apart * (1.0 + 1.0e-12))
        if abs(wrong) < 1.0e-12:
            break
    return centre


def wrap_angle(small: float, large: float, centre: float) -> float:
    """Return the wrap of the belt on the small pulley [rad].

    Parameters
    ----------
    small, large, centre : float
        As `belt_length` [m].

    Notes
    -----
    π − 2 asin((d₂ − d₁)/(2 C)). Source: closed form.
    """
    return math.pi - 2.0 * math.asin(min(max((large - small) / (2.0 * centre), -1.0), 1.0))


def teeth_in_mesh(teeth: float, wrap: float) -> float:
    """Return how many teeth of a pulley are in mesh, the last one counted in part.

    Parameters
    ----------
    teeth : float
        Of the pulley.
    wrap : float
        [rad].

    Notes
    -----
    z · wrap/2π. Source: closed form.
    """
    return teeth * wrap / (2.0 * math.pi)


def span_length(small: float, large: float, centre: float) -> float:
    """Return the free length of one span of the belt [m].

    Parameters
    ----------
    small, large, centre : float
        As `belt_length` [m].

    Notes
    -----
    C cos α. Source: closed form.
    """
    return math.sqrt(max(centre * centre - 0.25 * (large - small) ** 2, 0.0))


def span_frequency(tension: float, mass_per_length: float, span: float) -> float:
    """Return the lowest natural frequency of a tight span [1/s].

    Parameters
    ----------
    tension : float
        [N].
    mass_per_length : float
        [kg/m].
    span : float
        Free length [m].

    Notes
    -----
    f = √(T/m')/(2 L), a string. Source: closed form; used by belt-tension meters (read secondary).
    """
    return math.sqrt(max(tension, 0.0) / mass_per_length) / (2.0 * span)


def allowed_force(profile: BeltProfile, width: float, mesh: float, pulley_turns: float) -> float:
    """Return the peripheral force a belt may carry [N], before any service factor.

    Parameters
    ----------
    profile : BeltProfile
        Of the belt.
    width : float
        [m].
    mesh : float
        Teeth in mesh on the small pulley.
    pulley_turns : float
        Of the small pulley [1/s].

    Notes
    -----
    Tooth force × width × six teeth; each tooth short of six takes a fifth away, a mesh of one or less carries nothing.
    Source: belt maker's engineering note, 2012 (read secondary); tooth force see `tooth_force`.
    """
    short = max(FULL_MESH - mesh, 0.0)
    return tooth_force(profile, pulley_turns) * width * FULL_MESH * max(1.0 - 0.2 * short, 0.0)


def idle_power(profile: BeltProfile, width: float, pulley_turns: float) -> float:
    """Return what a belt takes to turn without load [W].

    Parameters
    ----------
    profile : BeltProfile
        Of the belt.
    width : float
        [m].
    pulley_turns : float
        Of the small pulley [1/s].

    Notes
    -----
    0.5 W at 5000 rpm for 2 mm pitch and 6 mm width, ∝ pitch × width × speed: 1.1–1.9 W for 3 mm belts of 9–15 mm.

    Validity: ×/÷2. Source: common practice, no source (from memory): measure your own.
    """
    return 0.5 * profile.pitch * width / 12.0e-6 * abs(pulley_turns) * 60.0 / 5000.0


class BeltForces(NamedTuple):
    """Forces in a belt at work."""

    effective: float
    """Tight less slack side: peripheral force [N]."""
    installed: float
    """Tension of one span at rest [N]."""
    tight: float
    """[N]"""
    slack: float
    """[N]"""
    side_load: float
    """On the bearings of either shaft at rest [N]; at work it changes little."""


def belt_forces(profile: BeltProfile, width: float, wrap: float, force: float, belt_speed: float) -> BeltForces:
    """Return the forces in a belt that carries a peripheral force.

    Parameters
    ----------
    profile : BeltProfile
        Of the belt.
    width : float
        [m].
    wrap : float
        On the small pulley [rad].
    force : float
        Peripheral: torque over pitch radius [N].
    belt_speed : float
        [m/s].

    Returns
    -------
    forces : BeltForces

    Notes
    -----
    Installed tension: the usual one for profile and width, or F/2 + m' v² if that is more, so that the slack span never
    goes slack. Tight and slack: installed ± F/2 (less m' v² on what presses on the pulleys). Side load 2 T sin(wrap/2).
    Source: closed form; usual tension of 3 mm belts 4.9 N per mm of width (tension-meter manual, read secondary), the
    others scaled by pitch.
    """
    flung = profile.areal_mass * width * belt_speed * belt_speed
    installed = max(profile.tension_per_width * width, 0.5 * force + flung)
    return BeltForces(
        effective=force,
        installed=installed,
        tight=installed + 0.5 * force,
        slack=installed - 0.5 * force,
        side_load=2.0 * installed * math.sin(0.5 * wrap),
    )


def belt_geometry(
    *, profile: str, small_teeth: int, large_teeth: int, belt_teeth: int | None = None, centre: float | None = None
) -> dict[str, float]:
    """Return the geometry of a belt round two pulleys, from the belt's teeth or from the centre distance.

    Parameters
    ----------
    profile : str
        Trade name.
    small_teeth, large_teeth : int
        Of the pulleys.
    belt_teeth : int, optional
        Of the belt; or
    centre : float, optional
        Centre distance [m], which gives a length that need not be a whole number of teeth.

    Returns
    -------
    geometry : dict
        small_diameter, large_diameter, length, centre, span [m], belt_teeth, wrap [rad], mesh.

    Notes
    -----
    See the functions of this module. Source: closed form.
    """
    form = profile_named(profile)
    small, large = pitch_diameter(small_teeth, form.pitch), pitch_diameter(large_teeth, form.pitch)
    if belt_teeth is not None:
        length = belt_teeth * form.pitch
        apart = centre_distance(length, small, large)
    else:
        apart = math.nan if centre is None else centre
        length = belt_length(small, large, apart)
    wrap = wrap_angle(small, large, apart)
    return {
        "small_diameter": small,
        "large_diameter": large,
        "length": length,
        "belt_teeth": length / form.pitch,
        "centre": apart,
        "span": span_length(small, large, apart),
        "wrap": wrap,
        "mesh": teeth_in_mesh(small_teeth, wrap),
    }
