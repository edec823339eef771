"""``rotorwright open``: the page in the browser, on this machine."""

from __future__ import annotations

from typing import Annotated

import typer

from rotorwright.faces.cli.outcome import answering, say

PORT = 8477


@answering
def command(
    folder: Annotated[str, typer.Argument(metavar="[FOLDER]", help="Where your aircraft files are.")] = ".",
    port: Annotated[int, typer.Option("--port", metavar="NUMBER", min=1024, max=65535, help="To serve on.")] = PORT,
    no_browser: Annotated[bool, typer.Option("--no-browser", help="Serve only; open the address yourself.")] = False,
    share: Annotated[
        bool, typer.Option("--share", help="Let the local network in too, with a code to scan or type.")
    ] = False,
    share_at: Annotated[
        str, typer.Option("--share-at", metavar="ADDRESS", help="Which address of this machine to share at.")
    ] = "",
) -> None:
    """Open the page: your aeroplanes with their answers, live, in the browser; on this machine only, unless shared."""
    from pathlib import Path

    from rotorwright.base.errors import InputError
    from rotorwright.faces.web.desk import Desk
    from rotorwright.faces.web.server import serve
    from rotorwright.faces.web.share import CAUTION, Share, share_address

    desk = Desk(Path(folder))
    if not _free(port):
        raise InputError("is taken by another program", place="--port", found=str(port), hint=f"Try --port {port + 1}")
    if share or share_at:
        share_at = share_address(share_at)

    def ready(switch: Share) -> None:
        say(f"Open http://127.0.0.1:{port} — stop with Ctrl-C.")
        if switch.on:
            switch.print_picture()
            say(f"On the phone: scan this, or open {switch.plain_url} and type {switch.code}. {CAUTION}")

    serve(desk, port=port, show=not no_browser, share=bool(share_at), share_at=share_at, ready=ready)


def _free(port: int) -> bool:
    """Return whether nothing answers on a port of this machine."""
    import socket

    with socket.socket() as knock:
        knock.settimeout(0.2)
        return knock.connect_ex(("127.0.0.1", port)) != 0
