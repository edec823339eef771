"""The JSON document that every command prints with ``--json``: SI units, one schema for all answers."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from rotorwright import __version__
from rotorwright.base.errors import Problem
from rotorwright.base.quantity import Quantity

SCHEMA = 1
"""Number of the document's schema; it grows when a field changes its meaning or goes away."""
SCHEMA_FILE = Path(__file__).parent / "schemas" / "answer-1.json"


def document(
    *,
    quantities: Mapping[str, Quantity],
    aircraft: Mapping[str, Any] | None = None,
    conditions: Mapping[str, Any] | None = None,
    verdict: Mapping[str, Any] | None = None,
    warnings: Sequence[str] = (),
    **more: Any,
) -> dict[str, Any]:
    """Return an answer as plain JSON-ready data."""
    return {
        "rotorwright": __version__,
        "schema": SCHEMA,
        "aircraft": dict(aircraft) if aircraft else None,
        "conditions": dict(conditions or {}),
        "quantities": {name: quantity.as_dict() for name, quantity in quantities.items()},
        "verdict": dict(verdict) if verdict else None,
        "warnings": list(warnings),
        **more,
    }


def failure_document(code: int, problems: Sequence[Problem], message: str = "") -> dict[str, Any]:
    """Return what ``--json`` prints when there is no answer: the exit code and every problem as data.

    Parameters
    ----------
    code : int
        The exit code.
    problems : sequence of Problem
        Everything wrong with the input; empty for a fault of the program.
    message : str
        What happened, if it is not told by the problems.
    """
    told = [{**asdict(problem), "sentence": problem.sentence()} for problem in problems]
    text = message or "; ".join(problem.sentence() for problem in problems)
    return {"rotorwright": __version__, "schema": SCHEMA, "error": {"code": code, "message": text, "problems": told}}


def as_json(answer: Mapping[str, Any]) -> str:
    """Return the document as text; a number that does not exist is null, never NaN."""
    return json.dumps(_plain(answer), indent=2, ensure_ascii=False, allow_nan=False)


def _plain(thing: Any) -> Any:
    if isinstance(thing, Mapping):
        return {str(key): _plain(value) for key, value in thing.items()}
    if isinstance(thing, list | tuple):
        return [_plain(value) for value in thing]
    if isinstance(thing, Quantity):
        return _plain(thing.as_dict())
    if isinstance(thing, bool) or thing is None or isinstance(thing, str | int):
        return thing
    if hasattr(thing, "tolist"):  # numpy arrays and numbers
        return _plain(thing.tolist())
    if isinstance(thing, float):
        return thing if math.isfinite(thing) else None
    raise TypeError(f"{type(thing).__name__} has no place in a JSON answer")
