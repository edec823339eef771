"""Spinning rotors: lift, drag, torque, start, freewheel."""
