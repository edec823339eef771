"""An aeroplane built larger or smaller under stated rules: which fields of its file change, and by what power of size.

Rules of building and similarity, no flight: what really happens is for the studies to find out.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rotorwright.base.errors import InputError
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.catalogue.strengths import TubeSize, tube_sizes
from rotorwright.design.edit import edit_text
from rotorwright.design.fields import dimension_of
from rotorwright.design.mass_rows import total_mass
from rotorwright.design.parts.power import Battery, Motor
from rotorwright.design.parts.site import PART_KINDS
from rotorwright.design.units import Propeller, Tube, plain_number

BUILDS = ("same", "grown", "stock")
POWERS = ("grown", "same", "chosen")
SPEEDS = ("same", "froude")
STAYS = ("receiver", "radio", "telemetry", "logger", "gps", "camera", "payload")
"""Loose items whose name holds one of these words weigh the same at any size."""
FREE_POWER = {"mass": 0, "length": 1, "area": 2, "inertia": 5, "torque": 3, "torque per speed": 3,
              "force per length": 1, "force": 2}  # fmt: skip
"""Power of size by dimension where no rule says otherwise; masses and inertias follow the build."""
MOTOR_MASS = 3.0 / 3.5
"""Mass of outrunners goes with this power of torque."""
WINDING = 5.0 / 6.0
"""Torque per root watt of outrunners goes with this power of mass."""
SHOP_CELLS = (1, 2, 3, 4, 5, 6, 7, 8, 10, 12, 14, 16)
INCH = 0.0254


@dataclass(frozen=True)
class GrowthRules:
    """How an aeroplane is built at another size."""

    build: str = "same"
    """``same``: sheets as thick as they are, tubes wider with the same wall; ``grown``: everything thicker with size;
    ``stock``: sheets as they are, each tube the next in the table that is stiff enough."""
    power: str = "grown"
    """``grown``: propellers, motors and packs follow size; ``same``: they stay; ``chosen``: by the choice of parts."""
    speed: str = ""
    """Airspeed that rotors and propellers are made to suit: ``same``, ``froude`` (with the root of size), or empty for
    the one that the build asks for."""

    @property
    def suits(self) -> str:
        """Return the speed rule; without one, the airspeed at which a build of this kind can carry its own mass."""
        return self.speed or ("froude" if self.build == "grown" else "same")

    @property
    def mass_power(self) -> float:
        """Return the power of size that the mass of structure goes with."""
        return 3.0 if self.build == "grown" else 2.0

    @property
    def speed_power(self) -> float:
        """Return the power of size of the airspeed that rotors and propellers are made for."""
        return 0.5 if self.suits == "froude" else 0.0

    def checked(self) -> GrowthRules:
        """Return these rules.

        Raises
        ------
        InputError
            If a word is none of the rules.
        """
        for field, words in (("build", BUILDS), ("power", POWERS), ("speed", ("", *SPEEDS))):
            word = getattr(self, field)
            if word not in words:
                allowed = ", ".join(each for each in words if each)
                raise InputError("is not a rule known here", field=field, found=f'"{word}"', allowed=allowed)
        return self


class _Growth:
    """Collects the changes that make an aeroplane ``size`` times as long."""

    def __init__(self, aeroplane: Aeroplane, size: float, rules: GrowthRules) -> None:
        self.aeroplane, self.size, self.rules = aeroplane, size, rules
        self.changes: dict[str, Any] = {}
        self.remarks: list[str] = []
        mass, speed = rules.mass_power, rules.speed_power
        self.structure = size**mass
        self.thickness = size if rules.build == "grown" else 1.0
        self.turning = size ** (speed - 1.0)  # of rotors and propellers
        self.power = size ** (mass + speed)
        packs = aeroplane.tables.battery
        self.cells = {name: self._cells(part) for name, part in packs.items()}

    def _cells(self, battery: Battery) -> int:
        if self.rules.power == "same":
            return int(battery.cells.series)
        wished = battery.cells.series * self.size
        return min(SHOP_CELLS, key=lambda cells: abs(math.log(cells / wished)))

    def run(self) -> None:
        """Walk every part that the file tells."""
        for kind in PART_KINDS:
            for name, told in self.aeroplane.told.get(kind, {}).items():
                self._walk(f"{kind}.{name}", told)
        for name, rotor in self.aeroplane.tables.rotor.items():
            self._rotor(f"rotor.{name}", rotor)
        for name, strut in self.aeroplane.tables.strut.items():
            self._strut(f"strut.{name}", strut)
        for kind in ("surface", "body"):
            for name, part in getattr(self.aeroplane.tables, kind).items():
                if part.thickness is not None and part.mass is None:
                    self.changes[f"{kind}.{name}.thickness"] = part.thickness * self.thickness
        for name, item in self.aeroplane.tables.item.items():
            if any(word in name.casefold() for word in STAYS):
                self.changes.pop(f"item.{name}.mass", None)
            elif item.mass:
                self.changes[f"item.{name}.mass"] = item.mass * self.structure
        if self.rules.power == "same":
            self._keep_power()
        else:
            self._grow_power()
        self._weighed()

    def _walk(self, path: str, told: Mapping[str, Any]) -> None:
        for field, value in told.items():
            whole = f"{path}.{field}"
            if isinstance(value, Mapping):
                self._walk(whole, value)
            elif isinstance(value, list):
                if dimension_of(f"{whole}.0") == "length":
                    self.changes[whole] = tuple(each * self.size for each in self.aeroplane.value(whole))
            else:
                factor = self._factor(whole, field, dimension_of(whole))
                if factor is not None:
                    self.changes[whole] = self.aeroplane.value(whole) * factor

    def _factor(self, path: str, field: str, dimension: str | None) -> float | None:
        if path.startswith("material."):
            return self.thickness if field in ("thickness", "areal_mass") and self.thickness != 1.0 else None
        if path.startswith(("thruster.", "drive.", "battery.")) and not field.startswith("belt_"):
            return None  # by the rule of power
        if field in ("thickness", "areal_mass"):
            return self.thickness
        if dimension not in FREE_POWER:
            return None
        if dimension == "mass":
            return self.structure
        if dimension == "inertia":
            return self.structure * self.size**2
        return float(self.size ** FREE_POWER[dimension])

    def _rotor(self, path: str, rotor: Any) -> None:
        if rotor.skin.thickness is not None:
            self.changes[f"{path}.skin.thickness"] = rotor.skin.thickness * self.thickness
        if rotor.discs is not None and rotor.discs.thickness is not None:
            self.changes[f"{path}.discs.thickness"] = rotor.discs.thickness * self.thickness
        tube = self._tube(rotor.shaft.tube, path)
        if tube.outer >= rotor.diameter * self.size:
            return
        self.changes[f"{path}.shaft.tube"] = _tube_text(tube)
        told = self.aeroplane.told["rotor"][path.split(".")[1]].get("shaft", {})
        if isinstance(told, Mapping) and "bearings" in told and abs(tube.outer - rotor.shaft.tube.outer) > 1e-6:
            self.changes[f"{path}.shaft.bearings"] = None  # the smallest that takes the tube is filled in

    def _strut(self, path: str, strut: Any) -> None:
        if strut.tube is None:
            if strut.mass is not None:
                self.changes[f"{path}.mass"] = strut.mass * self.size**3
            return
        tube = self._tube(strut.tube, path)
        self.changes[f"{path}.tube"] = _tube_text(tube)
        if f"{path}.mass" in self.changes:
            walls = (tube.outer**2 - tube.inner**2) / (strut.tube.outer**2 - strut.tube.inner**2)
            self.changes[f"{path}.mass"] = strut.mass * self.size * walls

    def _tube(self, tube: Tube, path: str) -> Tube:
        """Return a tube at the new size."""
        if self.rules.build == "grown":
            return Tube(tube.outer * self.size, tube.inner * self.size, tube.words)
        outer = tube.outer * self.size
        if self.rules.build == "same":
            wall = 0.5 * (tube.outer - tube.inner)
            return Tube(outer, max(outer - 2.0 * wall, 0.2 * outer), tube.words)
        found = next_tube(tube, self.size)
        if found is None:
            self.remarks.append(f"{path}: no tube of the table is stiff enough; the widest was taken")
            found = tube_sizes()[-1]
        return Tube(found.outer, found.inner, tube.words)

    def _keep_power(self) -> None:
        """Leave motors, packs and propellers; gears change so that the drives hold the new rotor speed."""
        for name, drive in self.aeroplane.tables.drive.items():
            self.changes[f"drive.{name}.ratio"] = min(max(drive.ratio / self.turning, 0.05), 100.0)
            self._drive(f"drive.{name}", drive)
        self._places()

    def _places(self) -> None:
        for kind in ("thruster", "drive", "battery"):
            for name, told in self.aeroplane.told.get(kind, {}).items():
                if "position" in told:
                    place = self.aeroplane.value(f"{kind}.{name}.position")
                    self.changes[f"{kind}.{name}.position"] = tuple(each * self.size for each in place)

    def _drive(self, path: str, drive: Any) -> None:
        if drive.speed is not None:
            self.changes[f"{path}.speed"] = drive.speed * self.turning
        told = self.aeroplane.told["drive"][path.split(".")[1]]
        if "mass" in told:
            self.changes[f"{path}.mass"] = drive.mass * self.structure
        if "idle_torque" in told:
            self.changes[f"{path}.idle_torque"] = drive.idle_torque * self.size**3

    def _grow_power(self) -> None:
        packs = self.aeroplane.tables.battery
        for name, thruster in self.aeroplane.tables.thruster.items():
            path = f"thruster.{name}"
            pack = str(thruster.battery)
            if thruster.propeller is not None:
                self.changes[f"{path}.propeller"] = propeller_text(thruster.propeller, self.size)
            told = self.aeroplane.told["thruster"][name]
            for field, power in (("diameter", 1), ("exit_area", 2), ("propeller_mass", 3)):
                if field in told:
                    self.changes[f"{path}.{field}"] = getattr(thruster, field) * self.size**power
            for field in ("bench", "blade"):
                if field in told:
                    self.changes[f"{path}.{field}"] = None
                    self.remarks.append(f"{path}.{field} was struck out: it belongs to the parts of the old size")
            self._motor(path, thruster, self._more_cells(pack))
        for name, drive in self.aeroplane.tables.drive.items():
            self._drive(f"drive.{name}", drive)
            self._motor(f"drive.{name}", drive, self._more_cells(str(drive.battery)))
        for name, battery in packs.items():
            self._battery(f"battery.{name}", battery, self._more_cells(name))
        self._places()

    def _more_cells(self, pack: str) -> float:
        if pack not in self.cells:
            return 1.0
        return self.cells[pack] / float(self.aeroplane.tables.battery[pack].cells.series)

    def _motor(self, path: str, part: Any, cells: float) -> None:
        kind, name = path.split(".")
        whole = self.aeroplane.told[kind][name]
        motor: Motor = part.motor
        mass = (self.power / self.turning) ** MOTOR_MASS
        constant = self.turning / cells
        current = self.power / cells
        growths = {
            "mass": mass,
            "speed_constant": constant,
            "resistance": mass ** (-2.0 * WINDING) / constant**2,
            "no_load_current": mass * constant,
            "current_limit": current,
            "inertia": mass ** (5.0 / 3.0),
        }
        for field, growth in growths.items():
            if field in whole["motor"]:
                self.changes[f"{path}.motor.{field}"] = getattr(motor, field) * growth
        for field, growth in {"current_limit": current, "mass": current, "resistance": 1.0 / current}.items():
            if field in whole.get("controller", {}):
                self.changes[f"{path}.controller.{field}"] = getattr(part.controller, field) * growth

    def _battery(self, path: str, battery: Battery, cells: float) -> None:
        told = self.aeroplane.told["battery"][path.split(".")[1]]
        parallel = f"{battery.cells.parallel}P" if battery.cells.parallel > 1 else ""
        self.changes[f"{path}.cells"] = f"{self.cells[path.split('.')[1]]}S{parallel}"
        charge = self.structure / cells
        growths = {"capacity": charge, "mass": self.structure, "current_limit": charge, "resistance": cells / charge}
        for field, growth in growths.items():
            if field in told:
                self.changes[f"{path}.{field}"] = getattr(battery, field) * growth

    def _weighed(self) -> None:
        """Scale a weighed total as the sum of the parts goes."""
        weighed = self.aeroplane.tables.weighed
        if weighed is None:
            return
        bare = self.aeroplane.changed({"weighed": None}).tables
        grown = self.aeroplane.changed({**self.changes, "weighed": None}).tables
        self.changes["weighed.mass"] = weighed.mass * total_mass(grown) / total_mass(bare)
        if weighed.balance is not None:
            self.changes["weighed.balance"] = weighed.balance * self.size


def next_tube(tube: Tube, size: float) -> TubeSize | None:
    """Return the lightest tube of the table whose section is stiff enough at another size; None beyond the table.

    Parameters
    ----------
    tube : Tube
    size : float
        Length over the old length; the stiffness of the section is to grow with its fourth power.
    """
    wanted = 0.98 * (tube.outer**4 - tube.inner**4) * size**4
    return next((each for each in tube_sizes() if each.outer**4 - each.inner**4 >= wanted), None)


def propeller_text(propeller: Propeller, size: float) -> str:
    """Return a propeller's size at another size, in tenths of an inch."""
    diameter, pitch = (plain_number(round(length * size / INCH, 1), 4) for length in propeller[:2])
    return f"{diameter}x{pitch}{propeller.letters}"


