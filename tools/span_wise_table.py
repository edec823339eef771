"""Print the fast forms of the equation of motion beside the span-wise solution, on the example aeroplanes.

Run ``python tools/span_wise_table.py``; the table is that of docs/physics/flight-span-wise.md. Every Unknown stands at
its median.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import rotorwright
from rotorwright.studies.span_wise import SpanWiseAnswer, span_wise

ROOT = Path(__file__).resolve().parents[1]
HEADS = (
    "aeroplane",
    "airspeed [m/s]",
    "downwash: fast / strips [°]",
    "roll damping: fast / strips [N m s]",
    "yaw damping: fast / strips [N m s]",
    "end drag [N]: of it own wake / end loss",
    "drag from each other [N]",
)


def answers() -> dict[str, SpanWiseAnswer]:
    """Return the span-wise solution of every example."""
    files = sorted((ROOT / "examples").glob("*.toml"))
    return {path.stem: span_wise(rotorwright.load(path), samples=0) for path in files}


def row(name: str, answer: SpanWiseAnswer) -> str:
    """Return one line of the table."""

    def of(what: str, scale: float = 1.0) -> Any:
        quantity = answer.quantities.get(what)
        return math.nan if quantity is None or quantity.nominal is None else quantity.nominal * scale

    def pair(what: str, scale: float, digits: int) -> str:
        return f"{of(f'{what}_quick', scale):.{digits}f} / {of(what, scale):.{digits}f}"

    degrees = 180.0 / math.pi
    own, loss = of("span_induced_drag"), of("span_end_loss_drag")
    end = "—" if math.isnan(own) else f"{own + loss:.2f}: {own:.2f} / {loss:.2f}"
    others = "—" if math.isnan(own) else f"{of('span_drag_from_others'):.2f}"
    cells = (
        name,
        f"{answer.airspeed.nominal:.1f}",
        pair("tail_downwash", degrees, 1),
        pair("roll_damping", 1.0, 3),
        pair("yaw_damping", 1.0, 3),
        end,
        others,
    )
    return f"| {' | '.join(cells)} |"


def table() -> str:
    """Return the table as Markdown."""
    lines = [f"| {' | '.join(HEADS)} |", f"|{'---|' * len(HEADS)}"]
    lines += [row(name, answer) for name, answer in answers().items()]
    return "\n".join(lines)


if __name__ == "__main__":
    print(table())
