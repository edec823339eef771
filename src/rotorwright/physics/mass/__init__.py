"""Solids and mass properties."""
