"""Words that a brief may be told in; apart, so that they can be checked before anything heavy is loaded."""

from __future__ import annotations

LAUNCHES = ("hand", "wheels", "bungee")
SURFACES = ("hard", "short grass", "long grass", "sand", "snow", "water")
