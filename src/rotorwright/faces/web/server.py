"""The local server: pages, the gate in front of them, and the eye on the folder."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from fastapi import Request
from fastapi.responses import RedirectResponse, Response
from nicegui import app, run, ui
from nicegui.elements.mixins.text_element import TextElement

from rotorwright.base.errors import InputProblems
from rotorwright.faces.web.brief_page import BriefPage, Briefs
from rotorwright.faces.web.bring import serve_bringing
from rotorwright.faces.web.chart import serve_drawing_library
from rotorwright.faces.web.desk import Desk
from rotorwright.faces.web.frame import Here, in_background, units_kept
from rotorwright.faces.web.guard import Door, Guard, at_home
from rotorwright.faces.web.home import FIRST, Home
from rotorwright.faces.web.pages import PAGES
from rotorwright.faces.web.questions import Answers, quick_balance
from rotorwright.faces.web.share import Share
from rotorwright.faces.web.share_page import SharePage
from rotorwright.faces.web.sheet_view import words
from rotorwright.sheets.numbers import show_in
from rotorwright.sheets.picture import FONTS

STATIC = Path(__file__).parent / "static"
LOOKS_EVERY = 1.0
"""How often open files are looked at for changes made elsewhere [s]."""
LAST = "last page"


def build(desk: Desk, share: Share) -> None:
    """Register every page of a folder with the server."""
    answers = Answers()
    briefs = Briefs(desk)
    show_in(units_kept(desk))
    app.add_static_file(local_file=STATIC / "look.css", url_path="/rotorwright/look.css")
    app.add_static_files("/rotorwright/fonts", FONTS)
    serve_drawing_library()
    serve_bringing(desk, FIRST)
    ui.add_head_html('<link rel="stylesheet" href="/rotorwright/look.css">', shared=True)

    def dark() -> bool:
        found = desk.steps.recall("look") == "dark"
        ui.dark_mode(found)
        return found

    @ui.page("/", title="Rotorwright", language="en-GB")
    def home() -> None:
        dark()
        Home(desk)

    @ui.page("/brief", title="Brief · Rotorwright", language="en-GB")
    def from_brief() -> None:
        BriefPage(briefs, dark())

    @ui.page("/share", title="Share · Rotorwright", language="en-GB")
    def sharing(request: Request) -> None:
        dark()
        SharePage(share, at_home(request.client.host if request.client else "", request.headers.get("host", "")))

    @app.get("/last")
    def last() -> Response:
        """Go where the maker was last."""
        return RedirectResponse(desk.steps.recall(LAST) or "/")

    @ui.page("/{name}/{page}", language="en-GB")
    def one(name: str, page: str, request: Request) -> None:
        try:
            file = desk.file(name)
        except InputProblems as problem:
            file = None
            reason = " ".join(each.sentence() for each in problem.problems)
        if file is None or page not in PAGES:
            with ui.element("div").classes("rw-page"):
                words(reason if file is None else f'There is no page "{page}".', "rw-caution")
                TextElement(tag="a", text="All aeroplanes").props('href="/"')
            return
        ui.page_title(f"{file.name} · {PAGES[page].title}")
        desk.steps.remember(LAST, f"/{name}/{page}")
        Here(desk, answers, file, page, dark()).build(PAGES)

    app.timer(LOOKS_EVERY, desk.look)
    app.on_startup(lambda: in_background(run.io_bound(_warm, desk)))
    app.on_shutdown(answers.works.stop_all)


def _warm(desk: Desk) -> None:
    """Load the compiled kernels before the first question is asked, so that it is answered at once."""
    for name in desk.names()[:1]:
        aeroplane = desk.file(name).aeroplane
        if aeroplane is not None:
            quick_balance(aeroplane, lambda done, of: None)


def serve(
    desk: Desk,
    *,
    port: int,
    show: bool,
    share: bool = False,
    share_at: str = "",
    ready: Callable[[Share], None] = lambda share: None,
) -> None:
    """Serve the pages of a folder until interrupted.

    Parameters
    ----------
    desk : Desk
    port : int
    show : bool
        Whether a browser is opened.
    share : bool
        Whether the local network is let in with a code from the start; the page has a switch for it too.
    share_at : str
        Address of this machine to share at; the likeliest unless told.
    ready : callable
        Called once the server answers.
    """
    door = Door()
    switch = Share(app, port, door, share_at)
    build(desk, switch)
    app.add_middleware(Guard, port=port, door=door)

    async def begin() -> None:
        if share:
            await switch.start()
        ready(switch)

    app.on_startup(begin)
    app.on_shutdown(switch.stop)
    ui.run(
        host="127.0.0.1", port=port, title="Rotorwright", reload=False,
        show="/last" if show else False, show_welcome_message=False, tailwind=False, dark=False,
        uvicorn_logging_level="error", favicon=STATIC / "mark.svg", endpoint_documentation="none",
        language="en-GB", reconnect_timeout=30.0,
    )  # fmt: skip
