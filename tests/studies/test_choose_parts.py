"""Choosing parts: classes follow their laws, the search agrees with the equation of motion, the front is a front."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

from rotorwright import InputProblems, load
from rotorwright.base.records import FAN
from rotorwright.studies import choose_parts_search as columns
from rotorwright.studies.choose_parts import Choices, PartSearch, choose_parts, pareto
from rotorwright.studies.evaluate import fly
from rotorwright.studies.part_classes import PartClasses, motor_classes, part_classes, propulsor_classes

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@lru_cache(maxsize=2)
def chosen(name: str) -> Choices:
    return choose_parts(load(EXAMPLES / f"{name}.toml"), samples=0)


def test_there_are_enough_classes() -> None:
    motors, discs = motor_classes(), propulsor_classes()
    assert len(motors) >= 60
    assert (discs["kind"] != FAN).sum() >= 70
    fans = discs["diameter"][discs["kind"] == FAN]
    assert fans.min() == pytest.approx(0.050)
    assert fans.max() == pytest.approx(0.125)
    assert len(part_classes().cells) >= 5


def test_motors_scale_as_their_law_says() -> None:
    motors = motor_classes()
    heavy, light = motors[motors["mass"] == 0.36][0], motors[motors["mass"] == 0.028][0]

    def strength(row: np.void) -> float:
        return float(1.0 / (row["speed_constant"] * row["resistance"] ** 0.5))

    # torque constant over root resistance ∝ mass^(5/6); a copy of a motor wound with twice the turns keeps it
    assert strength(heavy) / strength(light) == pytest.approx((0.36 / 0.028) ** (5.0 / 6.0), rel=1e-6)
    one = motors[motors["mass"] == 0.095]
    assert [strength(row) for row in one] == pytest.approx([strength(one[0])] * len(one))


def test_more_than_a_hundred_thousand_combinations_when_there_is_room() -> None:
    search = PartSearch(fly(load(EXAMPLES / "marsh-tumbler.toml"), samples=0), part_classes(), largest=0.5)
    classes = search.classes
    assert len(classes.motors) * len(classes.propulsors) * len(search.cells) > 100_000


def test_the_aeroplanes_own_parts_come_out_as_they_fly() -> None:
    aeroplane = load(EXAMPLES / "marsh-tumbler.toml")
    flown = fly(aeroplane, samples=0)
    search = PartSearch(flown, part_classes())
    thruster = flown.rows.thrusters[0]
    motors, discs = motor_classes()[:1].copy(), propulsor_classes()[:1].copy()
    for name, field in (("mass", "motor_mass"), ("speed_constant", "motor_speed_constant"),
                        ("resistance", "motor_resistance"), ("no_load_current", "motor_no_load_current")):  # fmt: skip
        motors[name] = thruster[field]
    for name in ("kind", "diameter", "pitch", "family", "blades"):
        discs[name] = thruster[name]
    cells = int(flown.rows.batteries[0]["cells"])
    motors["burst_power"] = 3.7 * cells * 100.0
    part = aeroplane.tables.thruster["nose"]
    assert part.controller.mass is not None
    discs["mass"], discs["speed_limit"] = part.propeller_mass, 1.0e4
    own = PartSearch(flown, PartClasses(motors, discs, (cells,)))
    own.controllers[:] = part.controller.resistance, part.controller.mass
    row = own.run()[0, 0, 0]
    level = flown.envelope.steady[0]
    assert search.need.level_thrust == pytest.approx(float(level[1]["thrust"]))
    assert row[columns.MASS] == pytest.approx(float(flown.numbers.vehicle["mass"][0]), rel=1e-9)
    assert row[columns.FULL_THRUST] == pytest.approx(float(level[11]["thrust"]), rel=0.03)
    assert row[columns.FULL_CURRENT] == pytest.approx(float(level[11]["motor_current"]), rel=0.03)
    assert row[columns.LEVEL_POWER] == pytest.approx(float(level[1]["bus_power"]), rel=0.03)


def test_the_front_is_a_front() -> None:
    points = np.array([(1.0, 5.0), (2.0, 3.0), (2.0, 4.0), (3.0, 3.5), (4.0, 1.0), (0.5, 9.0)])
    assert pareto(points) == [5, 0, 1, 4]
    assert pareto(np.zeros((0, 2))) == []
    front = np.array(sorted(chosen("marsh-tumbler").front))
    assert (np.diff(front[:, 1]) < 0.0).all()


def test_what_is_offered_fits_and_flies() -> None:
    found = chosen("marsh-tumbler")
    assert found.combinations == sum(found.counts.values())
    assert len(found.choices) >= 5
    assert found.now is not None
    for each in found.choices:
        assert max(each.motor_use, each.pack_use, each.speed_use) <= columns.COMFORT
        assert each.thrust_margin >= 0.0
        assert each.flown is not None
    best = found.choices[0]
    assert best.level_power < found.now[1]
    assert best.flown is not None
    assert best.flown.nominal is not None
    assert best.flown.nominal > 0.0


def test_cells_stay_where_a_drive_shares_the_pack() -> None:
    found = chosen("drum-major")
    assert found.need.cells_held == 4
    assert {each.words.rsplit(", ", 1)[1] for each in found.choices} == {"4S"}


def test_own_parts_come_in_and_are_named(tmp_path: Path) -> None:
    own = tmp_path / "mine.csv"
    own.write_text(
        "name,speed_constant_rpmv,mass_g,resistance_mohm,diameter_in,pitch_in\ndrawer,640,140,40,,\nshelf,,,,13,5\n",
        encoding="utf-8",
    )
    found = choose_parts(load(EXAMPLES / "marsh-tumbler.toml"), parts=own, samples=0)
    assert any("yours" in each.words for each in found.choices)
    own.write_text("diameter_in\n10\n", encoding="utf-8")
    with pytest.raises(InputProblems):
        part_classes(own)
    own.write_text("speed_constant_rpmv\n900\n", encoding="utf-8")
    with pytest.raises(InputProblems, match="mass"):
        part_classes(own)
