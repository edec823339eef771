"""An aeroplane at another size: what is built follows the stated rule, and the file can be read again."""

from __future__ import annotations

from pathlib import Path

import pytest

from rotorwright.design.aircraft_file import load, loads
from rotorwright.design.file_text import read_text
from rotorwright.design.grown import BUILDS, GrowthRules, grown, grown_text, growth, next_tube
from rotorwright.design.mass_rows import total_mass
from rotorwright.design.units import read_tube

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


@pytest.mark.parametrize("path", EXAMPLES, ids=[path.stem for path in EXAMPLES])
def test_every_example_can_be_written_at_another_size_and_read_again(path: Path) -> None:
    old, text = load(path), read_text(path)
    for build in BUILDS:
        rules = GrowthRules(build)
        changes, _ = growth(old, 1.5, rules)
        fresh = grown_text(text, str(path), changes, 1.5, rules, "Made by a test.")
        new = loads(fresh, "grown")
        assert total_mass(new.tables) == pytest.approx(total_mass(grown(old, 1.5, rules).tables), rel=2e-3)
        kept = [line.partition("#")[2].strip() for line in text.splitlines() if "#" in line]
        assert all(words in fresh for words in kept if "bearing" not in words)
        assert fresh.count("scaled") > 20


@pytest.mark.parametrize("path", EXAMPLES, ids=[path.stem for path in EXAMPLES])
def test_size_one_changes_no_mass(path: Path) -> None:
    old = load(path)
    for build in ("same", "grown"):
        assert total_mass(grown(old, 1.0, GrowthRules(build)).tables) == pytest.approx(total_mass(old.tables), rel=0.02)


def test_mass_goes_with_area_or_with_volume() -> None:
    old = load(EXAMPLES[0])
    for build, power in (("same", 2.0), ("grown", 3.0)):
        ratio = total_mass(grown(old, 2.0, GrowthRules(build)).tables) / total_mass(old.tables)
        assert 2.0 ** (power - 0.1) < ratio < 2.0 ** (power + 0.15)


def test_the_same_power_leaves_motors_and_packs_and_gears_the_drive() -> None:
    old = load(next(path for path in EXAMPLES if path.stem == "drum-major"))
    new = grown(old, 2.0, GrowthRules("grown", "same"))
    assert new.value("thruster.nose.motor.mass") == old.value("thruster.nose.motor.mass")
    assert new.value("battery.main.capacity") == old.value("battery.main.capacity")
    assert new.value("drive.belt.speed") == pytest.approx(old.value("drive.belt.speed") / 2.0**0.5, rel=1e-9)
    assert new.value("drive.belt.ratio") == pytest.approx(old.value("drive.belt.ratio") * 2.0**0.5, rel=1e-9)
    assert new.value("item.receiver.mass") == old.value("item.receiver.mass")


def test_the_next_tube_is_stiff_enough_and_the_lightest() -> None:
    tube = read_tube("carbon 8x6 mm")
    found = next_tube(tube, 1.5)
    assert found is not None
    assert found.name == "14x12"  # closed form: (14⁴ − 12⁴)/(8⁴ − 6⁴) = 6.3 ≥ 1.5⁴; 12x10 gives 3.8
