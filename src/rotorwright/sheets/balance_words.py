"""In which order and in which words the quantities of a balance are told. Names are those of `studies.balance`."""

from __future__ import annotations

SECTIONS: dict[str, dict[str, str]] = {
    "Speeds": {
        "level_speed": "level speed",
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
        "glide_drive_off_sink": "glide, drive off too: sink",
    },
    "Rotors": {
        "rotor_speed": "rotor speed",
        "spin_ratio": "spin ratio",
        "rim_speed": "rim speed",
        "rotor_energy": "energy stored in the spin",
        "rotor_momentum": "spin momentum, all rotors",
        "reynolds_number": "Reynolds number",
        "rotor_lift_share": "share of the lift that rotors carry",
        "wash_share": "share of span in the thrusters' wash",
        "lift_lost_one_rotor_stopped": "lift lost if one rotor stops",
        "roll_one_rotor_stopped": "rolling moment if one rotor stops",
    },
    "Battery and motors": {
        "endurance": "endurance, level",
        "level_power": "power, level",
        "level_current": "current, level",
        "full_throttle_thrust": "thrust, full throttle in flight",
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
    "lift_lost_one_rotor_stopped",
    "spin_share",
    "drive_duty",
}
