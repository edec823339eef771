"""Choose motor, propeller or fan and cells for an aeroplane: the needed thrust at the needed airspeed, with margins."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError, InputProblems
from rotorwright.base.quantity import Quantity
from rotorwright.base.records import BATTERY, BROAD_SLOW, FAN, THRUSTER
from rotorwright.base.unknown import nominal_factors
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.catalogue.reader import rule
from rotorwright.flight.batch import run_chunks
from rotorwright.physics.power.tables import power_tables
from rotorwright.studies import choose_parts_search as columns
from rotorwright.studies.balance_quantities import Reader, design_support
from rotorwright.studies.document_head import head
from rotorwright.studies.evaluate import Flown, fly
from rotorwright.studies.held_flight import level_or_held
from rotorwright.studies.part_classes import INCH, PartClasses, part_classes
from rotorwright.studies.sources import lift_sources, power_sources

Floats = npt.NDArray[np.float64]

SCHEMA = 1
SHOWN = 8
CLASS_SOURCES = ("budinger2020", "common-practice")
RPM_PER_VOLT = 30.0 / np.pi
ROOM = 1.25
"""Largest propeller or fan tried over the present one, unless told: there must be room for it."""


@dataclass(frozen=True)
class Need:
    """What the aeroplane asks of one thruster."""

    level_thrust: float
    reserve_thrust: float
    airspeed: float
    thrusters: int
    cells_held: int | None
    """Cells that must stay because a rotor drive hangs on the same pack."""


@dataclass(frozen=True)
class Choice:
    """One combination that fits, with its margins; every Unknown at its median unless a Quantity says otherwise."""

    words: str
    changes: tuple[tuple[str, Any], ...]
    """Fields of the aircraft file with their new values."""
    mass: float
    """Of all sets: motors, controllers, propellers [kg]."""
    level_power: float
    """From the packs in level flight, own mass counted [W]."""
    full_thrust: float
    """Of all thrusters at the level speed [N]."""
    thrust_margin: float
    """Over what level flight with the reserve needs [1]."""
    motor_use: float
    pack_use: float
    speed_use: float
    level_warmth: float
    full_warmth: float
    level_duty: float
    flown: Quantity | None
    """Thrust left after the reserve when the whole aeroplane is flown with it [N]."""
    on_front: bool
    """Whether nothing else that fits is both lighter and thriftier."""


@dataclass(frozen=True)
class Choices:
    """The answer of `choose_parts`."""

    aeroplane: Aeroplane
    need: Need
    combinations: int
    counts: Mapping[str, int]
    """How many combinations end where, in words."""
    choices: tuple[Choice, ...]
    """Those that fit and are told apart, thriftiest first."""
    cloud: tuple[tuple[float, float], ...]
    """Set mass [kg] and level power [W] of a sample of everything that fits, for the picture."""
    front: tuple[tuple[float, float], ...]
    now: tuple[float, float] | None
    """The aeroplane as it is."""
    notes: tuple[str, ...]

    @property
    def quantities(self) -> dict[str, Quantity]:
        """Return the figures of the first choice by name."""
        if not self.choices:
            return {}
        best = self.choices[0]

        def plain(number: float, unit: str) -> Quantity:
            return Quantity(number, None, None, number, unit, support="between data", sources=CLASS_SOURCES)

        found = {
            "choice_mass": plain(best.mass, "kg"),
            "choice_level_power": plain(best.level_power, "W"),
            "choice_full_thrust": plain(best.full_thrust, "N"),
        }
        if best.flown is not None:
            found["choice_reserve_thrust"] = best.flown
        return found

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            **head(
                self.aeroplane,
                {
                    "level_thrust": self.need.level_thrust,
                    "thrust_with_reserve": self.need.reserve_thrust,
                    "airspeed": self.need.airspeed,
                    "thrusters": self.need.thrusters,
                    "combinations": self.combinations,
                },
                SCHEMA,
            ),
            "quantities": {name: quantity.as_dict() for name, quantity in self.quantities.items()},
            "verdict": None,
            "counts": dict(self.counts),
            "choices": [
                {
                    "what": each.words,
                    "fields": dict(each.changes),
                    "mass": each.mass,
                    "level_power": each.level_power,
                    "full_thrust": each.full_thrust,
                    "thrust_margin": each.thrust_margin,
                    "motor_current_used": each.motor_use,
                    "pack_current_used": each.pack_use,
                    "shaft_speed_used": each.speed_use,
                    "winding_level": each.level_warmth,
                    "winding_after_burst": each.full_warmth,
                    "level_duty": each.level_duty,
                    "reserve_thrust": None if each.flown is None else each.flown.as_dict(),
                    "on_front": each.on_front,
                }
                for each in self.choices
            ],
            "front": [list(point) for point in self.front],
            "warnings": list(self.notes),
        }


class PartSearch:
    """Everything the compiled search needs, made once from an aeroplane and the classes to choose from."""

    def __init__(self, flown: Flown, classes: PartClasses, largest: float | None = None) -> None:
        level = level_or_held(flown)
        if level is None:
            raise InputError("no balance was found at any speed: ask `rotorwright balance` first")
        self.flown = flown
        rows = flown.rows
        thrusters = rows.thrusters
        self.largest = largest or ROOM * float(thrusters["diameter"].max())
        small = classes.propulsors["diameter"] <= self.largest + 1.0e-6
        self.classes = classes = PartClasses(classes.motors, classes.propulsors[small], classes.cells)
        count = len(thrusters)
        figures = flown.envelope.figures[0]
        thrust = float(level["thrust"][0])
        weight = float(flown.numbers.vehicle["mass"][0] * flown.numbers.air["gravity"][0])
        asked = float(figures["surplus"] - figures["reserve_surplus"])
        if not np.isfinite(asked):
            asked = weight * flown.aeroplane.reserve.climb / float(level["airspeed"][0])
        pack = rows.batteries[int(thrusters[0]["battery"])]
        shared = bool((rows.drives["battery"] == thrusters[0]["battery"]).any()) if len(rows.drives) else False
        self.cells = (int(pack["cells"]),) if shared else classes.cells
        self.need = Need(
            thrust / count, (thrust + asked) / count, float(level["airspeed"][0]), count,
            int(pack["cells"]) if shared else None,
        )  # fmt: skip
        self.old_set = self._old_set()
        mass = float(flown.numbers.vehicle["mass"][0])
        air = flown.numbers.air[0]
        feeding = 1.0 if bool((thrusters["battery"] == thrusters[0]["battery"]).all()) else 1.0 / count
        self.numbers = np.array(
            [
                self.need.level_thrust, self.need.reserve_thrust, self.need.airspeed, mass - self.old_set, mass, count,
                float(air["density"]), float(air["viscosity"]), float(flown.aeroplane.field.temperature),
                float(pack["steady_power"]) * feeding, 1.0,
            ]
        )  # fmt: skip
        if shared:
            driven = flown.envelope.steady[0]["spin_power"] + flown.envelope.steady[0]["drive_loss"]
            self.numbers[9] += float(np.nan_to_num(driven[1]))
        self.energy = float(pack["capacity"] * pack["cells"])
        self.packs = np.zeros(len(self.cells), dtype=BATTERY)
        for k, cells in enumerate(self.cells):
            self.packs[k] = pack
            self.packs[k]["cells"] = cells
            self.packs[k]["capacity"] = self.energy / cells
        limit = float(pack["current_limit"]) or 1.0e3
        self.currents = np.array([limit * float(pack["cells"]) / cells for cells in self.cells])
        self.controllers = self._controllers()
        self.row = np.zeros(1, dtype=THRUSTER)
        self.row["thrust_scale"] = self.row["power_scale"] = self.row["gear_ratio"] = self.row["working"] = 1.0
        self.row["motor_no_load_voltage"] = 10.0
        self.row["installation"] = 0.0

    def _old_set(self) -> float:
        """Return the mass of motors, controllers and propellers now [kg]."""
        total = 0.0
        for thruster in self.flown.aeroplane.tables.thruster.values():
            each = thruster.motor.mass + (thruster.controller.mass or 0.0) + (thruster.propeller_mass or 0.0)
            total += each * (2.0 if thruster.mirror else 1.0)
        return total

    def _controllers(self) -> Floats:
        headroom, volts = rule("controller", "headroom").value, rule("controller", "resistance_current").value
        per, least = rule("controller", "mass_per_current").value, rule("controller", "mass_least").value
        burst = self.classes.motors["burst_power"][:, None] / (3.7 * np.array(self.cells)[None, :])
        limit = headroom * burst
        return np.stack([volts / np.maximum(limit, 3.0), least + per * limit], axis=2)

    def run(self) -> Floats:
        """Judge every combination; shape (motors, propulsors, cells, 13)."""
        motors, propulsors = self.classes.motors, self.classes.propulsors
        found = np.zeros((len(motors), len(propulsors), len(self.cells), columns.COLUMNS))
        tables, factors = power_tables(), nominal_factors(1)[0]

        def chunk(first: int, last: int) -> None:
            columns.search(
                motors, propulsors, self.packs, self.currents, self.controllers, self.row.copy(), tables,
                self.numbers.copy(), factors, found, first, last,
            )  # fmt: skip

        run_chunks(chunk, len(motors))
        return found


def choose_parts(
    aeroplane: Aeroplane,
    *,
    parts: str | Path | None = None,
    largest: float | None = None,
    samples: int = 32,
    seed: int = 0,
    shown: int = SHOWN,
) -> Choices:
    """Rank motor, propeller or fan and cells for an aeroplane.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`.
    parts : str or Path, optional
        The maker's own motors and propellers (CSV), see `rotorwright.studies.part_classes.part_classes`.
    largest : float, optional
        Largest propeller or fan for which there is room [m]; a quarter more than the present one unless told.
    samples, seed : int
        Samples of the Unknowns behind the band of what is flown; 0: nominal only.
    shown : int
        How many choices to tell apart and fly.

    Returns
    -------
    Choices

    Raises
    ------
    InputError
        If the aeroplane has no thruster, or no balance at any speed was found for it.

    Notes
    -----
    Needed thrust is that of level flight, and with the reserve, from the one equation of motion; it goes with the mass,
    the airspeed with its root, so that heavy parts carry themselves. The pack keeps its energy: more cells, less
    capacity. What is shown is flown as a whole aeroplane before it is told.
    """
    if not aeroplane.tables.thruster:
        raise InputError("has no thruster, so there is nothing to choose", place=aeroplane.source, field="thruster")
    flown = fly(aeroplane, samples=0)
    search = PartSearch(flown, part_classes(parts), largest)
    found = search.run()
    status = found[..., columns.STATUS]
    counts = {words: int((status == code).sum()) for code, words in columns.WHY.items()}
    fitting = np.argwhere(status == columns.FITS)
    mass = found[..., columns.MASS] - search.numbers[3]
    power = found[..., columns.LEVEL_POWER]
    points = np.array([(mass[tuple(at)], power[tuple(at)]) for at in fitting]).reshape(-1, 2)
    front = pareto(points)
    picked = _told_apart(fitting, points, front, search, shown)
    chosen = tuple(
        _choice(search, found, tuple(int(each) for each in fitting[k]), bool(k in set(front)), samples, seed)
        for k in picked
    )
    step = max(1, len(points) // 1500)
    now = None
    level = flown.envelope.steady[0][1]
    if np.isfinite(level["airspeed"]):
        now = (search.old_set, float(level["bus_power"]))
    return Choices(
        aeroplane, search.need, int(status.size), counts, chosen,
        tuple((float(a), float(b)) for a, b in points[::step]),
        tuple((float(points[k, 0]), float(points[k, 1])) for k in front), now, _notes(search, chosen),
    )  # fmt: skip


def pareto(points: Floats) -> list[int]:
    """Return the places of the points that no other point beats in both columns, by the first column.

    Parameters
    ----------
    points : array, shape (points, 2)
        Both better when smaller.
    """
    order = np.lexsort((points[:, 1], points[:, 0])) if len(points) else np.array([], dtype=int)
    front: list[int] = []
    least = np.inf
    for k in order:
        if points[k, 1] < least:
            front.append(int(k))
            least = float(points[k, 1])
    return front


def _told_apart(
    fitting: npt.NDArray[np.int64], points: Floats, front: list[int], search: PartSearch, shown: int
) -> list[int]:
    """Return places of choices that differ in motor mass or propeller: the front first, then the thriftiest."""
    if not len(points):
        return []
    order = sorted(front, key=lambda k: points[k, 1]) + [int(k) for k in np.argsort(points[:, 1])]
    motors, discs = search.classes.motors, search.classes.propulsors
    seen: set[tuple[float, float, float]] = set()
    picked: list[int] = []
    own = [k for k in order if motors["own"][fitting[k][0]] > 0.0 or discs["own"][fitting[k][1]] > 0.0]
    for k in [*own[: shown // 2], *order]:
        i, j, _ = fitting[k]
        key = (float(motors["mass"][i]), float(discs["diameter"][j]), float(discs["kind"][j]))
        if key not in seen:
            seen.add(key)
            picked.append(k)
        if len(picked) == shown:
            break
    return sorted(picked, key=lambda k: points[k, 1])


def _choice(search: PartSearch, found: Floats, at: tuple[int, ...], on_front: bool, samples: int, seed: int) -> Choice:
    row = found[at]
    motor, disc = search.classes.motors[at[0]], search.classes.propulsors[at[1]]
    cells = search.cells[at[2]]
    burst = float(motor["burst_power"]) / (3.7 * cells)
    words, changes = _told(search, motor, disc, cells, burst, search.controllers[at[0], at[2]])
    count = search.need.thrusters
    return Choice(
        words=words,
        changes=changes,
        mass=float(row[columns.MASS] - search.numbers[3]),
        level_power=float(row[columns.LEVEL_POWER]),
        full_thrust=count * float(row[columns.FULL_THRUST]),
        thrust_margin=float(row[columns.FULL_THRUST] / row[columns.NEEDED]) - 1.0,
        motor_use=float(row[columns.MOTOR_USE]),
        pack_use=float(row[columns.PACK_USE]),
        speed_use=float(row[columns.SPEED_USE]),
        level_warmth=float(row[columns.LEVEL_WARMTH]),
        full_warmth=float(row[columns.FULL_WARMTH]),
        level_duty=float(row[columns.LEVEL_DUTY]),
        flown=_fly(search.flown.aeroplane, changes, samples, seed),
        on_front=on_front,
    )


def _told(
    search: PartSearch, motor: Any, disc: Any, cells: int, burst: float, controller: Floats
) -> tuple[str, tuple[tuple[str, Any], ...]]:
    """Return a combination in words and as changes of the aircraft file."""
    turns = float(motor["speed_constant"]) * RPM_PER_VOLT
    grams = 1000.0 * float(motor["mass"])
    mine = f" (yours, line {motor['own']:.0f})" if motor["own"] > 0.0 else ""
    changes: list[tuple[str, Any]] = []
    for name, thruster in search.flown.aeroplane.tables.thruster.items():
        field = f"thruster.{name}"
        if disc["kind"] == FAN:
            changes += [(f"{field}.kind", "fan"), (f"{field}.diameter", round(float(disc["diameter"]), 4))]
            if thruster.propeller is not None:
                changes += [(f"{field}.propeller", None), (f"{field}.family", None), (f"{field}.blades", None)]
        else:
            size = f"{disc['diameter'] / INCH:g}x{disc['pitch'] / INCH:g}"
            family = "broad slow" if disc["family"] == BROAD_SLOW else "narrow"
            changes += [(f"{field}.kind", "propeller"), (f"{field}.propeller", size), (f"{field}.family", family)]
            changes.append((f"{field}.blades", int(disc["blades"])))
            if thruster.kind == "fan":
                changes += [(f"{field}.diameter", None), (f"{field}.exit_area", None)]
        changes += [
            (f"{field}.motor.speed_constant", round(float(motor["speed_constant"]), 3)),
            (f"{field}.motor.mass", float(motor["mass"])),
            (f"{field}.motor.resistance", float(f"{motor['resistance']:.4g}")),
            (f"{field}.motor.no_load_current", float(f"{motor['no_load_current']:.4g}")),
            (f"{field}.motor.current_limit", float(f"{burst:.3g}")),
            (f"{field}.controller.current_limit", float(f"{1.25 * burst:.3g}")),
            (f"{field}.controller.resistance", float(f"{controller[0]:.3g}")),
            (f"{field}.controller.mass", float(f"{controller[1]:.3g}")),
            (f"{field}.propeller_mass", float(f"{disc['mass']:.3g}")),
        ]
    packs = search.flown.rows
    name = packs.names.batteries[int(packs.thrusters[0]["battery"])]
    old = packs.batteries[int(packs.thrusters[0]["battery"])]
    if cells != int(old["cells"]):
        parallel = search.flown.aeroplane.tables.battery[name].cells.parallel
        text = f"{cells}S" + (f"{parallel}P" if parallel > 1 else "")
        changes += [
            (f"battery.{name}.cells", text),
            (f"battery.{name}.capacity", float(f"{search.energy / cells:.4g}")),
            (f"battery.{name}.mass", float(old["mass"])),
        ]
    if disc["kind"] == FAN:
        what = f"fan {1000.0 * disc['diameter']:.0f} mm"
    else:
        what = f"{disc['diameter'] / INCH:g}x{disc['pitch'] / INCH:g}"
        what += " broad slow" if disc["family"] == BROAD_SLOW else ""
        what += f" (yours, line {disc['own']:.0f})" if disc["own"] > 0.0 else ""
    return f"motor {grams:.0f} g, {float(f'{turns:.2g}'):.0f} rpm/V{mine}, {what}, {cells}S", tuple(changes)


def _fly(aeroplane: Aeroplane, changes: tuple[tuple[str, Any], ...], samples: int, seed: int) -> Quantity | None:
    """Return thrust left after the reserve with the parts built in; None where the file does not take them."""
    try:
        variant = aeroplane.changed(dict(changes))
    except InputProblems:
        return None
    flown = fly(variant, samples=samples, seed=seed, few=True, thorough=False)
    reader = Reader(flown, design_support(flown))
    sources = lift_sources(flown) + power_sources(flown) + CLASS_SOURCES
    return reader.quantity(flown.envelope.figures["reserve_surplus"], "N", sources, "it finds no balance with it")


def _notes(search: PartSearch, chosen: tuple[Choice, ...]) -> tuple[str, ...]:
    notes = ["classes are what a usual part of that size is like: weigh and measure what you buy"]
    if search.need.cells_held is not None:
        notes.append(f"cells stay at {search.need.cells_held}S because a rotor drive hangs on the same pack")
    size = f"{search.largest / INCH:.3g} in ({1000.0 * search.largest:.0f} mm)"
    if chosen:
        notes.append("the pack keeps its energy; parts sit where the old ones sit, so check the balance point")
    else:
        notes.append("nothing fits: the aeroplane asks more thrust than such parts give for their mass")
    notes.append(f"propellers and fans up to {size} were tried: tell how much room there is with --largest")
    if any(f", {small}x" in each.words for each in chosen for small in ("4", "5", "6")):
        notes.append("propellers below 7 in lie beyond the sizes that were measured")
    if any("fan" in each.words for each in chosen):
        notes.append("fans rest on one measured unit of 55 mm: doubt them most")
    return tuple(notes)
