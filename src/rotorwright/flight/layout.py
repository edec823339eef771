"""Where things stand in the flat arrays that the equation of motion reads and writes.

State:    u v w | p q r | quaternion (4) | north east down | rotor speeds | thruster shaft speeds
Controls: elevator rudder aileron flap (−1…1 of travel) | throttle per thruster | duty per drive
          (a throttle or duty below `OFF_BELOW` means switched off: the motor coasts without current)
Loads:    fx fy fz | mx my mz | surface drag | body drag | then a block per rotor, thruster and battery
"""

from rotorwright.base.jit import jit
from rotorwright.base.records import CONTROL_CHANNELS

VELOCITY, RATES, QUATERNION, POSITION, ROTOR_SPEEDS = 0, 3, 6, 10, 13

FORCES, MOMENTS, SURFACE_DRAG, BODY_DRAG, ROTOR_BLOCK = 0, 3, 6, 7, 8

# one rotor's block
LIFT, PROFILE_DRAG, END_DRAG, DISC_DRAG, AERO_TORQUE, FRICTION, DRIVE_TORQUE, LOCAL_SPEED = 0, 1, 2, 3, 4, 5, 6, 7
DRIVE_CURRENT, DRIVE_BUS_CURRENT, BELT_TORQUE, WASH_SHARE, SIDE_FORCE = 8, 9, 10, 11, 12
ROTOR_WIDTH = 13

# one thruster's block
THRUST, SHAFT_TORQUE, MOTOR_TORQUE, WINDING_CURRENT, BUS_CURRENT, AXIAL_SPEED = 0, 1, 2, 3, 4, 5
WASH_STREAM, WASH_ADDED, WASH_FLOW, WASH_ALONG, WASH_DOWN = 6, 7, 8, 9, 10
"""Where its wash starts: the speeds of `disc_flow`, and the direction it pushes a part (body x and z)."""
THRUSTER_WIDTH = 11

# one battery's block
VOLTAGE, CURRENT = 0, 1
BATTERY_WIDTH = 2

OFF_BELOW = -0.5
OFF = -1.0


@jit
def state_size(rotors: int, thrusters: int) -> int:
    """Return the length of a state."""
    return ROTOR_SPEEDS + rotors + thrusters


@jit
def controls_size(thrusters: int, drives: int) -> int:
    """Return the length of a control vector."""
    return CONTROL_CHANNELS + thrusters + drives


@jit
def rotor_block(rotor: int) -> int:
    """Return where a rotor's block starts in the loads."""
    return ROTOR_BLOCK + ROTOR_WIDTH * rotor


@jit
def thruster_block(rotors: int, thruster: int) -> int:
    """Return where a thruster's block starts in the loads."""
    return ROTOR_BLOCK + ROTOR_WIDTH * rotors + THRUSTER_WIDTH * thruster


@jit
def battery_block(rotors: int, thrusters: int, battery: int) -> int:
    """Return where a battery's block starts in the loads."""
    return ROTOR_BLOCK + ROTOR_WIDTH * rotors + THRUSTER_WIDTH * thrusters + BATTERY_WIDTH * battery


@jit
def loads_size(rotors: int, thrusters: int, batteries: int) -> int:
    """Return the length of a loads array."""
    return ROTOR_BLOCK + ROTOR_WIDTH * rotors + THRUSTER_WIDTH * thrusters + BATTERY_WIDTH * batteries
