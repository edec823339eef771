"""Tasks that worker processes can import by name."""

import os
import time

import numpy as np


def slow_sines(pause, chunk):
    """Return which process worked and some numbers."""
    time.sleep(pause)
    first, last = chunk
    return os.getpid(), np.sin(np.arange(first, last) * 0.7)


def cluster_flier(draws):
    """Return made-up figures of flights that hang on their wind."""
    from rotorwright.studies.flight_outcomes import FIGURES

    return {name: draws.values["wind"] + place for place, name in enumerate(FIGURES)}
