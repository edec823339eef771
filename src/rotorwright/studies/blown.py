"""Blown rotors: what a propeller's slipstream does to the rotors, here and at other places of the thruster."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity
from rotorwright.base.records import PROPELLER
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.flight.numbers import AeroplaneNumbers
from rotorwright.flight.solver import GUESS_INNER
from rotorwright.flight.steady import AIRSPEED
from rotorwright.physics.airframe.wash import disc_wash, wash_cover
from rotorwright.studies.balance_quantities import Reader, design_support
from rotorwright.studies.blown_wake import mean_wake_deficit
from rotorwright.studies.evaluate import Flown, fly
from rotorwright.studies.held_flight import held_flight, level_or_held
from rotorwright.studies.sources import FLIGHT, lift_sources, power_sources, torque_sources

Floats = npt.NDArray[np.float64]

MAP_ALONG = (1.5, 1.0, 0.5, -0.5, -1.0, -1.5)
"""Places of the map ahead of the rotor axis, in propeller diameters; negative: behind."""
MAP_ABOVE = (1.0, 0.75, 0.5, 0.25, 0.0, -0.25, -0.5, -0.75, -1.0)
"""Places of the map above the rotor axis, in propeller diameters."""


@dataclass(frozen=True)
class Slipstream:
    """A propeller's slipstream at a part behind or ahead of it."""

    added_speed: float
    """Along the axis of the propeller [m/s]."""
    radius: float
    """[m]"""
    pressure_ratio: float
    """Dynamic pressure inside over that of the stream [1]."""
    share: float
    """Of the part that lies inside [1]."""


def slipstream(
    *,
    thrust: float,
    diameter: float,
    airspeed: float,
    ahead: float,
    span: float,
    height: float,
    beside: float = 0.0,
    above: float = 0.0,
    air_density: float = 1.225,
) -> Slipstream:
    """Return the slipstream of a propeller at a spanwise part, from plain numbers.

    Parameters
    ----------
    thrust : float
        Of the propeller [N].
    diameter : float
        Of the propeller [m].
    airspeed : float
        [m/s], > 0.
    ahead : float
        Propeller disc ahead of the part's middle [m]; negative: behind it.
    span, height : float
        Of the part, seen along the axis [m]; the height of a rotor is its diameter.
    beside, above : float
        Propeller axis beside and above the part's middle [m].
    air_density : float
        [kg/m³]

    Returns
    -------
    Slipstream

    Raises
    ------
    InputError
        If the airspeed is not above zero.

    Notes
    -----
    Momentum theory with the axial growth of a vortex cylinder, no swirl, no mixing; see docs/physics/airframe.md. The
    Unknown wash_force stands for what that leaves out.
    """
    if not airspeed > 0.0:
        raise InputError("must be above zero", place="slipstream", field="airspeed", found=f"{airspeed:g} m/s")
    added, radius = disc_wash(thrust, 0.5 * diameter, airspeed, air_density, ahead)
    share = wash_cover(radius, beside, above, span, height)
    return Slipstream(added, radius, (1.0 + added / airspeed) ** 2, share)


@dataclass(frozen=True)
class BlownPlace:
    """One place of the thruster and what its wash does there."""

    name: str
    ahead: float
    """Of the rotor axis [m]; negative: behind."""
    above: float
    """The rotor axis [m]; negative: below."""
    quantities: dict[str, Quantity]


