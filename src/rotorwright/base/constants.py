"""Physical constants, each with its source. SI throughout."""

GRAVITY = 9.80665
"""Standard gravity [m/s²]. Source: U.S. Standard Atmosphere 1976 (exact by convention)."""

SEA_LEVEL_DENSITY = 1.225
"""ISA sea-level air density [kg/m³]. Source: U.S. Standard Atmosphere 1976."""

SEA_LEVEL_VISCOSITY = 1.789e-5
"""ISA sea-level dynamic viscosity [Pa s]. Source: U.S. Standard Atmosphere 1976."""

RPM = 0.10471975511965977
"""One revolution per minute in rad/s (π/30). rpm lives only in files and faces."""
