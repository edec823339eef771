"""JSON Schema of the aircraft file, for editors that complete and check while the maker types."""

from __future__ import annotations

from typing import Any

from rotorwright.design.parts.site import FORMAT, AircraftTables


def json_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of the aircraft file's tables.

    Notes
    -----
    Measures are texts with ``x-dimension``, ``x-unit`` (the SI unit they become), ``x-units`` (what may be written) and
    ``x-minimum``/``x-maximum`` (SI). The schema checks shape and words; units, limits and references are checked when
    the file is loaded.
    """
    schema = AircraftTables.model_json_schema()
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["title"] = "Rotorwright aircraft file"
    schema["x-format"] = FORMAT
    return schema
