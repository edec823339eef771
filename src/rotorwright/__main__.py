"""``python -m rotorwright`` is the command line."""

from rotorwright.faces.cli.main import run

run()
