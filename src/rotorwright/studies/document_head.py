"""The head that the JSON document of every study begins with."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import rotorwright
from rotorwright.design.aeroplane import Aeroplane

SCHEMA = 1


def head(aeroplane: Aeroplane, conditions: Mapping[str, Any], schema: int = SCHEMA) -> dict[str, Any]:
    """Return version, schema, aircraft and conditions of an answer."""
    return {
        "schema": schema,
        "rotorwright": rotorwright.__version__,
        "aircraft": {
            "name": aeroplane.name,
            "file": aeroplane.source or None,
            "revision": aeroplane.revision,
        },
        "conditions": dict(conditions),
    }
