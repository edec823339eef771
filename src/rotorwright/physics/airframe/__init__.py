"""Surfaces, bodies, downwash, slipstream."""
