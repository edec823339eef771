"""The example of the format, from text to record rows."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from rotorwright.base import records
from rotorwright.design.aircraft_file import load, loads
from rotorwright.design.fill import fill

EXAMPLE = Path(__file__).parent / "format_example.toml"


def test_measures_become_si_and_file_axes_become_body_axes():
    rows = fill(load(EXAMPLE))
    left, right = rows.rotors
    assert rows.names.rotors == ("main", "main-mirror")
    assert left["span"] == pytest.approx(0.62)
    assert (left["x"], left["y"], left["z"]) == pytest.approx((-0.18, 0.4, -0.06))
    assert right["y"] == pytest.approx(-0.4)
    assert left["kind"] == records.VANED
    assert left["section"] == records.S_SECTION
    assert (left["end_discs"], left["middle_discs"]) == (2, 2)
    assert left["stage_phase"] == pytest.approx(math.pi / 3)
    assert rows.thrusters[0]["motor_speed_constant"] == pytest.approx(1100 * 2 * math.pi / 60)
    assert rows.batteries[0]["capacity"] == pytest.approx(2.2 * 3600)


def test_every_row_is_finite():
    rows = fill(load(EXAMPLE))
    for array in rows[:-1]:
        for row in array:
            assert all(math.isfinite(number) for number in row)


def test_turning_masses_carry_the_row_of_their_rotor():
    rows = fill(load(EXAMPLE))
    turning = {
        name: int(row["rotor"]) for name, row in zip(rows.names.masses, rows.masses, strict=True) if row["rotor"] >= 0
    }
    assert turning["main skin"] == 0
    assert turning["main-mirror disc 4"] == 1
    assert "main bearings" not in turning


def test_changed_gives_another_aeroplane_and_leaves_the_first():
    first = load(EXAMPLE)
    second = first.changed({"rotor.main.diameter": "200 mm", "item.receiver.position.x": 0.1})
    assert first.tables.rotor["main"].diameter == pytest.approx(0.15)
    assert second.tables.rotor["main"].diameter == pytest.approx(0.2)
    assert second.tables.item["receiver"].position[0] == pytest.approx(0.1)
    assert first.revision != second.revision
    assert second.echo("rotor.main.span") == "620 mm"


def test_comments_do_not_make_another_revision():
    text = EXAMPLE.read_text(encoding="utf-8")
    assert loads(text).revision == loads("# a remark\n" + text).revision


def test_the_mirrored_aeroplane_balances_on_its_middle_line():
    rows = fill(load(EXAMPLE))
    assert np.sum(rows.masses["mass"] * rows.masses["y"]) == pytest.approx(0.0, abs=1e-12)