@dataclass(frozen=True)
class Blown:
    """What the slipstream of one thruster does to an aeroplane's rotors, here and elsewhere."""

    thruster: str
    throttle: float
    airspeed: Quantity
    places: tuple[BlownPlace, ...]
    """As described first, then ahead, behind, above and below at the same distance."""
    map_ahead: tuple[float, ...]
    map_above: tuple[float, ...]
    map_lift: tuple[tuple[float, ...], ...]
    """Nominal lift gained by the rotors [N], a row for each height."""
    map_thrust_lost: tuple[tuple[float, ...], ...]
    """Nominal drag added on rotors, bodies and surfaces together [N], a row for each height."""
    notes: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            "thruster": self.thruster,
            "throttle": self.throttle,
            "airspeed": self.airspeed.as_dict(),
            "places": [
                {
                    "name": place.name,
                    "ahead": place.ahead,
                    "above": place.above,
                    "quantities": {name: quantity.as_dict() for name, quantity in place.quantities.items()},
                }
                for place in self.places
            ],
            "map": {
                "ahead": list(self.map_ahead),
                "above": list(self.map_above),
                "lift_gained": [list(row) for row in self.map_lift],
                "thrust_lost": [list(row) for row in self.map_thrust_lost],
                "unit": "N",
            },
            "notes": list(self.notes),
        }


def blown(
    aeroplane: Aeroplane,
    *,
    thruster: str | None = None,
    throttle: float = 1.0,
    distance: float | None = None,
    samples: int = 64,
    seed: int = 0,
) -> Blown:
    """Move a thruster round the rotor axis and solve the equation of motion with and without its wash.

    Parameters
    ----------
    aeroplane : Aeroplane
        With a rotor and a propeller.
    thruster : str, optional
        Which thruster of the file; else its first propeller.
    throttle : float
        Of all thrusters [1].
    distance : float, optional
        Between propeller disc and rotor axis for the places ahead and behind, and beyond touching above and below [m];
        else what is described, at least half a propeller diameter.
    samples, seed : int
        Samples of the Unknowns behind the bands; 0 for a nominal run.

    Returns
    -------
    Blown

    Raises
    ------
    InputError
        If there is no rotor, no propeller, or no such thruster.

    Notes
    -----
    Airspeed and attitude of level flight and the balance point are held, rotors, motors and packs settle anew at every
    place: lift gained (of the rotors) and thrust lost (drag added on rotors, bodies and surfaces) are differences to
    the same flight with wash_force 0. A twin of the thruster moves with it.
    """
    flown = fly(aeroplane, samples=samples, seed=seed)
    rows, name = _thruster_rows(flown, thruster)
    level = level_or_held(flown)
    if level is None:
        raise InputError("has no balance at any speed, so there is no flight to blow in", place=aeroplane.source)
    level["throttle"] = throttle
    numbers = flown.numbers
    first = numbers.thrusters[0, rows[0]]
    nearest = min(numbers.rotors[0], key=lambda rotor: abs(float(rotor["x"] - first["x"])))
    here = (float(first["x"] - nearest["x"]), float(nearest["z"] - first["z"]))
    size = float(first["diameter"])
    away = distance if distance is not None else max(abs(here[0]), 0.5 * size)
    clear = 0.5 * (size + max(float(nearest["diameter"]), float(nearest["disc_diameter"]))) + 0.1 * size
    clear = max(clear, away) if distance is not None else clear
    reader = Reader(flown, design_support(flown))
    study = _Study(flown, reader, level, rows, nearest)
    places = [study.place("as described", *here)]
    for word, ahead, above in (
        ("ahead", away, 0.0), ("behind", -away, 0.0), ("above", 0.0, clear), ("below", 0.0, -clear),
    ):  # fmt: skip
        places.append(study.place(word, ahead, above))
    lift, drag = study.map(size)
    return Blown(
        thruster=name,
        throttle=throttle,
        airspeed=reader.quantity(level["airspeed"], "m/s", FLIGHT),
        places=tuple(places),
        map_ahead=tuple(size * share for share in MAP_ALONG),
        map_above=tuple(size * share for share in MAP_ABOVE),
        map_lift=lift,
        map_thrust_lost=drag,
        notes=_notes(flown),
    )


