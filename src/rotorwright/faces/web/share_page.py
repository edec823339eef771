"""The page with the switch for sharing: a picture to scan for the phone, and the way to end it."""

from __future__ import annotations

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement

from rotorwright.base.errors import InputProblems
from rotorwright.faces.web.frame import in_background, told
from rotorwright.faces.web.share import CAUTION, Share
from rotorwright.faces.web.sheet_view import heading, push, words


class SharePage:
    """Draws the page.

    Parameters
    ----------
    share : Share
    home : bool
        Whether it is called from the machine that serves: only there the switch is shown.
    """

    def __init__(self, share: Share, home: bool) -> None:
        self._share = share
        self._client = ui.context.client
        with ui.element("div").classes("rw-page"):
            TextElement(tag="a", text="All aeroplanes").classes("rw-back").props('href="/"')
            heading(1, "On the phone too")
            if not home:
                words("Sharing is switched on and off on the computer that serves this page.")
                return
            self._place = ui.element("div")
            self._wrong = words("", "rw-caution").props('role="alert"')
            self._wrong.set_visibility(False)
        self._show()

    def _show(self) -> None:
        share = self._share
        self._place.clear()
        with self._place:
            if not share.on:
                words("Now only this machine sees the page.", "rw-lead").props('role="status"').mark("share-state")
                words(
                    "Switched on, a phone or another computer in the same local network can open it too, after "
                    "scanning a picture or typing a code. The code is new each time."
                )
                words(CAUTION, "rw-caution")
                push("Share in this network", lambda: in_background(self._turn(True)), main=True, mark="share")
                return
            words("Shared with the local network.", "rw-lead").props('role="status"').mark("share-state")
            words("Scan this with the phone's camera:")
            ui.element("img").classes("rw-scan").props(
                f'src="{share.picture()}" alt="Picture to scan: the address of this page with its code"'
            )
            words("or open this address there and type the code:")
            with ui.element("p").classes("rw-lead"):
                TextElement(tag="span", text=share.plain_url).mark("share-address")
            with ui.element("p").classes("rw-code"):
                TextElement(tag="span", text=f"{share.code[:4]} {share.code[4:]}").mark("share-code")
            words(CAUTION, "rw-caution")
            push("Stop sharing", lambda: in_background(self._turn(False)), main=True, mark="unshare")

    async def _turn(self, on: bool) -> None:
        with self._client:
            self._wrong.set_visibility(False)
        try:
            await (self._share.start() if on else self._share.stop())
        except InputProblems as problem:
            with self._client:
                self._wrong.set_text(told(problem))
                self._wrong.set_visibility(True)
            return
        with self._client:
            self._show()
