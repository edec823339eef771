"""One thruster stopped: thrust left, yaw by its arm, several thrusters on one or two packs."""

from __future__ import annotations

import pytest

import rotorwright
from house.small_aeroplane import SMALL
from rotorwright.base.citations import citations
from rotorwright.design.aircraft_file import loads
from rotorwright.sheets.explanation import explanations
from rotorwright.sheets.power_stopped import stopped_sheet
from rotorwright.sheets.terminal import sheet_text
from rotorwright.studies.evaluate import fly
from rotorwright.studies.held_flight import held_flight, level_or_held
from rotorwright.studies.thruster_stopped import thrusters_stopped

TWIN = SMALL.replace("[thruster.nose]", "[thruster.left]").replace(
    'propeller = "8x4"', 'propeller = "8x4"\nposition = ["100 mm", "-200 mm", "0 mm"]\nmirror = true'
)
FIN = """
[surface.fin]
kind = "fin"
span = "180 mm"
chord = "130 mm"
position = ["800 mm", "0 mm", "90 mm"]
control = { name = "rudder", chord_share = 0.4, travel = "30 deg" }
"""


@pytest.fixture(scope="module")
def twin():
    aeroplane = loads(TWIN + FIN)
    return aeroplane, thrusters_stopped(aeroplane, samples=0)


def test_two_equal_thrusters_leave_about_half_and_yaw_by_their_arm(twin) -> None:
    _, (left, right) = twin
    share = left.quantities["stopped_thrust_share"].nominal
    assert 0.38 < share < 0.56
    assert share == pytest.approx(right.quantities["stopped_thrust_share"].nominal, rel=1e-3)
    yaw = left.quantities["stopped_yaw"].nominal
    assert yaw < 0.0, "the left one dead: the right one turns the nose to the left"
    assert right.quantities["stopped_yaw"].nominal > 0.0
    # the running thrust acts 0.2 m out; its wash drags the rotor behind it back, 0.33 m out, which takes some away
    thrust = left.quantities["stopped_thrust"].nominal
    assert 0.3 * 0.2 * thrust < -yaw < 1.3 * 0.2 * thrust


def test_without_rotors_behind_the_running_thruster_its_arm_is_the_whole_yaw(twin) -> None:
    """Closed form: thrust × arm, the dead propeller's drag on top, rotors held far out of the wash."""
    aeroplane, _ = twin
    far = aeroplane.changed({"rotor.main.position.z": "400 mm", "thruster.left.position.y": "-250 mm"})
    left = thrusters_stopped(far, samples=0)[0].quantities
    arm = -left["stopped_yaw"].nominal / left["stopped_thrust"].nominal
    assert arm == pytest.approx(0.25, rel=0.25)


def test_rudder_and_weathercock_are_told(twin) -> None:
    aeroplane, stopped = twin
    for each in stopped:
        assert each.quantities["stopped_rudder_share"].nominal > 0.0
    text = " ".join(sheet_text(stopped_sheet(aeroplane, stopped)).split())
    assert "left stopped:" in text
    assert "safety officer" in text


def test_every_quantity_is_explained(twin) -> None:
    _, stopped = twin
    for name, quantity in stopped[0].quantities.items():
        assert explanations()[name].unit == quantity.unit
        assert "power" in explanations()[name].commands
        assert set(quantity.sources) <= citations().keys()


def test_a_lone_thruster_leaves_nothing_but_drag() -> None:
    (only,) = thrusters_stopped(loads(SMALL), samples=0)
    assert only.quantities["stopped_thrust"].nominal < 0.0
    assert only.quantities["stopped_climb"].nominal < 0.0


def test_without_a_thruster_it_says_so() -> None:
    text = SMALL[: SMALL.index("[thruster.nose]")] + SMALL[SMALL.index("[battery.main]") :]
    with pytest.raises(rotorwright.InputProblems):
        thrusters_stopped(loads(text), samples=0)


def test_two_packs_sag_less_than_one_and_share_the_current() -> None:
    """Two thrusters on a pack each draw what one alone draws from its pack; on one pack the volts fall further."""
    one = loads(TWIN)
    second = TWIN.replace("mirror = true\nmotor", "motor").replace("[battery.main]", "[battery.main]", 1)
    right = second[second.index("[thruster.left]") : second.index("[battery.main]")]
    right = right.replace("thruster.left", "thruster.right").replace('"-200 mm"', '"200 mm"')
    right = right.replace('battery = "main"', 'battery = "other"')
    pack = '\n[battery.other]\ncells = "3S"\ncapacity = "1300 mAh"\n'
    two = loads(second.replace("[battery.main]", right + "\n[battery.main]") + pack)
    volts, amps = [], []
    for aeroplane in (one, two):
        flown = fly(aeroplane, samples=0, few=True, thorough=False)
        rows = held_flight(flown.numbers, level_or_held(flown)).solve((), 1)
        volts.append(float(rows.steady["pack_voltage"][0]))
        amps.append(float(rows.steady["pack_current"][0]))
    assert volts[1] > volts[0]
    assert amps[1] < amps[0]
