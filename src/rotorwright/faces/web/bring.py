"""An aircraft file brought in from another folder or device: same limits and same words as on the command line."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fastapi import Request
from fastapi.responses import JSONResponse
from nicegui import app, ui

from rotorwright.base.errors import InputProblems
from rotorwright.design.file_text import LARGEST_FILE, text_of, too_large
from rotorwright.faces.web.desk import ENDING, Desk
from rotorwright.faces.web.frame import told

GOAL = "/bring"


class Pick(ui.element, component="static/pick.js"):
    """A field to choose one file with.

    Parameters
    ----------
    name : str
        Its name on the page, for its label.
    brought : callable
        Called with the page to go to, or "", and what was wrong.
    """

    def __init__(self, name: str, brought: Callable[[str, str], None]) -> None:
        super().__init__()
        self._props["goal"] = GOAL
        self._props["most"] = LARGEST_FILE
        self.props(f'id="{name}" accept="{ENDING},text/plain"')

        def picked(event: Any) -> None:
            answer = event.args
            if answer["size"] > LARGEST_FILE:
                answer["said"] = told(too_large(str(answer["name"]), int(answer["size"])))
            brought(str(answer["to"]), str(answer["said"]))

        self.on("picked", picked)


def bring(desk: Desk, name: str, raw: bytes) -> str:
    """Put a file into the folder; return the name it has there.

    Raises
    ------
    InputProblems
        If it is too large, no text, or no aircraft file; nothing is then written.
    """
    text = text_of(raw, name)
    stem = name.replace("\\", "/").rpartition("/")[2].removesuffix(ENDING)
    free = desk.free_name(stem)
    desk.add(free, text, name)
    return free


def serve_bringing(desk: Desk, first: str) -> None:
    """Take files in; ``first`` is the page that an aeroplane is opened at."""

    @app.post(GOAL)
    async def take(request: Request, name: str = "") -> JSONResponse:
        """Take one file in."""
        try:
            made = bring(desk, name or "the file", await request.body())
        except InputProblems as problem:
            return JSONResponse({"said": told(problem)}, 422)
        return JSONResponse({"to": f"/{made}/{first}"})