def _tube_text(tube: Tube) -> str:
    outer, inner = (plain_number(round(length * 1000.0, 2), 5) for length in (tube.outer, tube.inner))
    return f"{tube.words} {outer}x{inner} mm".strip()


def growth(aeroplane: Aeroplane, size: float, rules: GrowthRules) -> tuple[dict[str, Any], tuple[str, ...]]:
    """Return the changes that make an aeroplane ``size`` times as long, and remarks on what could not follow.

    Parameters
    ----------
    aeroplane : Aeroplane
    size : float
        New length over old length.
    rules : GrowthRules
        With the power ``chosen`` motors and packs are first grown; the study then chooses.

    Returns
    -------
    changes : dict
        Dotted field → SI number, text, or None to strike it out (see `Aeroplane.changed`).
    remarks : tuple of str
    """
    work = _Growth(aeroplane, size, rules.checked())
    work.run()
    return work.changes, tuple(work.remarks)


def grown(aeroplane: Aeroplane, size: float, rules: GrowthRules) -> Aeroplane:
    """Return an aeroplane built ``size`` times as long.

    Raises
    ------
    InputProblems
        If a part of that size is beyond what an aircraft file may describe.
    """
    return aeroplane.changed(growth(aeroplane, size, rules)[0])


def grown_text(text: str, place: str, changes: Mapping[str, Any], size: float, rules: GrowthRules, more: str) -> str:
    """Return an aircraft file with the changes of a growth made, comments kept and changed lines marked.

    Parameters
    ----------
    text, place : str
        The old file and what it is called.
    changes : mapping
        From `growth`, and whatever else was chosen.
    size : float
    rules : GrowthRules
    more : str
        A sentence for the head of the file, such as the verdict.
    """
    fresh = edit_text(text, changes, place)
    marked = _marked(text.splitlines(), fresh.splitlines())
    told = f"thickness {rules.build}, power {rules.power}, rotor and propeller speed {rules.suits}"
    head = [
        f"# {plain_number(size, 4)} times the size of {place.replace(chr(92), '/').rsplit('/', 1)[-1]}: {told}.",
        f"# {more}",
        '# Lines marked "scaled" changed; other comments are those of the old file and may no longer fit.',
        "",
    ]
    return "\n".join(head + marked) + "\n"


def _marked(before: list[str], after: list[str]) -> list[str]:
    lines: list[str] = []
    for what, _, _, first, last in difflib.SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        for line in after[first:last]:
            if what == "equal" or "=" not in line.partition("#")[0]:
                lines.append(line)
            else:
                lines.append(f"{line} (scaled)" if "#" in line else f"{line}   # scaled")
    return lines
