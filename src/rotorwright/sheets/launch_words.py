"""Names of what `launch` reports, in the order of its sheet."""

from __future__ import annotations

TAKE_OFF = {
    "launch_level_speed": "flies level at",
    "lift_off_speed": "lifts off at, through the air",
    "take_off_distance": "run to lift-off",
    "take_off_time": "time of the run",
    "lift_off_spin": "rotor spin at lift-off, of what it would be",
    "stop_distance": "to stop from lift-off speed, 1 s of thinking",
    "strip_needed": "strip to lift off and stop again",
    "abort_point": "abort point: throttle shut after at most",
    "climb_angle": "climbs away at, over the ground",
    "height_at_obstacle": "height at the obstacle",
}
SHARES = {
    "lifts_off": "leaves the ground",
    "strip_is_enough": "strip is long enough",
    "clears_obstacle": "clears the obstacle",
    "ground_effect_trap": "lifts off but cannot climb away",
}
THROW = {
    "throw_speed": "a person throws it at",
    "throw_speed_needed": "it needs, over the ground",
    "throw_dip": "height lost after the throw, from 1.8 m",
    "throw_works": "a throw works",
    "bungee_speed": "bungee: leaves the line at",
    "bungee_stretch": "stretch of the line",
    "bungee_stiffness": "stiffness of the line",
    "bungee_pull": "first pull",
}
LANDING = {
    "landing_speed": "approach, half the gusts added",
    "landing_sink": "sink on a path 6° down, with power",
    "gear_load": "load on the legs, of its weight",
    "drop_height": "as hard as dropped from",
    "touch_down_energy": "energy of the sink",
    "power_off_sink": "sink with the thrusters off",
    "power_off_drop_height": "as hard as dropped from ",
    "power_off_gear_load": "load on the legs then",
    "drive_off_sink": "sink with the rotor drive off too",
    "roll_out": "roll-out, everything off",
    "cut_lift_left": "weight carried 1 s after a cut of everything",
    "cut_lift_time": "a quarter of it is lost after",
    "cut_height_lost": "height lost in that second",
    "cut_height_lost_later": "height lost in two",
}
IN_PER_CENT = ("lift_off_spin", "lifts_off", "strip_is_enough", "clears_obstacle", "ground_effect_trap", "throw_works",
               "cut_lift_left", "flying_share")  # fmt: skip
FAR = {"take_off_distance", "stop_distance", "strip_needed", "abort_point", "height_at_obstacle", "bungee_stretch",
       "roll_out", "drop_height", "power_off_drop_height", "cut_height_lost",
       "cut_height_lost_later", "throw_dip"}  # fmt: skip
"""Lengths told in metres (or feet), not millimetres."""
EVERYTHING = TAKE_OFF | SHARES | THROW | LANDING | {"flying_share": "holds its height"}
