"""In which order and in which words the quantities of a balance are told. Names are those of `studies.balance`."""

from __future__ import annotations

from rotorwright.base.quantity import Quantity

FIRST: dict[str, str] = {
    "level_speed": "level speed",
    "level_thrust": "thrust it takes, level flight",
    "full_throttle_thrust": "thrust, full throttle in flight",
    "best_climb": "best climb",
    "steepest_bank": "steepest bank without losing height",
    "endurance": "endurance, level",
    "mass": "mass",
    "mass_to_spare": "mass to spare, reserve kept",
    "centre_of_gravity_aft": "balance point, aft of the nose point",
    "rotor_speed": "rotor speed",
}
"""What a maker asks first."""
FIRST_CONDITIONAL: dict[str, str] = {
    "balance_speed": "speed where least is missing",
    "full_throttle_thrust": "full-throttle thrust there",
    "thrust_to_spare": "thrust to spare there, straight",
    "reserve_thrust": "thrust left there after reserve",
    "rotor_speed": "rotor speed there",
    "mass": "mass",
    "mass_to_spare": "mass to spare, reserve kept",
    "weight_limit": "heaviest that could stay up",
    "centre_of_gravity_aft": "balance point behind nose point",
    "level_speed": "level speed",
    "best_climb": "best climb",
    "endurance": "endurance",
}
"""The same for an aeroplane that does not fly level."""
CONDITIONAL = {
    "In hand": "In hand (negative: missing), at the speed where least is missing",
    "Level flight": "Mass and loading",
    "Rotors": "Rotors, at the speed where least is missing",
    "Battery and motors": "Battery and motors, at the speed where least is missing",
}
"""Headings of an aeroplane that does not fly level."""

SECTIONS: dict[str, dict[str, str]] = {
    "Speeds": {
        "level_speed": "level speed",
        "balance_speed": "speed of balance, were there thrust enough",
        "slowest_level_speed": "slowest level speed",
        "fastest_level_speed": "fastest level speed",
        "best_climb_speed": "speed for best climb",
        "turn_speed": "speed in a 30° bank",
        "approach_speed": "approach speed, 6° down",
        "glide_speed": "glide speed, thrusters off",
        "glide_drive_off_speed": "glide speed, thrusters and drive off",
        "ground_speed_upwind": "over the ground, into the wind",
        "ground_speed_downwind": "over the ground, with the wind",
    },
    "In hand": {
        "reserve_thrust": "thrust left after the reserve",
        "thrust_to_spare": "thrust to spare, straight",
        "thrust_to_spare_in_turn": "thrust to spare at the reserve bank",
        "best_climb": "best climb",
        "steepest_bank": "steepest bank without losing height",
        "turn_extra_thrust": "what a 30° bank costs in thrust",
        "mass_to_spare": "mass to spare, reserve kept",
        "weight_limit_with_reserve": "heaviest with the reserve",
        "weight_limit": "heaviest that just holds its height",
    },
    "Level flight": {
        "mass": "mass",
        "weight": "weight",
        "level_lift": "lift",
        "thrust_holding_up": "thrust that holds it up",
        "level_drag": "drag",
        "level_thrust": "thrust",
        "level_thrust_to_weight": "thrust to weight, in flight",
        "lift_to_drag": "lift to drag",
        "level_throttle": "throttle",
        "level_incidence": "nose above the flight path",
        "centre_of_gravity_aft": "balance point, aft of the nose point",
        "area_loading": "loading on the lifting area",
        "lifting_area": "lifting area",
        "air_density": "air density",
    },
    "Coming down": {
        "approach_sink": "approach, sink",
        "approach_throttle": "approach, throttle",
        "glide_sink": "glide, thrusters off: sink",
        "glide_ratio": "glide, thrusters off: ratio",
        "glide_angle": "glide, thrusters off: below the horizon",
        "glide_drive_off_sink": "glide, drive off too: sink",
    },
    "Rotors": {
        "rotor_speed": "rotor speed",
        "rotor_airspeed": "airspeed the rotors feel, with wash",
        "spin_ratio": "spin ratio at that airspeed",
        "rim_speed": "rim speed",
        "throw_distance": "stand-off: how far a piece could fly",
        "rotor_energy": "energy stored in the spin",
        "rotor_momentum": "spin momentum, all rotors",
        "reynolds_number": "Reynolds number",
        "rotor_lift_share": "share of the lift that rotors carry",
        "wash_share": "share of span in the thrusters' wash",
        "wash_lift_share": "share of the rotors' lift that the wash makes",
        "lift_lost_one_rotor_stopped": "lift lost if one rotor stops",
        "roll_one_rotor_stopped": "rolling moment if one rotor stops",
    },
    "Battery and motors": {
        "endurance": "endurance, level",
        "level_power": "power, level",
        "level_current": "current, level",
        "full_throttle_thrust": "thrust, full throttle in flight",
        "full_throttle_thrust_to_weight": "the same over the weight",
        "full_throttle_power": "power, full throttle",
        "full_throttle_current": "current, full throttle",
        "full_throttle_voltage": "voltage, full throttle",
        "spin_share": "share that turns the rotors",
        "drive_current": "rotor drive, current",
        "drive_duty": "rotor drive, duty",
    },
}
"""Heading → name of the quantity → words."""

DRAG = {
    "rotor_profile_drag": "rotors, their body",
    "rotor_end_drag": "rotors, their ends",
    "rotor_disc_drag": "rotors, their discs",
    "body_drag": "bodies, struts, wheels",
    "surface_drag": "tail, fin and plain wings",
}
LEDGER = {
    "traction_power": "pulls the aeroplane along",
    "propeller_loss": "lost in the propeller's wash",
    "thruster_motor_loss": "heats thruster motors and controllers",
    "spin_power": "turns the rotors",
    "drive_loss": "heats the rotor drive",
    "bearing_power": "rubbed away in bearings",
    "electronics_power": "receiver and servos",
    "pack_loss": "heats the battery",
}
IN_PER_CENT = {
    "level_throttle",
    "approach_throttle",
    "rotor_lift_share",
    "wash_share",
    "wash_lift_share",
    "lift_lost_one_rotor_stopped",
    "spin_share",
    "drive_duty",
}


def words_for(name: str, words: str, quantity: Quantity) -> str:
    """Return the words for a quantity, with what a surprising value means."""
    if name == "rotor_lift_share" and quantity.value is not None and quantity.value > 1.005:
        return f"{words} (the tail pushes down)"
    return words
