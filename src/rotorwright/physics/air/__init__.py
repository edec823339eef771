"""Air: density, viscosity, humidity."""
