"""The structure room: shafts and their critical speeds, balancing, strength, bearings, tolerances. SI in, SI out."""