def _thruster_rows(flown: Flown, wanted: str | None) -> tuple[list[int], str]:
    """Return the rows of the thruster asked for and of its twin, and its name."""
    rows = flown.rows
    if len(rows.rotors) == 0:
        raise InputError("describes no rotor", place=flown.aeroplane.source)
    propellers = [place for place, one in enumerate(rows.thrusters) if one["kind"] == PROPELLER]
    if not propellers:
        hint = "Jets of ducted fans are thin: keep them clear of the rotors, and they do nothing to them"
        raise InputError(
            "describes no propeller whose wash could reach a rotor", place=flown.aeroplane.source, hint=hint
        )
    names = rows.names.thrusters
    chosen = wanted or names[propellers[0]]
    if chosen not in [names[place] for place in propellers]:
        allowed = ", ".join(names[place] for place in propellers)
        raise InputError("is no propeller of this file", place="thruster", found=chosen, allowed=allowed)
    first = rows.thrusters[names.index(chosen)]
    alike = [
        place for place in propellers
        if abs(abs(rows.thrusters[place]["y"]) - abs(first["y"])) < 1e-9 and rows.thrusters[place]["x"] == first["x"]
    ]  # fmt: skip
    return alike, chosen


class _Study:
    """One aeroplane with a thruster that is put at different places."""

    def __init__(self, flown: Flown, reader: Reader, level: Any, rows: list[int], rotor: Any) -> None:
        self.flown, self.reader, self.level, self.rows, self.rotor = flown, reader, level, rows, rotor

    def settled(self, ahead: float, above: float, *, wash: bool = True, slower: Any = 0.0) -> Any:
        """Return the settled flight with the thruster at a place; ``slower`` takes a share off the airspeed."""
        numbers = self.moved(ahead, above, wash=wash)
        rows = held_flight(numbers, self.level)
        rows.flight[:, AIRSPEED] *= 1.0 - slower
        rows.solve((), GUESS_INNER)
        steady = rows.steady.copy()
        for name in ("lift", "air_lift", "rotor_lift", "drag", "thrust", "rotor_speed", "spin_ratio", "wash_share"):
            steady[name] = np.where(rows.found, steady[name], np.nan)
        return steady

    def moved(self, ahead: float, above: float, *, wash: bool) -> AeroplaneNumbers:
        """Return the numbers with the thruster at a place, balance point as before."""
        numbers = self.flown.numbers
        numbers = numbers._replace(
            thrusters=numbers.thrusters.copy(), factors=numbers.factors.copy(), vehicle=numbers.vehicle.copy()
        )
        for row in self.rows:
            numbers.thrusters["x"][:, row] = float(self.rotor["x"]) + ahead
            numbers.thrusters["z"][:, row] = float(self.rotor["z"]) - above
        if not wash:
            numbers.factors["wash_force"] = 0.0
        return numbers

    def place(self, name: str, ahead: float, above: float) -> BlownPlace:
        """Return what the wash does with the thruster at a place."""
        on, off = self.settled(ahead, above), self.settled(ahead, above, wash=False)
        lift, spin = (*lift_sources(self.flown), "froude1889"), (*torque_sources(self.flown), "froude1889")
        speed = self.level["airspeed"]
        ratio = np.full(len(speed), np.nan)
        one = self.flown.numbers.thrusters[0, self.rows[0]]
        share = 1.0 / max(len(self.flown.rows.thrusters), 1)
        for case in range(len(speed)):
            if math.isfinite(on["thrust"][case]) and math.isfinite(speed[case]):
                added, _ = disc_wash(
                    share * float(on["thrust"][case]), 0.5 * float(one["diameter"]), float(speed[case]),
                    float(self.flown.numbers.air["density"][case]), ahead,
                )  # fmt: skip
                ratio[case] = (1.0 + added / float(speed[case])) ** 2
        read = self.reader.quantity
        found = {
            "slipstream_pressure": read(ratio, "1", ("froude1889",)),
            "wash_share": read(on["wash_share"], "1", FLIGHT),
            "rotor_speed": read(on["rotor_speed"], "rad/s", spin),
            "rotor_speed_gained": read(on["rotor_speed"] - off["rotor_speed"], "rad/s", spin),
            "thrust": read(on["thrust"], "N", power_sources(self.flown)),
            "lift_gained": read(on["rotor_lift"] - off["rotor_lift"], "N", lift),
            "rotor_drag_added": read(_rotor_drag(on) - _rotor_drag(off), "N", lift),
            "thrust_lost": read(on["drag"] - off["drag"], "N", lift),
        }
        if ahead < 0.0:
            missing = self._wake(off, ahead, above)
            found["wake_deficit"] = read(missing, "1", ("schlichting1979",))
            slow = self.settled(ahead, above, wash=False, slower=np.nan_to_num(missing))
            found["thrust_in_wake"] = read(slow["thrust"] - off["thrust"], "N", ("schlichting1979",))
        return BlownPlace(name, ahead, above, found)

    def _wake(self, off: Any, ahead: float, above: float) -> Floats:
        """Return the mean share of airspeed missing over the propeller disc in the wake of the rotors, every case."""
        numbers = self.flown.numbers
        drag = _rotor_drag(off)
        one, span = numbers.thrusters[0, self.rows[0]], float(numbers.rotors[0]["span"].sum())
        inside = wash_cover(
            0.5 * float(one["diameter"]), float(one["y"] - self.rotor["y"]), 0.0, float(self.rotor["span"]), 10.0
        )
        covered = inside * float(self.rotor["span"]) * 10.0 / (0.25 * math.pi * float(one["diameter"]) ** 2)
        if float(one["y"]) == 0.0 and float(self.rotor["y"]) != 0.0:
            covered *= 2.0  # halves of a pair on both sides
        return np.array(
            [
                covered
                * mean_wake_deficit(
                    drag=float(drag[case]), lift=float(off["rotor_lift"][case]), span=span,
                    airspeed=float(self.level["airspeed"][case]),
                    air_density=float(numbers.air["density"][case]), distance_aft=-ahead, above=above,
                    disc_diameter=float(one["diameter"]),
                )
                for case in range(len(off))
            ]
        )  # fmt: skip

    def map(self, size: float) -> tuple[tuple[tuple[float, ...], ...], tuple[tuple[float, ...], ...]]:
        """Return nominal lift gained and drag added over places, one row for each height."""
        nominal = _Study(_first(self.flown), self.reader, self.level[:1], self.rows, self.rotor)
        lift, drag = [], []
        for above in MAP_ABOVE:
            pairs = []
            for ahead in MAP_ALONG:
                on = nominal.settled(ahead * size, above * size)
                off = nominal.settled(ahead * size, above * size, wash=False)
                pairs.append((on["rotor_lift"] - off["rotor_lift"], on["drag"] - off["drag"]))
            lift.append(tuple(float(pair[0][0]) for pair in pairs))
            drag.append(tuple(float(pair[1][0]) for pair in pairs))
        return tuple(lift), tuple(drag)


def _rotor_drag(steady: Any) -> Floats:
    """Return the drag of all rotors along their local air [N]."""
    return np.asarray(steady["rotor_profile_drag"] + steady["rotor_end_drag"] + steady["rotor_disc_drag"])


def _first(flown: Flown) -> Flown:
    """Return the nominal case alone."""
    return Flown(
        flown.aeroplane,
        flown.rows,
        AeroplaneNumbers(*(part[:1] for part in flown.numbers)),
        flown.nodes,
        flown.envelope,
        flown.scores[:0],
    )


def _notes(flown: Flown) -> tuple[str, ...]:
    notes = [
        "no measurement of a rotor of this kind in a propeller's wash was found: momentum theory without swirl or "
        "mixing, ±30 %",
        "the wash goes with the throttle: a rotor that is blown loses spin and lift when the throttle is cut",
        "the balance point is held while the thruster moves; a higher thrust line also pitches the aeroplane",
        "behind a rotor the propeller meets slowed, uneven air: the gain in thrust is an estimate beside the equation "
        "of motion, not in the verdict, and blades wear and shake for it",
    ]
    if any(one["kind"] != PROPELLER for one in flown.rows.thrusters):
        notes.append("jets of ducted fans are thin and left out")
    return tuple(notes)
