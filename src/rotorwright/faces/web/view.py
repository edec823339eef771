"""The aeroplane in three dimensions on the page: real geometry, centre of gravity, thrust lines, turning rotors."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

import nicegui
from nicegui import ui

from rotorwright.design.aeroplane import Aeroplane
from rotorwright.sheets.shapes import Solid, solids

MODULES = {
    "nicegui-scene": str(Path(nicegui.__file__).parent / "elements" / "scene" / "dist"),
    "rotorwright-solids": str(Path(__file__).parent / "static" / "solids"),
}
"""Code of the browser that views in three dimensions share."""
PAPER_COLOURS = {"face": "#fbf6e8", "line": "#22252b", "chosen": "#e7b39f"}
BLUEPRINT_COLOURS = {"face": "#2a4664", "line": "#e9e4d4", "chosen": "#a85f3c"}
CENTRE = "#a8371f"
NEUTRAL = "#3c6e8f"


class AeroplaneView(ui.element, component="static/view.js", esm=MODULES):
    """A drawing that can be turned; touching a part calls back with its table's name."""

    def __init__(self, dark: bool) -> None:
        super().__init__()
        self._props["colours"] = BLUEPRINT_COLOURS if dark else PAPER_COLOURS
        self._props["solids"] = []
        self._props["marks"] = []
        self._props["arrows"] = []

    def show(self, aeroplane: Aeroplane, centre: tuple[float, float, float] | None, picked: str = "") -> None:
        """Draw an aeroplane.

        Parameters
        ----------
        aeroplane : Aeroplane
        centre : tuple of float or None
            Centre of gravity, file axes [m].
        picked : str
            The part drawn in another colour.
        """
        drawn = solids(aeroplane)
        big = _extent(drawn)
        self._props["solids"] = [asdict(each) for each in drawn]
        self._props["picked"] = picked
        self._props["marks"] = [] if centre is None else [{"place": centre, "size": 0.012 * big, "colour": CENTRE}]
        self._props["arrows"] = [
            {"place": each.place, "along": each.axis, "length": 0.22 * big, "colour": CENTRE}
            for each in drawn
            if each.part.startswith("thruster.")
        ]
        self._props["said"] = _told(aeroplane, drawn)
        self.update()


def _extent(drawn: tuple[Solid, ...]) -> float:
    """Return roughly the largest measure of an aeroplane [m]."""
    if not drawn:
        return 1.0
    return max(
        max(each.place[axis] for each in drawn) - min(each.place[axis] for each in drawn) + max(drawn[0].size)
        for axis in range(3)
    )


def _told(aeroplane: Aeroplane, drawn: tuple[Solid, ...]) -> str:
    kinds: dict[str, Any] = {}
    for each in drawn:
        kinds.setdefault(each.part.split(".")[0], set()).add(each.part)
    told = ", ".join(f"{len(parts)} {kind} table{'s' if len(parts) > 1 else ''}" for kind, parts in kinds.items())
    return f"{aeroplane.name} in three dimensions: {told}. The red ball is the centre of gravity."
