"""The words of the power sheet: which quantities stand in which table, and what they are called there."""

from __future__ import annotations

IN_PER_CENT = ("level_throttle", "climb_throttle", "thrust_left_in_flight", "charge_left")
THRUST = {
    "level_speed": "level speed",
    "level_thrust": "thrust needed, level",
    "full_throttle_thrust": "thrust there, full throttle",
    "level_throttle": "throttle, level",
    "climb_throttle": "throttle, climb asked for",
    "level_current": "current, level",
    "climb_current": "current, climb asked for",
    "full_throttle_current": "current, full throttle",
}
PEAKS = {
    "peak_winding_temperature": "winding, at most",
    "peak_case_temperature": "motor case, at most",
    "peak_controller_temperature": "controller, at most",
    "peak_pack_temperature": "pack, at most",
}
ENERGY = {
    "charge_left": "charge left after it",
    "flights_per_charge": "such flights on one charge",
    "reserve_time": "level flight left to the reserve",
}
