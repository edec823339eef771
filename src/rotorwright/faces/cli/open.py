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
) -> None:
    """Open the page: your aeroplanes with their answers, live, in the browser. Nothing leaves this machine."""
    from pathlib import Path

    from rotorwright.base.errors import InputError
    from rotorwright.faces.web.desk import Desk
    from rotorwright.faces.web.server import serve

    desk = Desk(Path(folder))
    if not _free(port):
        raise InputError("is taken by another program", place="--port", found=str(port), hint=f"Try --port {port + 1}")
    address = f"http://127.0.0.1:{port}"
    serve(desk, port=port, show=not no_browser, ready=lambda: say(f"Open {address} — stop with Ctrl-C."))


def _free(port: int) -> bool:
    """Return whether nothing answers on a port of this machine."""
    import socket

    with socket.socket() as knock:
        knock.settimeout(0.2)
        return knock.connect_ex(("127.0.0.1", port)) != 0
