"""Standard output that never breaks: old code pages get plain spellings, a closed pipe ends the program quietly."""

from __future__ import annotations

import codecs
import contextlib
import io
import os
import sys

_PLAIN = {
    "–": "-", "—": "-", "−": "-", "…": "...", "²": "2", "³": "3", "°": "deg", "Ω": "ohm", "µ": "u", "·": ".", "×": "x",
    "ω": "omega", "ρ": "rho", "π": "pi", "≥": ">=", "≤": "<=", "≈": "about", "½": "1/2", "→": "->", "√": "sqrt",
    "“": '"', "”": '"', "‘": "'", "’": "'", "•": "*", "ä": "ae", "ö": "oe", "ü": "ue", "é": "e",
}  # fmt: skip


def _spell_plainly(problem: UnicodeError) -> tuple[str, int]:
    if not isinstance(problem, UnicodeEncodeError):
        raise problem
    text = problem.object[problem.start : problem.end]
    return "".join(_PLAIN.get(character, "?") for character in text), problem.end


def prepare_streams() -> None:
    """Let both streams write any text: characters that a code page lacks are spelled plainly."""
    codecs.register_error("spell plainly", _spell_plainly)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="spell plainly")


def give_up_output() -> None:
    """Stop writing after the reader has gone (``rotorwright … | head``)."""
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
