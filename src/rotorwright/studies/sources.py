"""Which works stand behind a quantity of a balance, by citation key (see ``base/citations.toml``)."""

from __future__ import annotations

from rotorwright.base.records import BUCKET, DRUM, FAN, PLATE, PROPELLER
from rotorwright.studies.bench_rig_fit import OWN_BENCH
from rotorwright.studies.evaluate import Flown

AIR = ("us76",)
MASS = ("meriam2012",)
FLIGHT = ("etkin1996",)
BATTERY = ("chen2006", "traub2011")

DRUM_LIFT = ("swanson1961", "tokumaru1993", "reid1924", "badalamenti2008", "bordogna2019")
DRUM_TORQUE = ("theodorsen1944", "bordogna2019")
PLATE_LIFT = ("smith1970", "pomerenk2024")
PLATE_TORQUE = ("aqeel2025", "iversen1979")
VANE_LIFT = ("sheldahl1978",)
VANE_TORQUE = ("sheldahl1978", "kamoji2008")
SURFACES = ("helmbold1942", "hoerner1965")
PROPELLERS = ("brandt2011", "deters2014")
MOTORS = ("drela2005",)
FANS = ("froude1889",)


def lift_sources(flown: Flown) -> tuple[str, ...]:
    """Return the works behind lift and drag of this aeroplane's rotors and surfaces."""
    found: list[str] = []
    for rotor in flown.rows.rotors:
        if rotor["kind"] == DRUM:
            found += DRUM_LIFT
        elif rotor["section"] == PLATE:
            found += PLATE_LIFT
        else:
            found += VANE_LIFT
    if len(flown.rows.surfaces):
        found += SURFACES
    return _once(found)


def torque_sources(flown: Flown) -> tuple[str, ...]:
    """Return the works behind the torque and the free spin of this aeroplane's rotors."""
    found: list[str] = []
    for rotor in flown.rows.rotors:
        if rotor["kind"] == DRUM:
            found += DRUM_TORQUE
        elif rotor["section"] == PLATE:
            found += PLATE_TORQUE
        elif rotor["section"] <= BUCKET:
            found += VANE_TORQUE
    return _once(found)


def power_sources(flown: Flown) -> tuple[str, ...]:
    """Return the works behind thrust, current and power of this aeroplane."""
    kinds = set(flown.rows.thrusters["kind"])
    found: list[str] = []
    if PROPELLER in kinds:
        found += PROPELLERS
    if FAN in kinds:
        found += FANS
    if len(flown.rows.thrusters) or len(flown.rows.drives):
        found += MOTORS
    if any(thruster.bench for thruster in flown.aeroplane.tables.thruster.values()):
        found.append(OWN_BENCH)
    return _once(found)


def _once(keys: list[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(keys))
