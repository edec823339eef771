"""What differs between two aircraft files: every number in the maker's own words, parts added and removed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from rotorwright.base.errors import InputProblems
from rotorwright.design.aeroplane import Aeroplane, build
from rotorwright.design.fields import AXES
from rotorwright.design.parts.site import PART_KINDS

ADDED, REMOVED, CHANGED, REWRITTEN = "added", "removed", "changed", "written otherwise"
_LETTERS = {digit: letter for letter, digit in AXES.items()}
_UNTOLD = object()


@dataclass(frozen=True)
class Difference:
    """One thing told differently."""

    field: str
    """Dotted field; of a part added or removed ``kind.name``."""
    how: str
    """`ADDED` or `REMOVED` (a part), `CHANGED`, or `REWRITTEN` (the same measure in other words)."""
    before: str
    """As it stood in the file; empty if it was not told."""
    after: str
    moves: bool
    """Whether it can move a result: names and other words for the same measure cannot."""

    def sentence(self) -> str:
        """Return it in words."""
        if self.how in (ADDED, REMOVED):
            return f"{self.field} {self.how}"
        return f"{self.field}: {self.before or 'not told'} → {self.after or 'not told'}"


def differences(old: Aeroplane, new: Aeroplane) -> tuple[Difference, ...]:
    """Return everything told differently, in the order of the new file; what was removed comes last."""
    found: list[Difference] = []
    for kind in _order(old.told, new.told):
        before, after = old.told.get(kind, {}), new.told.get(kind, {})
        if kind in PART_KINDS and isinstance(before, Mapping) and isinstance(after, Mapping):
            for name in _order(before, after):
                found += _part(old, new, kind, name, before.get(name), after.get(name))
        else:
            found += _fields(old, new, kind, old.told.get(kind, _UNTOLD), new.told.get(kind, _UNTOLD))
    return tuple(sorted(found, key=lambda each: each.how == REMOVED))


def _order(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[str]:
    return [*after, *(key for key in before if key not in after)]


def _part(old: Aeroplane, new: Aeroplane, kind: str, name: str, before: Any, after: Any) -> Iterator[Difference]:
    if before is None:
        yield Difference(f"{kind}.{name}", ADDED, "", "", True)
    elif after is None:
        yield Difference(f"{kind}.{name}", REMOVED, "", "", True)
    else:
        yield from _fields(old, new, f"{kind}.{name}", before, after)


def _fields(old: Aeroplane, new: Aeroplane, path: str, before: Any, after: Any) -> Iterator[Difference]:
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        for key in _order(before, after):
            yield from _fields(old, new, f"{path}.{key}", before.get(key, _UNTOLD), after.get(key, _UNTOLD))
    elif isinstance(before, list) and isinstance(after, list) and len(before) == len(after):
        for index, (one, two) in enumerate(zip(before, after, strict=True)):
            place = _LETTERS.get(str(index), str(index)) if path.endswith((".position", ".start", ".end")) else index
            yield from _fields(old, new, f"{path}.{place}", one, two)
    elif before is _UNTOLD and isinstance(after, Mapping):
        for key in after:
            yield from _fields(old, new, f"{path}.{key}", _UNTOLD, after[key])
    elif after is _UNTOLD and isinstance(before, Mapping):
        for key in before:
            yield from _fields(old, new, f"{path}.{key}", before[key], _UNTOLD)
    elif before is _UNTOLD or after is _UNTOLD or before != after:
        same = _value(old, path) == _value(new, path) is not None
        how = REWRITTEN if same and before is not _UNTOLD and after is not _UNTOLD else CHANGED
        yield Difference(path, how, _text(before), _text(after), not same and path != "name")


def _value(aeroplane: Aeroplane, path: str) -> Any:
    try:
        value = aeroplane.value(path)
    except InputProblems:
        return None
    return round(value, 12) if isinstance(value, float) else value


def _text(told: Any) -> str:
    if told is _UNTOLD:
        return ""
    if isinstance(told, bool):
        return "true" if told else "false"
    if isinstance(told, list):
        return ", ".join(_text(each) for each in told)
    return str(told)


def between(old: Aeroplane, new: Aeroplane, taken: frozenset[str]) -> Aeroplane:
    """Return the old aeroplane with some of the differences to the new one made.

    Parameters
    ----------
    old, new : Aeroplane
    taken : frozenset of str
        Fields of `differences`.

    Raises
    ------
    InputProblems
        If what comes out describes no aeroplane.
    """
    told = _merged(old.told, new.told, "", taken)
    return build(told, new.source, "")


def _merged(before: Any, after: Any, path: str, taken: frozenset[str]) -> Any:
    if path in taken:
        return after
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        both: dict[str, Any] = {}
        for key in _order(before, after):
            value = _merged(before.get(key, _UNTOLD), after.get(key, _UNTOLD), f"{path}.{key}" if path else key, taken)
            if value is not _UNTOLD:
                both[key] = value
        return both
    if isinstance(before, list) and isinstance(after, list) and len(before) == len(after):
        axes = path.endswith((".position", ".start", ".end"))
        places = [_LETTERS.get(str(index), str(index)) if axes else str(index) for index in range(len(before))]
        return [
            _merged(one, two, f"{path}.{place}", taken) for one, two, place in zip(before, after, places, strict=True)
        ]
    if before is _UNTOLD and isinstance(after, Mapping):
        inner = {key: _merged(_UNTOLD, value, f"{path}.{key}", taken) for key, value in after.items()}
        inner = {key: value for key, value in inner.items() if value is not _UNTOLD}
        return inner or _UNTOLD
    if after is _UNTOLD and isinstance(before, Mapping):
        inner = {key: _merged(value, _UNTOLD, f"{path}.{key}", taken) for key, value in before.items()}
        inner = {key: value for key, value in inner.items() if value is not _UNTOLD}
        return inner or _UNTOLD
    return before
