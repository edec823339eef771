"""Every state an aircraft file has been in, kept on disk, so that a change can be taken back days later.

One small database stands beside the aircraft files in the folder `KEPT_IN`. The aircraft file stays the single truth:
a state that came about elsewhere (an editor, a sync program) is taken into the record as it is found.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from rotorwright.base.errors import InputError

KEPT_IN = ".rotorwright"
MOST_STEPS = 500
"""States kept of one file; the oldest go first."""
LAYOUT = """
create table if not exists step (
  number integer primary key autoincrement, file text not null, time real not null, said text not null,
  text text not null
);
create index if not exists step_of_file on step (file, number);
create table if not exists place (file text primary key, number integer not null);
create table if not exists kept (name text primary key, value text not null);
"""


@dataclass(frozen=True)
class Step:
    """One state of a file."""

    number: int
    time: float
    """Seconds since 1970, UTC."""
    said: str
    text: str


class Steps:
    """The states of the aircraft files of one folder, with a place in each file's row of them.

    Parameters
    ----------
    folder : Path
        Where the aircraft files are. Nothing is written before the first state is kept.
    """

    def __init__(self, folder: Path) -> None:
        self.path = folder / KEPT_IN / "steps.sqlite"

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        try:
            self.path.parent.mkdir(exist_ok=True)
            connection = sqlite3.connect(self.path, timeout=5.0)
        except (OSError, sqlite3.Error) as problem:
            raise InputError(f"cannot keep what changed: {problem}", place=str(self.path)) from None
        try:
            with connection:
                connection.executescript(LAYOUT)
                yield connection
        except sqlite3.Error as problem:
            hint = "Move this file away to begin a new record; the aircraft files are not touched"
            raise InputError(
                f"the record of changes cannot be used: {problem}", place=str(self.path), hint=hint
            ) from None
        finally:
            connection.close()

    def keep(self, file: str, text: str, said: str) -> None:
        """Keep a state as the newest of a file; states that had been taken back are dropped.

        Parameters
        ----------
        file : str
            Name of the aircraft file.
        text : str
            The whole file. A state equal to the present one is not kept twice.
        said : str
            What changed, in words.
        """
        with self._open() as kept:
            here = self._here(kept, file)
            if here is not None and here.text == text:
                return
            kept.execute("delete from step where file = ? and number > ?", (file, here.number if here else -1))
            made = kept.execute(
                "insert into step (file, time, said, text) values (?, ?, ?, ?)", (file, time.time(), said, text)
            )
            kept.execute("insert or replace into place values (?, ?)", (file, made.lastrowid))
            kept.execute(
                "delete from step where file = ? and number not in"
                " (select number from step where file = ? order by number desc limit ?)",
                (file, file, MOST_STEPS),
            )

    def here(self, file: str) -> Step | None:
        """Return the state a file is in, as far as the record knows."""
        if not self.path.exists():
            return None
        with self._open() as kept:
            return self._here(kept, file)

    def back(self, file: str) -> Step | None:
        """Return the state before the present one, or None."""
        return self._beside(file, "<", "desc")

    def forward(self, file: str) -> Step | None:
        """Return the state that was taken back last, or None."""
        return self._beside(file, ">", "asc")

    def go(self, file: str, step: Step) -> None:
        """Say that a file is now in a state of its row."""
        with self._open() as kept:
            kept.execute("insert or replace into place values (?, ?)", (file, step.number))

    def all(self, file: str) -> list[Step]:
        """Return every state of a file, oldest first."""
        if not self.path.exists():
            return []
        with self._open() as kept:
            rows = kept.execute("select number, time, said, text from step where file = ? order by number", (file,))
            return [Step(*row) for row in rows]

    def remember(self, name: str, value: str) -> None:
        """Keep a word under a name (where the maker was last)."""
        with self._open() as kept:
            kept.execute("insert or replace into kept values (?, ?)", (name, value))

    def recall(self, name: str) -> str | None:
        """Return what was kept under a name."""
        if not self.path.exists():
            return None
        with self._open() as kept:
            row = kept.execute("select value from kept where name = ?", (name,)).fetchone()
            return None if row is None else str(row[0])

    def _here(self, kept: sqlite3.Connection, file: str) -> Step | None:
        row = kept.execute(
            "select step.number, time, said, text from step join place on place.number = step.number"
            " where step.file = ? and place.file = ?",
            (file, file),
        ).fetchone()
        return None if row is None else Step(*row)

    def _beside(self, file: str, sense: str, order: str) -> Step | None:
        here = self.here(file)
        if here is None:
            return None
        with self._open() as kept:
            row = kept.execute(
                f"select number, time, said, text from step where file = ? and number {sense} ?"
                f" order by number {order} limit 1",
                (file, here.number),
            ).fetchone()
            return None if row is None else Step(*row)
