"""Does it fly: the verdict, what to change first, the four forces at a speed of one's own choice, every number."""

from __future__ import annotations

from math import isfinite

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement

from rotorwright.faces.web.box import Box
from rotorwright.faces.web.chart import Chart
from rotorwright.faces.web.frame import Here
from rotorwright.faces.web.pages.answer_page import AnswerPlace
from rotorwright.faces.web.questions import Answer, whole_balance
from rotorwright.faces.web.sheet_view import heading, words
from rotorwright.sheets.balance import balance_sheet
from rotorwright.sheets.forces import forces_at, forces_chart, pull_upwards_at
from rotorwright.sheets.numbers import number_text
from rotorwright.sheets.picture import BLUEPRINT_LOOK, PAPER_LOOK, specification

STEPS = 100


def draw_balance(here: Here) -> None:
    """Draw the page."""
    heading(1, "Does it fly?")
    AnswerPlace(here, whole_balance, lambda answer: _Balance(here, answer))


class _Balance:
    def __init__(self, here: Here, answer: Answer) -> None:
        self._here, self._found = here, answer.result
        view = here.view(answer)
        view.show(balance_sheet(self._found))
        if self._found.curves is not None:
            self._forces()
        with ui.element("details").classes("rw-part"):
            TextElement(tag="summary", text="Every number")
            view.show(answer.sheet, lead=False)

    def _forces(self) -> None:
        speeds = self._found.curves.airspeed
        level = self._found.quantities["level_speed"].value or 0.5 * (speeds[0] + speeds[-1])
        heading(2, "The four forces at a speed of your choice")
        TextElement(tag="label", text="Airspeed").props('for="airspeed"')
        step = (speeds[-1] - speeds[0]) / STEPS
        Box(
            f"{level:.4f}", "airspeed", typed=lambda typed: self._show(float(typed)),
            more=f'type="range" class="rw-slider" min="{speeds[0]:.4f}" max="{speeds[-1]:.4f}" step="{step:.5f}"',
        ).mark("airspeed")  # fmt: skip
        self._said = words("", "rw-lead").props('role="status"').mark("forces-said")
        ends = [forces_at(self._found, speed) or {} for speed in (speeds[0], level, speeds[-1])]
        self._most = max(each[2] for forces in ends for each in forces.values())
        self._chart = Chart({}, "")
        self._show(level)

    def _show(self, airspeed: float) -> None:
        forces = forces_at(self._found, airspeed)
        if forces is None:
            return
        lift, weight, thrust, drag = (forces[name][0] for name in ("lift", "weight", "thrust", "drag"))
        units = self._here.units(self._found.aeroplane)

        def say(number: float) -> str:
            return number_text(abs(number), "N", units)

        up = f"lift is {say(lift - weight)} {'over' if lift >= weight else 'short of'} the weight"
        pull = pull_upwards_at(self._found, airspeed)
        if isfinite(pull):
            up += f", the thrust pulling {'up' if pull >= 0.0 else 'down'} besides with {say(pull)}"
        on = f"full thrust is {say(thrust - drag)} {'over' if thrust >= drag else 'short of'} the drag"
        said = f"At {number_text(airspeed, 'm/s', units)} {up}; {on}."
        self._said.set_text(said)
        look = BLUEPRINT_LOOK if self._here.dark else PAPER_LOOK
        spec = specification(forces_chart(forces, self._most, look))
        spec["autosize"] = {"type": "fit", "contains": "padding"}
        self._chart.show(spec, said)
