"""Bench calls of the power room: one propeller, fan, motor with its propeller, or pack, alone as on a stand."""

from __future__ import annotations

from rotorwright.studies.bench_battery import BatteryResult, battery_alone
from rotorwright.studies.bench_duct import duct_alone
from rotorwright.studies.bench_fan import FanResult, fan_alone
from rotorwright.studies.bench_motor import MotorAndPropellerResult, motor_and_propeller_alone
from rotorwright.studies.bench_propeller import FAMILIES, PropellerResult, propeller_alone

__all__ = [
    "FAMILIES",
    "BatteryResult",
    "FanResult",
    "MotorAndPropellerResult",
    "PropellerResult",
    "battery_alone",
    "duct_alone",
    "fan_alone",
    "motor_and_propeller_alone",
    "propeller_alone",
]
