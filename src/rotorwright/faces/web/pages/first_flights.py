"""Many first flights counted, as long work kept on disk."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from rotorwright.design.aeroplane import Aeroplane
from rotorwright.faces.web.asking import Ask, Asking
from rotorwright.faces.web.chart import drawing_of
from rotorwright.faces.web.frame import Here
from rotorwright.faces.web.latest import Progress
from rotorwright.faces.web.long_work import Work, kept_file
from rotorwright.faces.web.pages.long_place import LongPlace
from rotorwright.faces.web.questions import Answer
from rotorwright.faces.web.sheet_view import words

COUNTS = ("256", "1024", "4096", "16384")
KIND = "first-flights"


class FirstFlightsPlace(LongPlace):
    """How many, start, progress, stop, what became of them."""

    def __init__(self, here: Here, conditions: Callable[[Aeroplane], Any]) -> None:
        self._asked_for = conditions
        words(
            "Flown again and again with what cannot be known beforehand drawn anew each time: the physics, the hands "
            "that built it, the day, the pilot. Wind and launch as asked for above. Flights once flown are kept: more "
            "of them, or a start after a stop, go on where they end.",
            "rw-quiet",
        )
        self._number = Asking(here, "first flights", (Ask("flights", "How many", choices=COUNTS),), lambda: None)
        super().__init__(here, KIND, "Fly them", self._ready, self._show)

    def _ready(self) -> tuple[str, Work] | None:
        from rotorwright.sheets.flight_pictures import outcomes_of
        from rotorwright.studies.first_flights import first_flights

        aeroplane = self._here.file.aeroplane
        if aeroplane is None:
            return None
        conditions = self._asked_for(aeroplane)
        flights = int(self._number.typed["flights"])
        path = kept_file(self._here.desk.folder, KIND, aeroplane.revision, conditions.as_dict())

        def work(progress: Progress) -> Any:
            found = first_flights(aeroplane, conditions=conditions, flights=flights, resume=path, progress=progress)
            said = "What became of the flights, with the band that counting so many allows."
            return found, drawing_of(outcomes_of(found), said, f"{aeroplane.name} first flights")

        return f"{flights} first flights", work

    def _show(self, answer: Any) -> None:
        from rotorwright.sheets.fly import first_flights_sheet

        found, drawing = answer
        view = self._here.view(Answer(found, found.quantities, first_flights_sheet))
        view.show(first_flights_sheet(found))
        view.drawing(drawing)
