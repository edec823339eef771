"""How badly a rotor shakes: orbits and forces of unbalance and run-out, sag, the time one may dwell."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from rotorwright.base.constants import GRAVITY
from rotorwright.base.quantity import Quantity
from rotorwright.flight.envelope import LEVEL
from rotorwright.physics.structure.response import (
    bow_response,
    peak_amplitude,
    static_deflection,
    unbalance_response,
    weight_load,
)
from rotorwright.physics.structure.rules import crossing_peak, sag_critical
from rotorwright.studies.shake_bands import KeepOut, inequality_of, is_unequal, quantity_of
from rotorwright.studies.shake_model import RotorShaft
from rotorwright.studies.shake_speeds import RotorSpeeds

Floats = npt.NDArray[np.float64]

TYPICAL_OFFSET = 0.33e-3
"""Mass centre off the axis of a hand-built rotor before balancing [m] (judgement: Monte Carlo of centring, discs, skin
gradient and bow of a typical builder; times ``build_scatter``)."""
TYPICAL_BOW = 0.35e-3
"""Bow of the tube at mid-span [m] (judgement; stock is straight within 1 mm per m)."""
GRADE = 16.0e-3
"""Balance grade G 16: mass offset times speed [m/s] (ISO 21940-11)."""
RUN_UP_TIME = 3.0
"""Seconds from rest to flight speed that the crossing is judged at [s] (judgement)."""
SOURCES = ("friswell2010", "mechanics")
WHY = "it cannot hold its height, so it has no flight speed"


def response_quantities(
    shaft: RotorShaft, speeds: RotorSpeeds, first: KeepOut, sag: float | None
) -> dict[str, Quantity]:
    """Return how badly a rotor shakes at level flight and at its first critical.

    Parameters
    ----------
    shaft : RotorShaft
        Nominal and sampled.
    speeds : RotorSpeeds
        Of the flown aeroplane.
    first : KeepOut
        Its first bending.
    sag : float, optional
        Measured at mid-span [m].
    """
    support = "beyond data"
    scatter = speeds.flown.numbers.factors["build_scatter"]
    offset = TYPICAL_OFFSET * scatter
    level = np.where(np.isfinite(speeds.level), speeds.level, 1.0)
    there = np.isfinite(speeds.level)
    weights = shaft.node_mass.astype(np.complex128)
    even = unbalance_response(shaft.model, level, weights, shaft.damping)
    force = peak_amplitude(even.bearing_first, even.bearing_second)
    force = force[:, _grounded(shaft)].max(axis=1)
    orbit = peak_amplitude(even.first, even.second).max(axis=1)
    critical = first.lower_edges / (1.0 - 0.15)
    peak = unbalance_response(shaft.model, critical, weights, shaft.damping)
    peak_orbit = peak_amplitude(peak.first, peak.second).max(axis=1)

    def told(numbers: Floats, unit: str, reason: str = "") -> Quantity:
        return quantity_of(numbers, unit, support, SOURCES, reason)

    found = {
        "shake_force": told(np.where(there, force * offset, np.nan), "N", WHY),
        "shake_force_balanced": told(np.where(there, force * GRADE / level, np.nan), "N", WHY),
        "shake_orbit": told(np.where(there, orbit * offset, np.nan), "m", WHY),
        "critical_orbit": told(peak_orbit * offset, "m"),
        "dwell_limit": told(math.log(2.0) / (shaft.damping * critical), "s"),
    }
    if shaft.model.even:
        bow = _bow(shaft)
        bent = bow_response(shaft.model, shaft.shaft_stiffness, level, TYPICAL_BOW * bow, shaft.damping)
        from_bow = peak_amplitude(bent.bearing_first, bent.bearing_second)[:, _grounded(shaft)].max(axis=1)
        found["run_out_force"] = told(np.where(there, from_bow * scatter, np.nan), "N", WHY)
    sweep = critical / RUN_UP_TIME / critical**2
    share = [crossing_peak(float(s), float(z)) * 2.0 * float(z) for s, z in zip(sweep, shaft.damping, strict=True)]
    found["crossing_share"] = told(np.array(share), "1")
    found |= _sag(shaft, critical, sag)
    unequal = inequality_of(shaft)
    if unequal is not None and is_unequal(shaft):
        found["half_critical_orbit"] = told(_half_critical(shaft, speeds, unequal), "m", WHY)
    return found


def _grounded(shaft: RotorShaft) -> npt.NDArray[np.bool_]:
    return np.asarray(shaft.model.bonds.other < 0)


def _bow(shaft: RotorShaft) -> Floats:
    """Return a half sine of unit height between the outer bearings, with its slope."""
    places = shaft.model.places
    held = places[shaft.model.bonds.node[_grounded(shaft)]]
    start, length = float(held.min()), max(float(held.max() - held.min()), 1e-6)
    bow = np.zeros(2 * len(places))
    bow[0::2] = np.sin(math.pi * (places - start) / length)
    bow[1::2] = math.pi / length * np.cos(math.pi * (places - start) / length)
    return bow


def _sag(shaft: RotorShaft, critical: Floats, sag: float | None) -> dict[str, Quantity]:
    """Return the sag at mid-span below the line of the outer bearings, and what a measured one tells."""
    dropped = static_deflection(shaft.model, weight_load(shaft.model, GRAVITY))[..., 0::2]
    middle = np.argmin(np.abs(np.where(shaft.body, shaft.model.places, np.inf)))
    places = shaft.model.places
    held = shaft.model.bonds.node[_grounded(shaft)]
    ends = int(held[np.argmin(places[held])]), int(held[np.argmax(places[held])])
    width = max(float(places[ends[1]] - places[ends[0]]), 1e-9)
    along = float(places[middle] - places[ends[0]]) / width
    drop = dropped[:, middle] - (1.0 - along) * dropped[:, ends[0]] - along * dropped[:, ends[1]]
    drop = np.maximum(drop, 1.0e-9)
    support = "beyond data"
    factor = critical / np.sqrt(GRAVITY / drop)
    found = {"sag": quantity_of(drop, "m", support, SOURCES)}
    if sag is not None:
        told = np.array([sag_critical(sag, float(each)) for each in factor])
        found["first_critical_from_sag"] = quantity_of(told, "rad/s", "between data", SOURCES)
    else:
        whole = np.array([sag_critical(1.0e-3, float(each)) for each in factor])
        found["critical_at_one_millimetre"] = quantity_of(whole, "rad/s", "between data", SOURCES)
    return found


def belt_load(shaft: RotorShaft, tension: float, inner: float) -> dict[str, Quantity]:
    """Return what a belt's side pull does to the shaft: load of the nearest bearing, tilt of the shaft in it.

    Parameters
    ----------
    shaft : RotorShaft
        Nominal and sampled.
    tension : float
        In one strand at rest [N]; both pull.
    inner : float
        −1 or +1: the end of the tube that carries the pulley.
    """
    places = shaft.model.places
    end = int(np.argmax(inner * np.where(np.arange(len(places)) < len(places), places, -np.inf)))
    load = np.zeros((len(shaft.damping), 2 * len(places)))
    load[:, 2 * end] = 2.0 * tension
    bent = static_deflection(shaft.model, load, second=False)
    bonds = shaft.model.bonds
    nodes = bonds.node[_grounded(shaft)]
    place = int(np.argmax(inner * places[nodes]))
    force = np.abs(bent[:, 2 * nodes[place]] * bonds.first_stiffness[:, _grounded(shaft)][:, place])
    support = "beyond data"
    return {
        "belt_bearing_load": quantity_of(force, "N", support, SOURCES),
        "belt_tilt": quantity_of(np.abs(bent[:, 2 * nodes[place] + 1]), "rad", support, SOURCES),
    }


def _half_critical(shaft: RotorShaft, speeds: RotorSpeeds, unequal: Floats) -> Floats:
    """Return the swing at half the critical under the lift of level flight."""
    steady = speeds.flown.envelope.steady[:, LEVEL]
    rotors = len(speeds.flown.rows.rotors)
    lift = np.where(np.isfinite(steady["rotor_lift"]), steady["rotor_lift"], np.nan) / max(rotors, 1)
    pull = shaft.body / shaft.body.sum()
    load = np.zeros((len(lift), 2 * len(pull)))
    load[:, 0::2] = lift[:, None] * pull
    there = np.isfinite(lift)
    bent = np.full(len(lift), np.nan)
    if there.any():
        bend = static_deflection(shaft.model, np.where(there[:, None], load, 0.0))[..., 0::2]
        bent = np.where(there, np.abs(bend).max(axis=1), np.nan)
    return np.asarray(unequal * bent / (2.0 * shaft.damping))
