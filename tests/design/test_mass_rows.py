"""Masses and inertias of parts against hand calculation and numerical integration."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rotorwright.base import solids
from rotorwright.design.aircraft_file import loads
from rotorwright.design.fill import fill

HEAD = 'format = 1\nname = "Test"\n'
WING = '[surface.wing]\nspan = "1 m"\nchord = "20 cm"\nmass = "100 g"\nposition = ["0 m", "0 m", "0 m"]\n'


def masses(text: str) -> dict[str, np.void]:
    rows = fill(loads(HEAD + text))
    return dict(zip(rows.names.masses, rows.masses, strict=True))


def integrated(points: np.ndarray, mass: float) -> np.ndarray:
    """Second moments of evenly weighted points about their centre: xx, yy, zz."""
    centred = points - points.mean(axis=0)
    squares = (centred**2).mean(axis=0) * mass
    return np.array([squares[1] + squares[2], squares[0] + squares[2], squares[0] + squares[1]])


def test_solids_agree_with_integration():
    steps = (np.arange(60) + 0.5) / 60 - 0.5
    x, y, z = np.meshgrid(0.3 * steps, 0.2 * steps, 0.1 * steps, indexing="ij")
    cloud = np.column_stack([x.ravel(), y.ravel(), z.ravel()])
    assert solids.box(2.0, 0.3, 0.2, 0.1) == pytest.approx(integrated(cloud, 2.0), rel=1e-3)
    angle = 2 * math.pi * (np.arange(720) + 0.5) / 720
    ring = np.column_stack([np.zeros(720), 0.05 * np.cos(angle), 0.05 * np.sin(angle)])
    skin = np.concatenate([ring + np.array([0.4 * step, 0.0, 0.0]) for step in steps])
    expected = integrated(skin, 1.5)
    shell = solids.shell(1.5, 0.1, 0.4)
    assert (shell.axial, shell.transverse) == pytest.approx((expected[0], expected[1]), rel=1e-3)
    assert solids.tube(1.0, 0.1, 0.1, 0.4) == pytest.approx(solids.shell(1.0, 0.1, 0.4))
    assert solids.sphere(1.0, 0.2).axial == pytest.approx(0.4 * 0.01)


def test_a_box_shell_agrees_with_six_plates_of_points():
    rng = np.random.default_rng(3)
    sides = np.array([0.4, 0.1, 0.2])
    clouds = []
    for normal in range(3):
        others = [axis for axis in range(3) if axis != normal]
        count = int(4e6 * sides[others].prod())
        for side in (-0.5, 0.5):
            cloud = (rng.random((count, 3)) - 0.5) * sides
            cloud[:, normal] = side * sides[normal]
            clouds.append(cloud)
    assert solids.box_shell(1.0, *sides) == pytest.approx(integrated(np.concatenate(clouds), 1.0), rel=5e-3)


@pytest.mark.parametrize(
    ("section", "area", "square"),
    [
        # hand calculation, D = 0.2 m, b = 0.5 m: sheet area and mean square radius of the sheet
        ('kind = "drum"', math.pi * 0.2 * 0.5, 0.01),
        ('kind = "vaned"\nsection = "plate"', 0.2 * 0.5, 0.2**2 / 12),
        ('kind = "vaned"\nsection = "s-section"', math.pi * 0.1 * 0.5, 2 * 0.05**2),
        ('kind = "vaned"\nsection = "bucket"\nbuckets = 3', 3 * math.pi / 2 * 0.1 * 0.5, 2 * 0.05**2),
        ('kind = "vaned"\nsection = "bucket"\noverlap = "40 mm"', math.pi * 0.12 * 0.5, 0.06**2 + 0.04**2),
    ],
)
def test_sheet_and_inertia_of_every_section(section: str, area: float, square: float):
    text = f"""[rotor.main]
{section}
span = "500 mm"
diameter = "200 mm"
position = ["0 m", "0 m", "0 m"]
skin = {{ areal_mass = "100 g/m2" }}
shaft = {{ turns = false }}
"""
    skin = masses(text)["main skin"]
    assert skin["mass"] == pytest.approx(0.1 * area * 1.08)  # 8 % glue
    assert skin["iyy"] == pytest.approx(skin["mass"] * square)
    assert skin["rotor"] == 0


def test_discs_and_tube_by_hand():
    text = """[rotor.main]
kind = "drum"
span = "600 mm"
diameter = "100 mm"
position = ["100 mm", "0 m", "0 m"]
discs = { diameter = "200 mm", thickness = "3 mm", count = 3, material = "mine" }
shaft = { tube = "aluminium 10x8 mm", length = "700 mm" }
[material.mine]
density = "100 kg/m3"
"""
    rows = masses(text)
    disc = rows["main disc 1"]
    assert disc["mass"] == pytest.approx(math.pi * 0.01 * 0.003 * 100 * 1.08)
    assert disc["iyy"] == pytest.approx(disc["mass"] * 0.01 / 2)
    assert [rows[f"main disc {number}"]["y"] for number in (1, 2, 3)] == pytest.approx([-0.3, 0.0, 0.3])
    tube = rows["main shaft"]
    assert tube["mass"] == pytest.approx(math.pi / 4 * (0.01**2 - 0.008**2) * 0.7 * 2700)
    assert tube["x"] == pytest.approx(-0.1)


def test_weighed_parts_overrule_computed_ones():
    text = """[rotor.main]
