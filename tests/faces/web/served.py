"""What the simulated user is served: the pages of the folder named in the environment."""

import os
from pathlib import Path

from nicegui import app, ui

from rotorwright.faces.web.desk import Desk
from rotorwright.faces.web.guard import Door
from rotorwright.faces.web.server import build
from rotorwright.faces.web.share import Share

FOLDER = "ROTORWRIGHT_SERVED_FOLDER"

if __name__ == "__main__":
    build(Desk(Path(os.environ[FOLDER])), Share(app, 0, Door()))
    ui.run()
