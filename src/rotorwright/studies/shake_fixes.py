"""Fixes tried by the model: what moves a rotor's keep-out bands, ranked by how surely the flight is then clear."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.fill import fill
from rotorwright.design.filled_in import known
from rotorwright.studies.shake_bands import KeepOut, criticals_of, first_band, keep_outs
from rotorwright.studies.shake_model import mount_exponent, rotor_shaft

Floats = npt.NDArray[np.float64]

STOCK = ((3, 2), (4, 2.5), (5, 3), (6, 4), (8, 6), (10, 8), (12, 10), (14, 12), (16, 14), (20, 18), (25, 23), (30, 28))
"""Stock tube sizes, outer and inner diameter [mm] (common practice)."""
WORDS = ("soft", "bracket", "stiff")
SHORT_END = 0.012
"""Tube a builder can hardly do without beyond each end face, bearing and collar on it [m] (judgement)."""


@dataclass(frozen=True)
class Fix:
    """One change and what it does."""

    words: str
    changes: dict[str, str]
    """Fields of the aircraft file and their new text."""
    first_critical: Quantity
    """Forward, or the lower edge of an unstable band [rad/s]."""
    clear: float
    """Share of samples in which the flight then meets no band to avoid."""
    gained: float
    """Of it more than before."""
    added_mass: float
    """Of one rotor, nominal [kg]."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            "fix": self.words,
            "changes": dict(self.changes),
            "first_critical": self.first_critical.as_dict(),
            "clear": self.clear,
            "gained": self.gained,
            "added_mass": self.added_mass,
        }


def clear_share(bands: list[KeepOut], slowest: Floats, fastest: Floats) -> float:
    """Return the share of samples in which flight meets none of the bands to avoid."""
    lines = [band for band in bands if band.how == "avoid"]
    picked = slice(1, None) if len(slowest) > 1 else slice(None)
    there = np.isfinite(slowest) & np.isfinite(fastest)
    meets = np.zeros(len(slowest), dtype=bool)
    for band in lines:
        with np.errstate(invalid="ignore"):
            meets |= (slowest <= band.upper_edges) & (fastest >= band.lower_edges)
    count = int(there[picked].sum())
    return float((there & ~meets)[picked].sum()) / count if count else 0.0


def candidates(aeroplane: Aeroplane, name: str) -> Iterator[tuple[str, dict[str, str]]]:
    """Yield changes worth trying on one rotor: words and fields of the file."""
    rotor = aeroplane.tables.rotor[name]
    shaft, path = rotor.shaft, f"rotor.{name}.shaft"
    tube = shaft.tube
    if tube is not None:
        larger = [size for size in STOCK if size[0] > 1000.0 * tube.outer + 0.5 and size[0] < 500.0 * rotor.diameter]
        for outer, inner in larger[:2]:
            text = f"{tube.words or 'carbon'} {outer:g}x{inner:g} mm"
            yield f"a thicker tube, {text}, with bearings to match", {f"{path}.tube": text, f"{path}.bearings": ""}
    exponent = mount_exponent(aeroplane, name)
    if exponent > 1.0:
        yield "the mounts as stiff as a rib on a stiff wing or boom", {f"{path}.mount": "stiff"}
    elif exponent == 1.0 and shaft.mount in WORDS[:2]:
        for word in WORDS[WORDS.index(shaft.mount) + 1 :]:
            yield f'mounts of the kind "{word}" instead of "{shaft.mount}"', {f"{path}.mount": word}
    elif exponent < 1.0:
        stiffer = 3.0 * known(shaft.mount_stiffness)
        change = {f"{path}.mount_stiffness": f"{stiffer / 1000.0:.3g} N/mm"}
        if known(shaft.mount_stiffness_fore) != known(shaft.mount_stiffness):
            change[f"{path}.mount_stiffness_fore"] = f"{3.0 * known(shaft.mount_stiffness_fore) / 1000.0:.3g} N/mm"
        yield f"mounts three times as stiff, {stiffer / 1000.0:.3g} N/mm", change
    places = shaft.bearing_positions or ()
    if len(places) == 2 and shaft.turns:
        middle = 0.5 * (places[0] + places[1])
        yield (
            "a third bearing in the middle, in a gap of the rotor",
            {
                f"{path}.bearing_positions": [f"{1000.0 * place:.4g} mm" for place in (places[0], middle, places[1])],  # type: ignore[dict-item]
                f"{path}.bearing_count": "",
            },
        )
    reach = 0.5 * rotor.span + SHORT_END
    if len(places) >= 2 and max(abs(places[0]), abs(places[-1])) > reach + 0.003:
        pulled = [min(max(place, -reach), reach) for place in places]
        yield (
            "bearings close to the end discs",
            {
                f"{path}.bearing_positions": [f"{1000.0 * place:.4g} mm" for place in pulled],  # type: ignore[dict-item]
                f"{path}.bearing_count": "",
            },
        )
    if rotor.discs is not None and rotor.discs.turn:
        thinner = 0.5 * known(rotor.discs.thickness)
        yield "discs of half the thickness", {f"rotor.{name}.discs.thickness": f"{1000.0 * thinner:.3g} mm"}


def try_fixes(
    aeroplane: Aeroplane,
    name: str,
    factors: npt.NDArray[Any],
    slowest: Floats,
    fastest: Floats,
    before: float,
    mass: float,
) -> tuple[Fix, ...]:
    """Return the fixes of one rotor, best first.

    Parameters
    ----------
    aeroplane : Aeroplane
        As it stands.
    name : str
        Table name of the rotor.
    factors : array of FACTORS records, shape (cases,)
        Nominal first.
    slowest, fastest : array, shape (cases,)
        Flight of every case [rad/s]; the fix is judged at the same speeds.
    before : float
        Share of samples clear as it stands.
    mass : float
        Turning mass as it stands, nominal [kg].
    """
    found = []
    top = float(np.nanmax(fastest)) if np.isfinite(fastest).any() else 0.0
    for words, changes in candidates(aeroplane, name):
        told = {field: text if text != "" else None for field, text in changes.items()}
        other = aeroplane.changed(told)
        shaft = rotor_shaft(other, fill(other), name, factors)
        forward, backward = criticals_of(shaft)
        bands = keep_outs(shaft, top, 0.0, forward, backward)
        clear = clear_share(bands, slowest, fastest)
        first = first_band(shaft, forward).critical
        added = float(shaft.mass[0]) - mass
        shown = {field: text for field, text in changes.items() if text != ""}
        found.append(Fix(words, shown, first, clear, clear - before, added))
    nominal = [-(fix.first_critical.nominal or 0.0) for fix in found]
    order = sorted(range(len(found)), key=lambda place: (-round(found[place].clear, 2), nominal[place]))
    return tuple(found[place] for place in order)
