"""Draw the pictures of the rotor pages into ``docs/pictures``: our laws with bands, and the published points.

Run ``python tools/rotor_pictures.py``. The Altair specifications are
drawn as SVG; ``--png FOLDER`` also writes them as PNG to look at. Points come from ``tests/check_values/rotor``.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any

import altair as alt
import numpy as np

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from drawing import draw  # noqa: E402

import check_value_files as checks  # noqa: E402
import rotorwright  # noqa: E402
from rotorwright.base.unknown import nominal_factors, sampled_factors, unknowns  # noqa: E402
from rotorwright.physics.rotor.parked import ANGLES, parked_torque  # noqa: E402
from rotorwright.sheets.picture import (  # noqa: E402
    ACCENT,
    DASHES,
    FAINT,
    HEIGHT,
    INK,
    PAPER,
    WIDTH,
    Rows,
    axis,
    lines,
    points,
    themed,
)
from rotorwright.studies.bench_rotor import rotor_alone  # noqa: E402
from rotorwright.studies.bench_rotor_input import rotor_row  # noqa: E402
from rotorwright.studies.rotor_start import rotor_start  # noqa: E402
from rotorwright.studies.sampling import normal_scores  # noqa: E402
from rotorwright.studies.span_wise import span_wise  # noqa: E402

SAMPLES = 128


@lru_cache(maxsize=1)
def published() -> list[checks.Row]:
    """Return the rotor rows that a bench call answers, outliers left out."""
    return [
        row for row in checks.rows()
        if row.room == "rotor" and row.function == "rotorwright.rotor_alone" and row.status != "skip"
        and row.held_as != "memory"
    ]  # fmt: skip


def measured(quantity: str, wanted: Callable[[checks.Row], bool], source: str) -> Rows:
    """Return the points of the rows wanted, over spin ratio."""
    return [
        {"x": row.inputs["spin_ratio"], "y": row.expected, "source": source}
        for row in published()
        if row.quantity == quantity and "spin_ratio" in row.inputs and wanted(row)
    ]


def over_spin(name: str, spins: Iterable[float], quantity: str, **rotor: Any) -> Rows:
    """Return a law over spin ratio with its band."""
    found: Rows = []
    for spin in spins:
        answer = getattr(rotorwright.rotor_alone(spin_ratio=float(spin), samples=SAMPLES, **rotor), quantity)
        found.append(
            {"x": float(spin), "nominal": answer.nominal, "low": answer.low, "high": answer.high, "name": name}
        )
    return found


def drum_lift() -> Any:
    """Return lift of drums over spin ratio: aspect ratio and discs."""
    spins = np.linspace(0.0, 8.0, 41)
    drum = {"kind": "drum", "diameter": 0.1, "airspeed": 8.0}
    cases = {
        "aspect ratio 13, no discs": {"span": 1.33},
        "aspect ratio 5, no discs": {"span": 0.51},
        "aspect ratio 5, turning discs of 2.2": {"span": 0.49, "disc_diameter": 0.22},
    }
    law = [row for name, more in cases.items() for row in over_spin(name, spins, "lift_coefficient", **drum, **more)]
    sources = {
        "Reid 1924, aspect ratio 13": lambda row: row.key == "reid1924",
        "Badalamenti & Prince 2008, aspect ratio 5": lambda row: row.key == "badalamenti2008",
        "Prandtl 1926, turning discs": lambda row: row.key == "prandtl1926",
    }
    dots = [dot for name, wanted in sources.items() for dot in measured("lift_coefficient", wanted, name)]
    return titled(law, dots, list(cases), list(sources), "spin ratio", "lift coefficient", "Lift of drums")


def drum_drag() -> Any:
    """Return drag of drums over spin ratio."""
    spins = np.linspace(0.0, 5.0, 36)
    drum = {"kind": "drum", "diameter": 0.089, "span": 0.454, "airspeed": 8.2}
    cases = {"no discs": {}, "fixed discs of 2": {"disc_diameter": 0.178, "discs_turn": False}}
    law = [row for name, more in cases.items() for row in over_spin(name, spins, "drag_coefficient", **drum, **more)]
    sources = {
        "Badalamenti & Prince 2008, no discs": lambda row: row.key == "badalamenti2008",
        "Badalamenti 2010, fixed discs of 2": lambda row: row.key == "badalamenti2010",
    }
    dots = [dot for name, wanted in sources.items() for dot in measured("drag_coefficient", wanted, name)]
    return titled(law, dots, list(cases), list(sources), "spin ratio", "drag coefficient", "Drag of drums, aspect 5.1")


def titled(law: Rows, dots: Rows, cases: Sequence[str], sources: Sequence[str], x: str, y: str, title: str) -> Any:
    """Return laws with points as a finished picture."""
    chart = alt.layer(lines(law, x, y, cases), points(dots, sources))
    return themed(chart.properties(width=WIDTH, height=HEIGHT, title=title))


def vane_torque() -> Any:
    """Return torque of two- and three-bucket rotors over spin ratio."""
    spins = np.linspace(0.0, 1.9, 39)
    rotor = {"kind": "vaned", "section": "bucket", "diameter": 0.95, "disc_diameter": 1.045, "span": 1.0,
             "airspeed": 7.0}  # fmt: skip
    small = {"diameter": 0.2, "span": 0.2, "overlap": 0.01622, "disc_diameter": 0.22, "airspeed": 5.84}
    cases = {
        "two buckets, Re 4e5": {"buckets": 2, "overlap": 0.07},
        "three buckets, Re 4e5": {"buckets": 3},
        "two buckets, Re 8e4": {"buckets": 2, **small},
    }
    law = [
        row for name, more in cases.items()
        for row in over_spin(name, spins[spins < 1.3] if "8e4" in name else spins, "torque_coefficient", **rotor | more)
    ]  # fmt: skip
    sources = {
        "Sheldahl et al. 1978, two, Re 4e5 and 9e5": lambda row: (
            row.key == "sheldahl1978" and row.inputs.get("buckets", 2) == 2
        ),
        "Sheldahl et al. 1978, three, Re 4e5 and 9e5": lambda row: (
            row.key == "sheldahl1978" and row.inputs.get("buckets", 2) == 3
        ),
        "Kamoji et al. 2008, two, Re 8e4": lambda row: row.key == "kamoji2008",
    }
    dots = [dot for name, wanted in sources.items() for dot in measured("torque_coefficient", wanted, name)]
    return titled(
        law, dots, list(cases), list(sources), "spin ratio", "torque coefficient Q/(q S R)", "Torque of bucket rotors"
    )


def plate_torque() -> Any:
    """Return torque of a plate over spin ratio."""
    spins = np.linspace(0.0, 0.6, 37)
    rotor = {"kind": "vaned", "section": "plate", "diameter": 0.11, "span": 0.22, "disc_diameter": 0.121,
             "air_density": 1.2, "air_viscosity": 1.8e-5}  # fmt: skip
    law = [
        row for speed in (5.05, 13.2)
        for row in over_spin(f"{speed:.0f} m/s", spins, "torque_coefficient", airspeed=speed, **rotor)
    ]  # fmt: skip
    dots = measured("torque_coefficient", lambda row: row.key == "aqeel2025", "Aqeel 2025, 5 to 13 m/s")
    return titled(law, dots, ["5 m/s", "13 m/s"], ["Aqeel 2025, 5 to 13 m/s"], "spin ratio",
                  "torque coefficient Q/(q S R)", "Torque of a plate, aspect 2")  # fmt: skip


def spoken(key: str) -> str:
    """Return a citation key as author and year."""
    cut = next(place for place, letter in enumerate(key) if letter.isdigit())
    return f"{key[:cut].capitalize()} {key[cut:]}"


def residuals() -> Any:
    """Return ours less printed over the half-width of our band, for every tabulated source."""
    rows: Rows = []
    for row in published():
        answer = checks.outcome(row)
        if answer.low is None or answer.high is None:
            continue
        half = 0.5 * (answer.high - answer.low)
        if half <= 0.0 or row.quantity not in ("lift_coefficient", "drag_coefficient", "torque_coefficient"):
            continue
        gap = (row.expected - 0.5 * (answer.high + answer.low)) / half
        rows.append(
            {"gap": float(np.clip(gap, -4.0, 4.0)), "source": spoken(row.key), "quantity": row.quantity.split("_")[0],
             "status": "not met by the model" if row.status == "miss" else "met within tolerance"}
        )  # fmt: skip
    order = sorted({row["source"] for row in rows})
    shapes = alt.Scale(domain=["lift", "drag", "torque"], range=["circle", "square", "triangle-up"])
    colours = alt.Scale(domain=["met within tolerance", "not met by the model"], range=[INK, ACCENT])
    dots = (
        alt.Chart(alt.Data(values=rows))
        .mark_point(size=40, strokeWidth=1.4, opacity=0.85)
        .encode(
            x=alt.X("gap:Q", axis=axis("printed figure against our 80 % band (−1 and 1: its edges; cut off at 4)"),
                    scale=alt.Scale(domain=[-4, 4])),
            y=alt.Y("source:N", sort=order, axis=axis("", grid=True, bandPosition=0, ticks=False)),
            yOffset=alt.YOffset("quantity:N", sort=["lift", "drag", "torque"]),
            shape=alt.Shape("quantity:N", scale=shapes, title=None),
            color=alt.Color("status:N", scale=colours, title=None),
        )
    )  # fmt: skip
    band = alt.Chart(alt.Data(values=[{"from": -1, "to": 1}])).mark_rect(color=FAINT, opacity=0.22)
    shaded = band.encode(x="from:Q", x2="to:Q")
    return themed(alt.layer(shaded, dots).properties(
        width=WIDTH, height=34 * len(order), title="Every tabulated figure against the band"))  # fmt: skip


VANED: Mapping[str, Any] = {
    "kind": "vaned", "section": "s-section", "diameter": 0.12, "span": 0.6, "disc_diameter": 0.17, "stages": 3,
    "stage_phase": math.pi / 3.0, "airspeed": 10.0, "polar_inertia": 3e-4, "samples": SAMPLES,
}  # fmt: skip


def from_curve(name: str, curve: Mapping[str, Sequence[float]], x: str, factor: float = 1.0) -> Rows:
    """Return a history or curve of `rotor_start` as rows."""
    return [
        {"x": at, "nominal": n * factor, "low": low * factor, "high": high * factor, "name": name}
        for at, n, low, high in zip(curve[x], curve["nominal"], curve["low"], curve["high"], strict=True)
    ]


def freewheel() -> Any:
    """Return freewheel spin ratio over airspeed for three bearing frictions."""
    law: Rows = []
    names = []
    rotor = {name: value for name, value in VANED.items() if name not in ("airspeed", "polar_inertia")}
    for torque in (0.5e-3, 3e-3, 10e-3):
        name = f"{1000 * torque:g} mN m of friction"
        names.append(name)
        for airspeed in np.linspace(2.0, 15.0, 53):
            spin = rotorwright.rotor_alone(
                airspeed=float(airspeed), free=True, bearing_torque=torque, **rotor
            ).spin_ratio
            if spin.value is not None:
                law.append({"x": float(airspeed), "nominal": spin.nominal, "low": spin.low, "high": spin.high,
                            "name": name})  # fmt: skip
    chart = lines(law, "airspeed [m/s]", "freewheel spin ratio", names)
    title = "Freewheel of a 120 mm S-rotor, 600 mm span"
    return themed(chart.properties(width=WIDTH, height=HEIGHT, title=title))


def parked() -> Any:
    """Return torque at rest over the angle, one stage and three stages."""
    contrast = sampled_factors(normal_scores(SAMPLES, len(unknowns())))["parked_contrast"]
    contrast = np.concatenate([nominal_factors(1)["parked_contrast"], contrast])
    law: Rows = []
    names = []
    for stages, name in ((1, "one stage"), (3, "three stages, 60° apart")):
        names.append(name)
        phase = math.pi / 3.0 if stages > 1 else None
        row = rotor_row({**rotor_alone.__kwdefaults__, **VANED, "stages": stages, "stage_phase": phase})
        share = parked_torque(row, ANGLES, np.ones(len(contrast)), 61.25, 8.0e4, contrast)
        low, high = np.quantile(share[1:], (0.1, 0.9), axis=0)
        degrees = np.degrees(np.asarray(ANGLES))
        law += [
            {"x": float(at), "nominal": float(n), "low": float(a), "high": float(b), "name": name}
            for at, n, a, b in zip(degrees, share[0], low, high, strict=True)
        ]
    chart = lines(law, "angle of the vanes to the wind [°]", "torque at rest over its mean", names, right=360.0)
    return themed(chart.properties(width=WIDTH, height=HEIGHT, title="Torque of a parked S-rotor over the angle"))


def spin_history() -> Any:
    """Return spin-up of a driven drum and what is left of the lift when drive or wind goes."""
    drum = {"kind": "drum", "diameter": 0.1, "span": 0.5, "disc_diameter": 0.2, "airspeed": 8.0,
            "polar_inertia": 4e-4, "rotor_speed": 320.0, "samples": SAMPLES}  # fmt: skip
    law = from_curve("drum, its drive stops at 8 m/s", rotor_start(**drum).curves["losing"], "time")
    free = rotor_start(**VANED, bearing_torque=2e-3, slow_to=7.0)
    law += from_curve("S-rotor, the wind drops from 10 to 7 m/s", free.curves["losing"], "time")
    law = [row for row in law if row["x"] <= 8.0]
    names = list(dict.fromkeys(row["name"] for row in law))
    chart = lines(law, "time [s]", "share of the lift before", names)
    return themed(chart.properties(width=WIDTH, height=HEIGHT, title="Lift left when drive or wind goes"))


def spin_up() -> Any:
    """Return current and spin of Drum Major's drive on ramps of several lengths."""
    from rotorwright.studies.balance_quantities import Reader
    from rotorwright.studies.drive_choice_spin_up import spin_up_plan
    from rotorwright.studies.evaluate import fly
    from rotorwright.studies.held_flight import level_or_held

    flown = fly(rotorwright.load(ROOT / "examples" / "drum-major.toml"), samples=0, few=True, thorough=False)
    law: Rows = []
    names = []
    for ramp in (0.5, 1.0, 2.0, 4.0):
        name = f"ramp of {ramp:g} s"
        names.append(name)
        curve = spin_up_plan(flown, Reader(flown, "between data"), level_or_held(flown), ramp_time=ramp).curve
        law += [{"x": t, "nominal": i, "name": name} for t, i in zip(curve["time"], curve["current"], strict=True)]
    chart = lines(law, "time [s]", "current of one drive motor [A]", names, ribbon=False, right=4.0)
    return themed(chart.properties(width=WIDTH, height=HEIGHT, title="Spinning up the drums of the example Drum Major"))


