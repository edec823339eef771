"""Read, check and run the files of published figures under ``tests/check_values``."""

from __future__ import annotations

import importlib
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent / "check_values"
HELD_AS = ("read-primary", "read-secondary", "digitised", "memory")
KINDS = ("experiment", "calculation", "closed form", "standard", "common practice")
STATUSES = ("use", "miss", "skip")
FILE_KEYS = {"source", "key", "note", "row"}
ROW_KEYS = {
    "id": str,
    "locator": str,
    "held_as": str,
    "kind": str,
    "function": str,
    "inputs": dict,
    "quantity": str,
    "expected": float,
    "unit": str,
    "tolerance_abs": float,
    "tolerance_rel": float,
    "tolerance_why": str,
    "mapping": str,
    "status": str,
    "reason": str,
}
OPTIONAL_KEYS = {"tolerance_abs", "tolerance_rel", "mapping", "reason"}


@dataclass(frozen=True)
class Row:
    """One published figure and the call of ours that should meet it."""

    room: str
    key: str
    source: str
    note: str
    id: str
    locator: str
    held_as: str
    kind: str
    function: str
    inputs: Mapping[str, Any]
    quantity: str
    expected: float
    unit: str
    tolerance_why: str
    status: str
    tolerance_abs: float = 0.0
    tolerance_rel: float = 0.0
    mapping: str = ""
    reason: str = ""

    @property
    def gates(self) -> bool:
        """Whether a disagreement fails the test-suite."""
        return self.status == "use" and self.held_as != "memory"

    @property
    def is_outside_evidence(self) -> bool:
        """Whether the row counts as a figure printed outside this project."""
        return self.gates and self.kind in ("experiment", "calculation", "standard")

    @property
    def tolerance(self) -> float:
        """The larger of both tolerances, as a number."""
        return max(self.tolerance_abs, self.tolerance_rel * abs(self.expected))


@dataclass(frozen=True)
class Outcome:
    """What ours came to: the number, and the band if the result carries one."""

    ours: float
    low: float | None
    high: float | None
    support: str

    def meets(self, row: Row) -> bool:
        """Return whether ours lies within the row's tolerance."""
        return abs(self.ours - row.expected) <= row.tolerance


class CheckValueError(ValueError):
    """A check-value file is not in the agreed form."""


def files() -> list[Path]:
    """Return every check-value file, rooms and names in order."""
    return sorted(FOLDER.rglob("*.toml"))


def read_file(path: Path) -> list[Row]:
    """Return the rows of one file, strictly checked."""
    place = f"{path.parent.name}/{path.name}"
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    if set(data) != FILE_KEYS:
        raise CheckValueError(f"{place}: top-level keys must be {sorted(FILE_KEYS)}, found {sorted(data)}")
    if data["key"] != path.stem:
        raise CheckValueError(f"{place}: key {data['key']!r} must equal the file's name")
    if not data["row"]:
        raise CheckValueError(f"{place}: holds no row")
    return [_read_row(place, path.parent.name, data, row) for row in data["row"]]


def _read_row(place: str, room: str, data: Mapping[str, Any], row: Mapping[str, Any]) -> Row:
    where = f"{place}: row {row.get('id', '?')}"
    unknown = set(row) - set(ROW_KEYS)
    missing = set(ROW_KEYS) - OPTIONAL_KEYS - set(row)
    if unknown or missing:
        raise CheckValueError(f"{where}: unknown keys {sorted(unknown)}, missing keys {sorted(missing)}")
    for name, kind in ROW_KEYS.items():
        value = row.get(name, kind())
        allowed = (int, float) if kind is float else kind
        if not isinstance(value, allowed) or isinstance(value, bool):
            raise CheckValueError(f"{where}: {name} must be {kind.__name__}, found {value!r}")
    for name, words in (("held_as", HELD_AS), ("kind", KINDS), ("status", STATUSES)):
        if row[name] not in words:
            raise CheckValueError(f"{where}: {name} must be one of {words}, found {row[name]!r}")
    if not math.isfinite(row["expected"]):
        raise CheckValueError(f"{where}: expected must be finite")
    tolerances = [float(row.get(name, 0.0)) for name in ("tolerance_abs", "tolerance_rel")]
    if min(tolerances) < 0.0 or not max(tolerances) > 0.0:
        raise CheckValueError(f"{where}: needs a positive tolerance_abs or tolerance_rel")
    if row["status"] != "use" and not row.get("reason"):
        raise CheckValueError(f"{where}: a {row['status']} needs a reason")
    if not row["tolerance_why"] or not row["locator"]:
        raise CheckValueError(f"{where}: tolerance_why and locator must say something")
    fields = {name: row[name] for name in ROW_KEYS if name in row}
    for name in ("expected", "tolerance_abs", "tolerance_rel"):
        fields[name] = float(row.get(name, 0.0))
    return Row(room=room, key=data["key"], source=data["source"], note=data["note"], **fields)


@lru_cache(maxsize=1)
def rows() -> tuple[Row, ...]:
    """Return every row of every file; ids are unique over all of them."""
    table: list[Row] = []
    seen: dict[str, str] = {}
    for path in files():
        for row in read_file(path):
            if row.id in seen:
                raise CheckValueError(f"{row.key}: id {row.id} stands in {seen[row.id]} too")
            seen[row.id] = row.key
            table.append(row)
    return tuple(table)


def find(dotted: str) -> Any:
    """Return the object a dotted name stands for."""
    parts = dotted.split(".")
    for split in range(len(parts) - 1, 0, -1):
        try:
            found: Any = importlib.import_module(".".join(parts[:split]))
        except ModuleNotFoundError:
            continue
        for name in parts[split:]:
            found = getattr(found, name)
        return found
    raise ModuleNotFoundError(dotted)


def pick(result: Any, quantity: str) -> Any:
    """Return the part of a result that ``quantity`` names: attributes, keys or whole-number places, dot between."""
    for name in quantity.split(".") if quantity else ():
        if name.lstrip("-").isdigit():
            result = result[int(name)]
        elif isinstance(result, Mapping):
            result = result[name]
        else:
            result = getattr(result, name)
    return result


def outcome(row: Row) -> Outcome:
    """Run the row's call and return our number, with its band if the result carries one."""
    result = pick(_call_once(row), row.quantity)
    if hasattr(result, "nominal") and hasattr(result, "low"):
        ours = math.nan if result.nominal is None else float(result.nominal)
        return Outcome(ours, result.low, result.high, getattr(result, "support", ""))
    return Outcome(float(result), None, None, "")


_results: dict[str, Any] = {}


def _call_once(row: Row) -> Any:
    """Run one call per set of inputs: several rows often read different quantities of the same result."""
    name = row.function + repr(sorted(row.inputs.items()))
    if name not in _results:
        _results[name] = find(row.function)(**row.inputs)
    return _results[name]
