"""The aeroplane as numbers: one structured float64 array per kind of part, one row per part.

`design/` fills these rows, kernels read them, nothing else carries an aeroplane between the rooms. All numbers are SI.
Positions are in body axes measured from the nose point: x forward, y right, z down (so the file's aft and up numbers
change sign). Codes that are really whole numbers (kinds, indices) are kept as float64 too, so that a row is one
homogeneous record; compare them with ``==`` against the constants below, indices through ``int()``.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt


def table_record(tables: Any) -> npt.NDArray[Any]:
    """Return a NamedTuple of arrays as a one-row structured array with a field per array.

    Kernels read both alike (``tables.name[i]``), but a record travels as a single pointer, where a tuple of arrays
    costs eight words an array at every call.
    """
    fields = tables._asdict()
    dtype = np.dtype([(name, np.float64, array.shape) for name, array in fields.items()])
    record = np.zeros(1, dtype=dtype)
    for name, array in fields.items():
        record[name][0] = array
    return record


# kinds of rotor and vane section
DRUM, VANED = 0.0, 1.0
PLATE, S_SECTION, BUCKET = 0.0, 1.0, 2.0
# kinds of surface: what it is there for
WING, TAIL, FIN = 0.0, 1.0, 2.0
# control channels: a surface, thruster or drive listens to one of them
NO_CHANNEL, ELEVATOR, RUDDER, AILERON, FLAP = -1.0, 0.0, 1.0, 2.0, 3.0
CONTROL_CHANNELS = 4
# kinds of thruster and propeller families (by blade)
PROPELLER, FAN = 0.0, 1.0
NARROW, BROAD_SLOW, ENGINE_TYPE = 0.0, 1.0, 2.0
# the air a rotor meets
QUIET, OUTDOOR, TURBULENT = 0.0, 1.0, 2.0
NONE = -1.0


def _dtype(*fields: str) -> np.dtype[np.void]:
    return np.dtype([(name, np.float64) for name in fields])


ROTOR = _dtype(
    "kind",  # DRUM or VANED
    "section",  # PLATE, S_SECTION or BUCKET (vaned only)
    "buckets",  # number of buckets (BUCKET only)
    "overlap",  # gap by which two buckets overlap [m]
    "plate_thickness",  # vane thickness [m] (0: unknown)
    "span",  # between the outermost faces of the turning body [m]
    "diameter",  # [m]
    "disc_diameter",  # [m]; equal to diameter or smaller: no disc
    "disc_thickness",  # [m]
    "end_discs",  # 0, 1 or 2 ends closed by a disc
    "middle_discs",  # discs between the ends
    "discs_turn",  # 1 turn with the rotor, 0 fixed
    "stages",  # sections phased along the span
    "stage_phase",  # [rad] between neighbours
    "rough",  # 0 smooth skin, 1 deliberately rough
    "flow",  # QUIET, OUTDOOR or TURBULENT air
    "x", "y", "z",  # mid-span [m]
    "inner_end",  # 0 open; 1 one end sealed by a body wider than 1.5 diameters (mirror); 2 both, wall to wall
    "bearing_torque",  # constant part, whole rotor [N m]
    "bearing_drag",  # part that grows with speed, whole rotor [N m s]
    "polar_inertia",  # about the spin axis [kg m²]; filled by physics.mass
    "mass",  # turning mass [kg]; filled by physics.mass
    "drive",  # row of the drive that turns it, or NONE (free)
    "turning",  # 1 in working order, 0 stopped and held
)  # fmt: skip

SURFACE = _dtype(
    "kind",  # WING, TAIL or FIN
    "area",  # [m²]
    "span",  # [m]; each half of a divided surface carries span/√2, so that span²/area stays that of the whole
    "chord",  # mean [m]
    "x", "y", "z",  # quarter-chord point at mid-span [m]
    "incidence",  # nose up against the body axis [rad]
    "tilt",  # rotation about x: 0 flat, +π/2 a fin; dihedral: left half +, right half − (span along 0, cos, sin) [rad]
    "zero_lift_angle",  # of the section [rad]
    "max_lift",  # section lift coefficient at the stall
    "section_drag",  # zero-lift drag coefficient on area
    "control",  # control channel it listens to, or NO_CHANNEL
    "control_share",  # control chord over chord
    "control_travel",  # [rad] each way
    "control_sign",  # +1 or −1: sense in which it follows the channel (aileron: left +1, right −1, so + rolls right)
    "end_plates",  # 1 if both tips are closed (by fins or discs)
)  # fmt: skip

BODY = _dtype(
    "length", "width", "height",  # [m]
    "x", "y", "z",  # centre of the body [m]
    "drag_area",  # drag over dynamic pressure, along the body [m²]
    "side_area",  # cross-flow drag area seen from the side [m²]
    "top_area",  # cross-flow drag area seen from above [m²]
)  # fmt: skip

THRUSTER = _dtype(
    "kind",  # PROPELLER or FAN
    "x", "y", "z",  # centre of the disc [m]
    "tilt",  # thrust line: positive pulls the nose up (axis turned upwards) [rad]
    "toe",  # positive turns the axis to the right [rad]
    "diameter",  # disc [m]
    "pitch",  # propeller pitch [m]
    "family",  # NARROW, BROAD_SLOW or ENGINE_TYPE
    "blades",
    "exit_area",  # fan exit [m²]
    "installation",  # fan thrust factor of inlet and duct, 0…1; 0: take the Unknown's median
    "thrust_scale", "power_scale",  # measured corrections, 1 if none
    "spin_inertia",  # propeller and bell [kg m²]
    "turn_sense",  # +1 clockwise seen from behind
    "motor_speed_constant",  # [rad/s/V]
    "motor_resistance",  # catalogue winding resistance [Ω]
    "motor_no_load_current",  # [A]
    "motor_no_load_voltage",  # at which it was measured [V]
    "motor_mass",  # [kg]
    "motor_current_limit",  # [A], 0: unknown
    "controller_resistance",  # [Ω]
    "controller_current_limit",  # [A], 0: unknown
    "battery",  # row of the battery that feeds it
    "gear_ratio",  # motor turns per propeller turn
    "working",  # 1 in working order, 0 stopped
)  # fmt: skip

DRIVE = _dtype(
    "motor_speed_constant", "motor_resistance", "motor_no_load_current", "motor_no_load_voltage", "motor_mass",
    "motor_current_limit", "motor_inertia",  # as for thrusters; inertia [kg m²]
    "controller_resistance", "controller_current_limit",
    "ratio",  # motor turns per rotor turn
    "efficiency",  # belt or gear, share passed on
    "idle_torque",  # belt and gear drag at the rotor shaft [N m]
    "battery",  # row of the battery
    "governed",  # 1: holds a commanded rotor speed; 0: follows its duty
    "speed",  # commanded rotor speed at full command [rad/s]
    "rotors",  # how many rotors this one drive turns
)  # fmt: skip

BATTERY = _dtype(
    "cells",  # in series
    "parallel",
    "capacity",  # of the whole pack [A s]
    "resistance_capacity",  # cell resistance × capacity [Ω A h]; pack resistance follows
    "wiring_resistance",  # leads and connectors [Ω]
    "current_limit",  # continuous, from the label [A], 0: unknown
    "charge",  # state of charge 0…1
    "temperature",  # [K]
    "usable",  # share of capacity planned for use
    "steady_power",  # receiver, servos and other constant loads [W]
    "mass",  # [kg]
)  # fmt: skip

WHEEL = _dtype("x", "y", "z", "radius")  # hub position and radius [m]

MASS = _dtype(
    "mass",  # [kg]
    "x", "y", "z",  # its centre of mass [m]
    "ixx", "iyy", "izz", "ixy", "ixz", "iyz",  # about its own centre of mass, body axes [kg m²]; ixy = Σ m x y
    "spread",  # one standard deviation of the mass, relative
    "rotor",  # row of the rotor it turns with, or NONE
    "weighed",  # 1 if the maker weighed it
)  # fmt: skip

VEHICLE = _dtype(
    "mass",  # [kg]
    "x", "y", "z",  # centre of gravity [m]
    "ixx", "iyy", "izz", "ixy", "ixz", "iyz",  # about the centre of gravity, rotors as if locked [kg m²]
    "extra_mass",  # ballast at the centre of gravity, for weight-limit searches [kg]
)  # fmt: skip

AIR = _dtype(
    "density",  # [kg/m³]
    "viscosity",  # [Pa s]
    "gravity",  # [m/s²]
    "wind_north", "wind_east", "wind_down",  # [m/s]
    "ground_relief",  # share of the induced drag that the ground takes off, 0 in free air [1]
    "ground_slowing",  # air held back per circulation round the wing, 0 in free air [1/m]
    "ground_nearness",  # one over the depth of the wing's image below it, 0 in free air [1/m]
)  # fmt: skip
