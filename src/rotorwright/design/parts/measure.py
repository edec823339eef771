"""Fields with a unit: the annotation that lets a part hold plain SI floats yet read the maker's text."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler, GetJsonSchemaHandler, PlainValidator, Strict

from rotorwright.base.traced import Traced
from rotorwright.design.unit_table import DIMENSIONS
from rotorwright.design.units import (
    CELLS_ALLOWED,
    PROPELLER_ALLOWED,
    TUBE_ALLOWED,
    Cells,
    Propeller,
    Range,
    Tube,
    UnitProblem,
    read_cells,
    read_propeller,
    read_tube,
    reading,
    shorten,
)


class SI(float):
    """A number that is SI already (a study's change), in contrast to a bare number in a file, which is refused."""


class Part(BaseModel):
    """Base of every table of the aircraft file: frozen, no unknown fields."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True, defer_build=True)


@dataclass(frozen=True)
class Measure:
    """A field that takes a measure of one dimension, between two SI limits (both included)."""

    dimension: str
    low: float = -math.inf
    high: float = math.inf

    def read(self, value: Any) -> float:
        """Return the SI number of what stood in the file; raises UnitProblem if it is not such a measure."""
        kind = DIMENSIONS[self.dimension]
        try:
            if isinstance(value, SI):
                number = float(value)
            elif isinstance(value, Traced):
                number = value
            elif isinstance(value, str):
                number = reading(value, self.dimension).value
            elif isinstance(value, int | float) and not isinstance(value, bool):
                if not kind.bare:
                    hint = f'Write "{value} {kind.usual}", or the unit you mean'
                    raise UnitProblem("needs a unit", shorten(value), "", hint)
                number = float(value)
            else:
                raise UnitProblem(f"is not {kind.article}", shorten(value), "")
            if not math.isfinite(number):
                raise UnitProblem("is not a finite number", shorten(value), "")
            if not self.low * (1 - 1e-12) <= number <= self.high * (1 + 1e-12):
                raise UnitProblem("is outside what can be checked here", shorten(value), "")
        except UnitProblem as problem:
            allowed = Range(self.dimension, self.low, self.high).words()
            raise UnitProblem(problem.message, problem.found, allowed, problem.hint) from None
        return number

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> Any:
        return PlainValidator(self.read).__get_pydantic_core_schema__(source, handler)

    def __get_pydantic_json_schema__(self, schema: Any, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        kind = DIMENSIONS[self.dimension]
        text: dict[str, Any] = {
            "type": "string",
            "x-dimension": kind.name,
            "x-unit": kind.si,
            "x-units": list(kind.units),
            "description": Range(self.dimension, self.low, self.high).words(),
        }
        if math.isfinite(self.low):
            text["x-minimum"] = self.low
        if math.isfinite(self.high):
            text["x-maximum"] = self.high
        if kind.bare:
            text["type"] = ["number", "string"]
        return text


@dataclass(frozen=True)
class ShortForm:
    """A field written in one of the trade's short forms: cells, a propeller size, a tube size."""

    reader: Callable[[str], Any]
    shape: type
    allowed: str
    pattern_example: str

    def read(self, value: Any) -> Any:
        """Return the short form as a tuple of SI numbers; raises UnitProblem if it is not one."""
        try:
            if isinstance(value, self.shape):
                return value
            if not isinstance(value, str):
                raise UnitProblem("must be text in quotes", shorten(value), self.allowed)
            return self.reader(value)
        except UnitProblem as problem:
            raise UnitProblem(problem.message, problem.found, self.allowed, problem.hint) from None

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> Any:
        return PlainValidator(self.read).__get_pydantic_core_schema__(source, handler)

    def __get_pydantic_json_schema__(self, schema: Any, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {"type": "string", "description": self.allowed, "x-short-form": self.pattern_example}


CellsField = Annotated[Cells, ShortForm(read_cells, Cells, CELLS_ALLOWED, "3S")]
PropellerField = Annotated[Propeller, ShortForm(read_propeller, Propeller, PROPELLER_ALLOWED, "9x5")]
TubeField = Annotated[Tube, ShortForm(read_tube, Tube, TUBE_ALLOWED, "carbon 8x6 mm")]

Whole = Annotated[int, Strict()]
Truth = Annotated[bool, Strict()]
Coordinate = Annotated[float, Measure("length", -20.0, 20.0)]
Position = tuple[Coordinate, Coordinate, Coordinate]
Size = Annotated[float, Measure("length", 0.001, 20.0)]
Thickness = Annotated[float, Measure("length", 0.00001, 0.2)]
Mass = Annotated[float, Measure("mass", 0.00001, 150.0)]
Share = Annotated[float, Measure("share", 0.0, 1.0)]
Tilt = Annotated[float, Measure("angle", -math.pi / 2, math.pi / 2)]
ArealMass = Annotated[float, Measure("areal mass", 0.001, 20.0)]
Factor = Annotated[float, Measure("number", 0.1, 10.0)]
Resistance = Annotated[float, Measure("resistance", 0.0, 100.0)]
Current = Annotated[float, Measure("current", 0.0, 2000.0)]