kind = "drum"
span = "600 mm"
diameter = "100 mm"
position = ["100 mm", "0 m", "0 m"]
mass = "150 g"
inertia = "0.4 g m2"
"""
    rows = masses(text)
    turning = [row for row in rows.values() if row["rotor"] == 0]
    assert sum(row["mass"] for row in turning) == pytest.approx(0.15)
    assert sum(row["iyy"] for row in turning) == pytest.approx(4e-4)
    assert all(row["weighed"] == 1 for row in turning)


def test_the_scale_and_the_balance_stand_overrule_the_sum():
    battery = '[battery.main]\ncells = "2S"\ncapacity = "1 Ah"\n'
    battery += '[item.servo]\nmass = "9 g"\nposition = ["5 cm", "0 m", "0 m"]\n'
    text = WING.replace('mass = "100 g"\n', "") + battery + '[weighed]\nmass = "300 g"\nbalance = "75 mm"\n'
    rows = list(masses(text).values())
    total = sum(row["mass"] for row in rows)
    assert total == pytest.approx(0.3)
    assert -sum(row["mass"] * row["x"] for row in rows) / total == pytest.approx(0.075)
    assert masses(text)["servo"]["mass"] == pytest.approx(0.009)


def test_a_scale_reading_below_the_firm_parts_still_holds():
    rows = masses(WING + '[weighed]\nmass = "80 g"\n')
    assert any("weigh again" in remark for remark in loads(HEAD + WING + '[weighed]\nmass = "80 g"\n').remarks)
    assert sum(row["mass"] for row in rows.values()) == pytest.approx(0.08)


def test_a_slanted_strut_has_the_inertia_of_its_points():
    text = (
        WING + '[strut.leg]\nstart = ["10 cm", "0 m", "0 m"]\nend = ["30 cm", "20 cm", "-15 cm"]\ndiameter = "3 mm"\n'
    )
    leg = masses(text)["strut leg"]
    share = ((np.arange(4000) + 0.5) / 4000)[:, None]
    points = np.array([-0.1, 0.0, 0.0]) + share * np.array([-0.2, 0.2, 0.15])
    expected = integrated(points, leg["mass"])
    assert [leg["ixx"], leg["iyy"], leg["izz"]] == pytest.approx(list(expected), rel=1e-5)
    middle = points - points.mean(axis=0)
    product = leg["mass"] * (middle[:, 0] * middle[:, 2]).mean()
    assert leg["ixz"] == pytest.approx(product, rel=1e-5)
    assert leg["mass"] == pytest.approx(math.pi / 4 * 0.003**2 * math.sqrt(0.2**2 + 0.2**2 + 0.15**2) * 7850)


def test_a_mirrored_strut_keeps_the_aeroplane_symmetrical():
    text = (
        WING
        + '[strut.leg]\nstart = ["0 m", "0 m", "0 m"]\nend = ["1 m", "2 m", "3 m"]\ndiameter = "3 mm"\nmirror = true\n'
    )
    rows = fill(loads(HEAD + text)).masses
    assert rows["ixy"].sum() + (rows["mass"] * rows["x"] * rows["y"]).sum() == pytest.approx(0.0, abs=1e-12)


def test_halves_of_a_wing_with_dihedral():
    plain = fill(loads(HEAD + WING)).surfaces
    assert len(plain) == 1
    control = 'dihedral = "5 deg"\ncontrol = { name = "aileron" }\n'
    left, right = fill(loads(HEAD + WING + control)).surfaces
    assert left["area"] + right["area"] == pytest.approx(0.2)
    assert left["span"] ** 2 / left["area"] == pytest.approx(5.0)
    assert (left["y"], right["y"]) == pytest.approx(
        (-0.25 * math.cos(math.radians(5)), 0.25 * math.cos(math.radians(5)))
    )
    assert left["tilt"] == pytest.approx(math.radians(5))
    assert right["tilt"] == pytest.approx(-math.radians(5))
    assert (left["control_sign"], right["control_sign"]) == (1.0, -1.0)


def test_ailerons_on_mirrored_panels_move_as_whole_panels():
    panel = WING.replace('["0 m", "0 m", "0 m"]', '["0 m", "-1 m", "0 m"]\nmirror = true')
    out = loads(HEAD + panel + 'control = { name = "aileron" }\n')
    left, right = fill(out).surfaces
    assert (left["control_sign"], right["control_sign"]) == (1.0, -1.0)
    assert left["area"] == right["area"] == pytest.approx(0.2)
    assert (left["y"], right["y"]) == (-1.0, 1.0)


def test_drives_shared_and_each_its_own():
    text = """[rotor.left]
kind = "drum"
drive = "belt"
span = "500 mm"
diameter = "100 mm"
mirror = true
position = ["100 mm", "-300 mm", "0 m"]
[drive.belt]
motor = { speed_constant = "900 kv", mass = "60 g" }
ratio = 3
[battery.main]
cells = "3S"
capacity = "2 Ah"
"""
    shared = fill(loads(HEAD + text))
    assert shared.names.drives == ("belt",)
    assert shared.drives[0]["rotors"] == 2
    assert list(shared.rotors["drive"]) == [0, 0]
    own = fill(loads(HEAD + text.replace("ratio = 3", "ratio = 3\neach = true")))
    assert own.names.drives == ("belt of left", "belt of right")
    assert list(own.drives["rotors"]) == [1, 1]
    assert list(own.rotors["drive"]) == [0, 1]
    assert own.drives[0]["governed"] == 0
    assert own.masses["mass"].sum() > shared.masses["mass"].sum() + 0.06


def test_a_measured_pack_resistance_comes_back():
    text = WING + '[battery.main]\ncells = "4S2P"\ncapacity = "5 Ah"\nresistance = "14 mohm"\n'
    pack = fill(loads(HEAD + text)).batteries[0]
    hours = pack["capacity"] / 3600
    assert pack["cells"] * pack["resistance_capacity"] / hours == pytest.approx(0.014)
