"""The aircraft file: parts, quantities with units, load, edit, save. Knows no physics."""