def blown_map() -> Any:
    """Return lift gained and thrust lost over the place of Marsh Tumbler's propeller."""
    from rotorwright.studies.blown import blown

    answer = blown(rotorwright.load(ROOT / "examples" / "marsh-tumbler.toml"), samples=0)
    rows: Rows = []
    for name, table in (("lift gained", answer.map_lift), ("thrust lost", answer.map_thrust_lost)):
        for above, line in zip(answer.map_above, table, strict=True):
            rows += [
                {"ahead": f"{1000 * ahead:.0f}", "above": f"{1000 * above:.0f}", "force": force, "what": name}
                for ahead, force in zip(answer.map_ahead, line, strict=True)
            ]
    columns = [f"{1000 * ahead:.0f}" for ahead in answer.map_ahead]
    heights = [f"{1000 * above:.0f}" for above in answer.map_above]
    charts = []
    for name in ("lift gained", "thrust lost"):
        mine = [row for row in rows if row["what"] == name]
        most = max(row["force"] for row in mine)
        base = alt.Chart(alt.Data(values=mine)).encode(
            x=alt.X("ahead:O", sort=columns, axis=axis("propeller ahead of the axis [mm]", labelAngle=0)),
            y=alt.Y("above:O", sort=heights, axis=axis("above the axis [mm]")),
        )
        tone = alt.Scale(domain=[0, most], range=[PAPER, INK if name == "lift gained" else ACCENT])
        cells = base.mark_rect().encode(color=alt.Color("force:Q", scale=tone, legend=None))
        words = base.mark_text(fontSize=12, font="sans-serif").encode(
            text=alt.Text("force:Q", format=".1f"),
            color=alt.condition(f"datum.force > {0.55 * most}", alt.value(PAPER), alt.value(INK)),
        )
        charts.append(alt.layer(cells, words).properties(width=250, height=HEIGHT, title=f"{name} [N]"))
    return themed(alt.hconcat(*charts, spacing=26).resolve_scale(color="independent"))


