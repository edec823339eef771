"""Where each field stands in a TOML file: a scanner of lines, run only when there is something to complain about.

The TOML parsers keep no positions. This walks text that has already been accepted by one, so it need not check
anything; it knows tables, arrays of tables, dotted and quoted keys, arrays, inline tables and all four kinds of string.
"""

from __future__ import annotations

from collections.abc import Mapping

Path = tuple[str | int, ...]

_BARE_END = set(" \t\r\n=.,]}#\"'")


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.line = 1
        self.lines: dict[Path, int] = {}
        self.counts: dict[Path, int] = {}

    def step(self, count: int = 1) -> None:
        self.line += self.text.count("\n", self.at, self.at + count)
        self.at += count

    def peek(self) -> str:
        return self.text[self.at] if self.at < len(self.text) else ""

    def skip(self, newlines: bool) -> None:
        """Skip blanks and, across lines, comments."""
        while self.at < len(self.text):
            letter = self.text[self.at]
            if letter in " \t\r" or (newlines and letter == "\n"):
                self.step()
            elif letter == "#":
                end = self.text.find("\n", self.at)
                self.step((len(self.text) if end < 0 else end) - self.at)
            else:
                return

    def string(self) -> str:
        quote = self.peek()
        triple = quote * 3
        if self.text.startswith(triple, self.at):
            end = self.at + 3
            while not self.text.startswith(triple, end):
                end += 2 if self.text[end] == "\\" and quote == '"' else 1
            while self.text.startswith(quote, end + 3):
                end += 1
            found = self.text[self.at + 3 : end]
            self.step(end + 3 - self.at)
            return found
        end = self.at + 1
        while self.text[end] != quote:
            end += 2 if self.text[end] == "\\" and quote == '"' else 1
        found = self.text[self.at + 1 : end]
        self.step(end + 1 - self.at)
        return found

    def key(self) -> Path:
        """Read a dotted key."""
        parts: list[str] = []
        while True:
            self.skip(newlines=False)
            if self.peek() in "\"'":
                parts.append(self.string())
            else:
                start = self.at
                while self.peek() and self.peek() not in _BARE_END:
                    self.at += 1
                parts.append(self.text[start : self.at])
            self.skip(newlines=False)
            if self.peek() != ".":
                return tuple(parts)
            self.step()

    def note(self, path: Path) -> None:
        for length in range(1, len(path) + 1):
            self.lines.setdefault(path[:length], self.line)

    def value(self, path: Path) -> None:
        self.note(path)
        first = self.peek()
        if first in "\"'":
            self.string()
        elif first == "[":
            self.step()
            index = 0
            while True:
                self.skip(newlines=True)
                if self.peek() in ("]", ""):
                    self.step()
                    return
                self.value((*path, index))
                index += 1
                self.skip(newlines=True)
                if self.peek() == ",":
                    self.step()
        elif first == "{":
            self.step()
            while True:
                self.skip(newlines=True)
                if self.peek() in ("}", ""):
                    self.step()
                    return
                if self.peek() == ",":
                    self.step()
                    continue
                self.pair(path)
        else:
            while self.peek() and self.peek() not in ",]}#\n":
                self.at += 1

    def pair(self, table: Path) -> None:
        line = self.line
        path = (*table, *self.key())
        self.lines.setdefault(path, line)
        self.skip(newlines=False)
        self.step()  # the equals sign
        self.skip(newlines=False)
        self.value(path)

    def header(self) -> Path:
        array = self.text.startswith("[[", self.at)
        self.step(2 if array else 1)
        written = self.key()
        path: Path = ()
        for position, part in enumerate(written):
            path = (*path, part)
            last = position == len(written) - 1
            if last and array:
                self.counts[path] = self.counts.get(path, -1) + 1
            if path in self.counts and (array or not last):
                path = (*path, self.counts[path])
        self.note(path)
        self.step(2 if array else 1)
        return path

    def run(self) -> dict[Path, int]:
        table: Path = ()
        while True:
            self.skip(newlines=True)
            if self.at >= len(self.text):
                return self.lines
            if self.peek() == "[":
                table = self.header()
            else:
                self.pair(table)


def line_table(text: str) -> dict[Path, int]:
    """Return the line of every table and field of TOML text, by its path (a text that breaks off gives what it can)."""
    scanner = _Scanner(text)
    try:
        return scanner.run()
    except IndexError:
        return scanner.lines


def line_of(lines: Mapping[Path, int], path: Path) -> int | None:
    """Return the line of a field or, if it is not in the file, of the nearest table round it."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return None
