"""A real browser and a real server for the tests of the page: Debian's Chromium, or any found on the path."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome-stable", "google-chrome", "chrome")
VARIABLE = "ROTORWRIGHT_BROWSER"
FLAGS = ("--no-sandbox", "--enable-unsafe-swiftshader", "--disable-background-networking", "--no-first-run")
EXAMPLES = Path(__file__).parents[3] / "examples"
PATIENCE = 240.0
"""Longest wait for the server or for an answer on the page [s]; kernels may have to be compiled first."""


def browser_path() -> str:
    """Return the browser's program; a machine without one fails the tests with its cure."""
    found = os.environ.get(VARIABLE) or next(filter(None, map(shutil.which, NAMES)), None)
    if found is None:
        raise RuntimeError(f"no browser found: apt install chromium, or name yours in {VARIABLE}")
    return found


def free_port() -> int:
    """Return a port nothing listens on."""
    with socket.socket() as knock:
        knock.bind(("127.0.0.1", 0))
        return int(knock.getsockname()[1])


class Server:
    """``rotorwright open`` on a folder, in a process of its own."""

    def __init__(self, folder: Path, *options: str) -> None:
        self.folder, self.port, self.options = folder, free_port(), options
        self.address = f"http://127.0.0.1:{self.port}"
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start it and wait until it answers."""
        command = [
            sys.executable,
            "-m",
            "rotorwright",
            "open",
            str(self.folder),
            "--no-browser",
            "--port",
            str(self.port),
            *self.options,
        ]
        environment = {key: value for key, value in os.environ.items() if not key.startswith(("PYTEST", "NICEGUI"))}
        self._process = subprocess.Popen(command, stderr=subprocess.PIPE, env=environment)
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            if self._process.poll() is not None:
                said = self._process.stderr.read().decode() if self._process.stderr else ""
                raise RuntimeError(f"the server ended: {said}")
            try:
                urllib.request.urlopen(self.address, timeout=1.0).close()
                return
            except OSError:
                time.sleep(0.1)
        raise RuntimeError("the server does not answer")

    def stop(self) -> None:
        """Stop it."""
        if self._process is not None:
            self._process.terminate()
            self._process.wait(10.0)
            if self._process.stderr:
                self._process.stderr.close()
            self._process = None