def lift_along_span() -> Any:
    """Return lift per metre along the drums of an example, far from the ground and close to it."""
    aeroplane = rotorwright.load(ROOT / "examples" / "drum-major.toml")
    names = ("far from the ground", "0.25 m above it")
    rows: Rows = []
    for name, height in zip(names, (None, 0.25), strict=True):
        for strip in span_wise(aeroplane, height=height, samples=0).strips:
            if strip.is_rotor:
                rows += [
                    {"x": 1000.0 * place, "lift": lift, "name": name, "part": f"{name} {strip.name}"}
                    for place, lift in zip(strip.place, strip.lift, strict=True)
                ]
    scale = alt.Scale(domain=list(names), range=[INK, ACCENT])
    dash = alt.Scale(domain=list(names), range=list(DASHES[:2]))
    chart = (
        alt.Chart(alt.Data(values=rows))
        .mark_line(strokeWidth=2.4)
        .encode(
            x=alt.X("x:Q", axis=axis("right of the middle plane [mm]")),
            y=alt.Y("lift:Q", axis=axis("lift per metre of span [N/m]"), scale=alt.Scale(zero=True)),
            color=alt.Color("name:N", scale=scale, title=None),
            strokeDash=alt.StrokeDash("name:N", scale=dash, title=None),
            detail="part:N",
        )
    )
    return themed(chart.properties(width=WIDTH, height=220))


PICTURES: Mapping[str, Callable[[], Any]] = {
    "rotor-drum-lift": drum_lift,
    "rotor-drum-drag": drum_drag,
    "rotor-bucket-torque": vane_torque,
    "rotor-plate-torque": plate_torque,
    "rotor-residuals": residuals,
    "rotor-freewheel": freewheel,
    "rotor-parked-torque": parked,
    "rotor-lift-left": spin_history,
    "rotor-spin-up": spin_up,
    "rotor-blown": blown_map,
    "rotor-lift-along-span": lift_along_span,
}


if __name__ == "__main__":
    draw(PICTURES, sys.argv[1:])
