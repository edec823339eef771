"""The first visit: two minutes through what matters, on the maker's own aeroplane; left at any time, offered once."""

from __future__ import annotations

import json
from dataclasses import dataclass

from nicegui import ui

from rotorwright.faces.web.desk import Desk
from rotorwright.faces.web.sheet_view import heading, push, words

KEPT = "visit"
"""What the state of the visit is remembered under: unset, the number of a stop, or `DONE`."""
DONE = "done"


@dataclass(frozen=True)
class Stop:
    """One stop of the visit: on which page, at what, and what is said there."""

    page: str
    at: str
    title: str
    said: str


STOPS = (
    Stop("aeroplane", ".rw-answer", "The answer",
         "This line always says whether the aeroplane flies, and what it lacks. The percentage counts what nobody "
         "knows exactly: out of a hundred aeroplanes built like this, so many should fly."),
    Stop("aeroplane", ".rw-scene", "The aeroplane",
         "Drawn from the file, to scale. Drag to turn it. Touch a part and its fields open. The red ball is the "
         "balance point."),
    Stop("aeroplane", ".rw-part", "Its parts",
         "Open a part and type another value with its unit, such as 400 mm or 16 in. The line at the top answers while "
         "you type; the file changes when you leave the field."),
    Stop("aeroplane", ".rw-top-in .rw-button", "Take back",
         "Nothing is lost: every state of the file is kept, also over days. Take back goes through them, Repeat goes "
         "forward again."),
    Stop("balance", ".rw-number", "A number",
         "Numbers come with a band: ten of a hundred lie below it, ten above. Touch one with dots under it: what it "
         "means, how sure it is, where it comes from."),
    Stop("balance", ".rw-tabs", "Other questions",
         "Rotors, Power, Shake, Handling answer the rest. An estimate is no permission to fly: local rules and your "
         "club's safety officer come first."),
)  # fmt: skip


class Visit:
    """Draws the invitation, or the stop the visit is at.

    Parameters
    ----------
    desk : Desk
    name : str
        The aeroplane's file.
    page : str
    """

    def __init__(self, desk: Desk, name: str, page: str) -> None:
        self._desk, self._name, self._page = desk, name, page
        self._client = ui.context.client
        self._place = ui.element("div")
        self._show()

    def _show(self) -> None:
        self._place.clear()
        kept = self._desk.steps.recall(KEPT)
        if kept == DONE:
            return
        with self._place:
            if kept is None or not kept.isdigit() or int(kept) >= len(STOPS):
                with ui.element("aside").classes("rw-invite rw-row").props('aria-label="First visit"'):
                    words("First time here? Two minutes show what matters.")
                    push("Show me round", lambda: self._go(0), small=True, mark="visit")
                    push("Not now", lambda: self._go(len(STOPS)), small=True, mark="no-visit")
                return
            number = int(kept)
            stop = STOPS[number]
            if stop.page != self._page:
                return
            with (
                ui.element("aside")
                .classes("rw-visit")
                .props('aria-label="First visit"')
                .on("keydown.escape", lambda: self._go(len(STOPS)))
            ):
                heading(2, stop.title)
                words(stop.said).props('role="status"')
                with ui.element("div").classes("rw-row"):
                    last = number + 1 == len(STOPS)
                    push("Done" if last else "Next", lambda: self._go(number + 1), main=True, mark="visit-next")
                    if number:
                        push("Back", lambda: self._go(number - 1), small=True, mark="visit-back")
                    if not last:
                        push("Leave", lambda: self._go(len(STOPS)), small=True, mark="visit-leave")
                    words(f"{number + 1} of {len(STOPS)}", "rw-quiet")
        self._client.run_javascript(_POINT % json.dumps(stop.at))

    def _go(self, number: int) -> None:
        over = number >= len(STOPS)
        self._desk.steps.remember(KEPT, DONE if over else str(number))
        if not over and STOPS[number].page != self._page:
            ui.navigate.to(f"/{self._name}/{STOPS[number].page}")
            return
        self._show()
        if over:
            self._client.run_javascript(_UNPOINT)


def begin_again(desk: Desk) -> None:
    """Offer the visit anew at the next aeroplane."""
    desk.steps.remember(KEPT, "")


_UNPOINT = "document.querySelectorAll('.rw-shown').forEach(each => each.classList.remove('rw-shown'));"
_POINT = (
    _UNPOINT
    + """
(async () => {
  for (let tries = 0; tries < 100; tries++) {
    const found = document.querySelector(%s);
    const next = document.querySelector('.rw-visit .rw-main');
    if (found && next) {
      found.classList.add('rw-shown');
      if (!found.closest('.rw-top, .rw-tabs')) found.scrollIntoView({ block: 'center' });
      next.focus({ preventScroll: true });
      return;
    }
    await new Promise(done => setTimeout(done, 200));
  }
})();"""
)
"""Outline what a stop speaks of once it is there, bring it into view, and put the keyboard on the way on."""
