"""Motors, controllers, batteries, propellers, fans."""
