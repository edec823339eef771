"""Completes motors, controllers, thrusters, drives and batteries by the generic rules of the catalogue."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from rotorwright.design.catalogue.reader import propeller_family, rule
from rotorwright.design.filled_in import Notes, known, note_guesses
from rotorwright.design.parts.power import Battery, Controller, Drive, Motor, Thruster


def complete_motor(path: str, motor: Motor, pack_voltage: float, notes: Notes) -> Motor:
    """Return the motor with resistance, no-load current, current limit and inertia all told.

    Notes
    -----
    Kt = 1/Kv; R = (Kt / (k m))² with the winding constant k per mass; no-load current = (no-load torque per mass) m Kv;
    current limit = (power per mass) m / pack voltage.
    """
    update: dict[str, Any] = {}
    if motor.resistance is None:
        winding = rule("motor", "torque_per_root_watt")
        resistance = (1.0 / motor.speed_constant / (winding.value * motor.mass)) ** 2
        why = "from speed constant and mass; the label or a meter is better"
        update["resistance"] = notes.number(f"{path}.resistance", resistance, "resistance", why, winding.source)
    if motor.no_load_current is None:
        torque = rule("motor", "no_load_torque")
        current = torque.value * motor.mass * motor.speed_constant
        why = "from speed constant and mass; let it run free and read the meter"
        update["no_load_current"] = notes.number(f"{path}.no_load_current", current, "current", why, torque.source)
    if motor.current_limit is None:
        power = rule("motor", "power_limit")
        limit = power.value * motor.mass / pack_voltage
        why = "burst power by mass; the label is better"
        update["current_limit"] = notes.number(f"{path}.current_limit", limit, "current", why, power.source)
    if motor.inertia is None:
        share, radius = rule("motor", "bell_share"), rule("motor", "bell_radius")
        update["inertia"] = share.value * motor.mass * (radius.value * motor.mass ** (1.0 / 3.0)) ** 2
    return motor.model_copy(update=update) if update else motor


def complete_controller(path: str, controller: Controller, motor: Motor, notes: Notes) -> Controller:
    """Return the controller with current limit, resistance and mass all told."""
    update: dict[str, Any] = {}
    limit = controller.current_limit
    if limit is None:
        headroom = rule("controller", "headroom")
        limit = headroom.value * known(motor.current_limit)
        why = "a quarter above the motor's limit"
        update["current_limit"] = notes.number(f"{path}.current_limit", limit, "current", why, headroom.source)
    if controller.resistance is None:
        switch = rule("controller", "resistance_current")
        resistance = switch.value / max(limit, 3.0)
        why = "a controller of this current"
        update["resistance"] = notes.number(f"{path}.resistance", resistance, "resistance", why, switch.source)
    if controller.mass is None:
        each, least = rule("controller", "mass_per_current"), rule("controller", "mass_least")
        mass = least.value + each.value * limit
        why = "a controller of this current"
        update["mass"] = notes.number(f"{path}.mass", mass, "mass", why, each.source)
    return controller.model_copy(update=update) if update else controller


def complete_thruster(path: str, thruster: Thruster, packs: Mapping[str, Battery], notes: Notes) -> Thruster:
    """Return the thruster with family, blades, duct, motor, controller and propeller mass all told."""
    update: dict[str, Any] = {}
    if thruster.position is None:
        update["position"] = (0.0, 0.0, 0.0)
        notes.text(f"{path}.position", "at the nose point", "no place told")
    battery = update["battery"] = _only_pack(path, thruster.battery, packs, notes)
    if thruster.kind == "propeller":
        letters = thruster.propeller.letters if thruster.propeller is not None else ""
        if thruster.family is None:
            family = propeller_family(letters)
            why = "by the letters of its size" if letters else "the usual electric propeller"
            update["family"] = notes.text(f"{path}.family", family, why)
        if thruster.blades is None:
            update["blades"] = 2
    else:
        diameter = known(thruster.diameter)
        swept = rule("fan", "swept_share")
        if thruster.exit_area is None:
            share = rule("fan", "exit_share")
            area = share.value * swept.value * math.pi / 4.0 * diameter**2
            why = "exit a tenth smaller than the swept area"
            update["exit_area"] = notes.number(f"{path}.exit_area", area, "area", why, share.source, "cm2")
        update["blades"] = thruster.blades or 8
        update["family"] = "narrow"
    motor = complete_motor(f"{path}.motor", thruster.motor, pack_voltage(packs[battery]), notes)
    update["motor"] = motor
    update["controller"] = complete_controller(f"{path}.controller", thruster.controller, motor, notes)
    if thruster.propeller_mass is None:
        if thruster.propeller is not None:
            nine = rule("propeller", "mass_nine_inch")
            mass = (
                nine.value
                * (thruster.propeller.diameter / 0.2286) ** 2.5
                * (update.get("blades") or thruster.blades or 2)
                / 2
            )
        else:
            nine = rule("fan", "mass_per_area")
            mass = nine.value * math.pi / 4.0 * known(thruster.diameter) ** 2
        update["propeller_mass"] = notes.number(f"{path}.propeller_mass", mass, "mass", "by its size", nine.source)
    return thruster.model_copy(update=update)


def complete_drive(path: str, drive: Drive, packs: Mapping[str, Battery], notes: Notes) -> Drive:
    """Return the drive with motor, controller, belt drag and mass all told."""
    update: dict[str, Any] = {}
    battery = update["battery"] = _only_pack(path, drive.battery, packs, notes)
    motor = complete_motor(f"{path}.motor", drive.motor, pack_voltage(packs[battery]), notes)
    update["motor"] = motor
    update["controller"] = complete_controller(f"{path}.controller", drive.controller, motor, notes)
    if drive.idle_torque is None:
        idle = rule("drive", "idle_torque_motor_side")
        torque = idle.value * drive.ratio
        why = "small tooth belt, felt at the rotor"
        update["idle_torque"] = notes.number(f"{path}.idle_torque", torque, "torque", why, idle.source)
    if drive.mass is None:
        share = rule("drive", "mass_share")
        mass = share.value * motor.mass
        why = "belt, pulleys and mount for such a motor"
        update["mass"] = notes.number(f"{path}.mass", mass, "mass", why, share.source)
    note_guesses(path, drive, notes)
    return drive.model_copy(update=update)


def _only_pack(path: str, battery: str | None, packs: Mapping[str, Battery], notes: Notes) -> str:
    if battery is not None:
        return battery
    only = next(iter(packs))
    return notes.text(f"{path}.battery", only, "the only battery there is", "the file")


def pack_voltage(battery: Battery) -> float:
    """Return the nominal voltage of a pack [V]."""
    return battery.cells.series * rule("battery", "cell_voltage").value


def complete_battery(
    path: str, battery: Battery, electronics: float, place: tuple[float, float, float], notes: Notes
) -> Battery:
    """Return the battery with electronics, current limit, mass and place all told.

    Parameters
    ----------
    path : str
        Dotted path of the table.
    battery : Battery
        As told.
    electronics : float
        Generic load of receiver and servos to put on this pack if the maker told none [W].
    place : tuple of float
        Where to put it if the maker told no place, file axes [m].
    notes : Notes
        Collects what was filled in.
    """
    update: dict[str, Any] = {}
    hours = battery.capacity / 3600.0
    if battery.current_limit is None:
        rate = rule("battery", "current_rate")
        why = "20 times the capacity per hour; labels promise more"
        limit = rate.value * hours
        update["current_limit"] = notes.number(f"{path}.current_limit", limit, "current", why, rate.source)
    if battery.mass is None:
        energy = rule("battery", "energy_per_mass")
        mass = hours * pack_voltage(battery) / energy.value
        why = "by its energy; weigh it"
        update["mass"] = notes.number(f"{path}.mass", mass, "mass", why, energy.source)
    if battery.electronics is None:
        update["electronics"] = electronics
        if electronics:
            servo = rule("electronics", "servo")
            notes.number(
                f"{path}.electronics", electronics, "power", "receiver and one servo per control", servo.source
            )
    if battery.position is None:
        update["position"] = place
        shown = ", ".join(f"{number * 1000:.0f} mm" for number in place)
        notes.text(f"{path}.position", shown, "no place told: put where it least shifts the balance", "judgement")
    note_guesses(path, battery, notes)
    return battery.model_copy(update=update)


def cell_resistance_capacity(battery: Battery) -> float:
    """Return cell resistance times capacity [ohm Ah], from the measured pack or from the word for its condition."""
    if battery.resistance is not None:
        cells = battery.cells
        # pack resistance = series / parallel × cell resistance; cell capacity = pack capacity / parallel
        return battery.resistance / cells.series * battery.capacity / 3600.0
    return rule("battery", f"resistance_capacity_{battery.condition}").value
