"""A look around the aeroplane: a map of two of its measures, or a search over several, as long work kept on disk."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import partial
from typing import Any

from nicegui import ui

from rotorwright.base.errors import InputError, InputProblems
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.fields import dimension_of
from rotorwright.faces.web.asking import Ask, Asking
from rotorwright.faces.web.chart import drawing_of
from rotorwright.faces.web.frame import Here, told
from rotorwright.faces.web.latest import Progress
from rotorwright.faces.web.long_work import Work, kept_file
from rotorwright.faces.web.pages.long_place import LongPlace
from rotorwright.faces.web.questions import Answer
from rotorwright.faces.web.sheet_view import push, words

KIND = "look-around"
NOTHING = "nothing else"
PLACES = ("first", "second", "third", "fourth")
KINDS = {"a map of the first two": 0, "a search, 200 designs": 200, "a search, 1000 designs": 1000,
         "a search, 5000 designs": 5000}  # fmt: skip
WANTED: dict[str, dict[str, list[str]]] = {
    "most thrust to spare": {},
    "least mass": {"least": ["mass"]},
    "slowest level flight": {"least": ["level_speed"]},
    "longest flight": {"most": ["endurance"]},
}
SPREAD = 0.2
"""An end of a range that is left empty lies this share below or above what the file tells."""
PARTS = ("rotor", "surface", "thruster", "body", "drive")


class LookAround(LongPlace):
    """What varies, what is wanted, start, progress, stop, map or best designs."""

    def __init__(self, here: Here) -> None:
        words(
            "A map shades two measures and hatches where the aeroplane does not fly level with the reserve; a search "
            "looks for the best over up to four. Designs once flown are kept: a start after a stop goes on.",
            "rw-quiet",
        )
        self._page = here
        self._boxes = ui.element("div")
        self._fields: tuple[str, ...] = ()
        self.refresh_fields()
        super().__init__(here, KIND, "Look around", self._ready, self._show)

    def refresh_fields(self) -> None:
        """Offer the measures the aeroplane has now; drawn anew only if they are others."""
        aeroplane = self._page.file.aeroplane
        if aeroplane is None or tuple(measures(aeroplane.told)) == self._fields:
            return
        self._fields = tuple(measures(aeroplane.told))
        first = next((each for each in self._fields if each.endswith(".span")), self._fields[0])
        second = next((each for each in self._fields if each.endswith(".diameter") and each != first), NOTHING)
        asks = []
        for place, given in zip(PLACES, (first, second, NOTHING, NOTHING), strict=True):
            asks += [
                Ask(place, f"The {place} that varies", given=given, choices=(NOTHING, *self._fields)),
                Ask(f"{place}_low", "from", "Empty: a fifth less than now."),
                Ask(f"{place}_high", "to", "Empty: a fifth more."),
            ]
        asks += [
            Ask("kind", "How", choices=tuple(KINDS)),
            Ask("wanted", "Wanted", choices=tuple(WANTED)),
            Ask("keep", "But keep", 'A limit, such as "mass<1.3 kg" or "level_speed<12 m/s".'),
        ]
        self._boxes.clear()
        with self._boxes:
            self._asking = Asking(self._page, "a look around", asks, lambda: None)

    def _ready(self) -> tuple[str, Work] | None:
        from rotorwright.sheets.explore_pictures import explore_picture
        from rotorwright.studies.explore import explore

        aeroplane = self._here.file.aeroplane
        if aeroplane is None:
            return None
        typed = self._asking.typed
        designs = KINDS[typed["kind"]]
        vary = asked_ranges(aeroplane, typed, PLACES if designs else PLACES[:2])
        keep = [typed["keep"]] if typed["keep"].strip() else []
        goals = WANTED[typed["wanted"]]
        asked = {"vary": vary, "keep": keep, **goals, "seek": designs}
        path = kept_file(self._here.desk.folder, KIND, aeroplane.revision, asked)

        def work(progress: Progress) -> Any:
            try:
                found = explore(
                    aeroplane, vary, keep=keep, seek=designs or None, path=path, resume=path.exists(),
                    progress=progress, most=goals.get("most", ()), least=goals.get("least", ()),
                )  # fmt: skip
            except InputProblems as problem:
                raise InputProblems([replace(each, place="") for each in problem.problems]) from None
            said, title = f"{len(found.kept)} designs looked at.", f"{aeroplane.name} look around"
            return found, drawing_of(explore_picture(found), said, title) if len(found.kept) else None

        return (f"Search with {designs} designs" if designs else "Map"), work

    def _show(self, answer: Any) -> None:
        from rotorwright.sheets.explore import explore_sheet

        found, drawing = answer
        view = self._here.view(Answer(found, {}, explore_sheet))
        view.show(explore_sheet(found))
        with ui.element("div").classes("rw-row"):
            for number, each in enumerate(found.best, 1):
                said = ", ".join(each.told)
                push(f"Take number {number}: {said}", partial(self._take, each.changes, said), small=True)
        if drawing is not None:
            view.drawing(drawing)

    def _take(self, changes: Mapping[str, Any], said: str) -> None:
        try:
            self._here.file.change(changes, said)
        except InputProblems as problem:
            ui.notify(told(problem), type="warning", multi_line=True)
            return
        ui.notify(f"Changed: {said}")


def asked_ranges(aeroplane: Aeroplane, typed: Mapping[str, str], places: tuple[str, ...]) -> list[str]:
    """Return what varies and between which ends, as an exploration takes it.

    Raises
    ------
    InputError
        If nothing varies.
    """
    found: list[str] = []
    for place in places:
        field = typed[place]
        if field == NOTHING or any(each.startswith(f"{field}=") for each in found):
            continue
        here = aeroplane.value(field)
        ends = [typed[f"{place}_{end}"].strip() for end in ("low", "high")]
        low, high = (
            end or aeroplane.echo(field, float(here) * (1.0 + sign * SPREAD))
            for end, sign in zip(ends, (-1.0, 1.0), strict=True)
        )
        found.append(f"{field}={low}..{high}")
    if not found:
        raise InputError("needs something that varies", hint="Choose at least one measure")
    return found


def measures(told: Mapping[str, Any]) -> Iterator[str]:
    """Yield the fields of an aeroplane's parts that are measures above zero: what can vary."""
    for kind in PARTS:
        yield from _leaves(kind, told.get(kind, {}))


def _leaves(path: str, part: Any) -> Iterator[str]:
    if isinstance(part, Mapping):
        for name, each in part.items():
            yield from _leaves(f"{path}.{name}", each)
    elif isinstance(part, str) and dimension_of(path) not in (None, "number") and part.lstrip()[:1].isdigit():
        yield path
