"""Bench call: the motions hidden in a linear model of flight, each with a pilot's name."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError

Floats = npt.NDArray[np.float64]

PLACE = "modes_of"
KINDS = {
    "speed": ("u", "v_x", "airspeed", "forward_speed", "speed", "velocity_x"),
    "plunge": ("w", "alpha", "heave_speed", "angle_of_attack", "velocity_z"),
    "pitch_rate": ("q", "pitch_rate"),
    "pitch": ("theta", "pitch"),
    "sideslip": ("v", "beta", "side_speed", "sideslip", "velocity_y"),
    "roll_rate": ("p", "roll_rate"),
    "yaw_rate": ("r", "yaw_rate"),
    "bank": ("phi", "roll", "bank"),
    "heading": ("psi", "yaw", "heading"),
    "place": ("x", "y", "z", "h", "north", "east", "down", "height", "altitude", "range"),
    "spin": ("rotor_speed", "omega", "spin"),
    "propeller": ("thruster_speed", "propeller_speed", "motor_speed"),
}
"""Names of states that are understood, by what they are; rotor speeds may carry an ending (``rotor_speed_left``)."""
LONGITUDINAL = ("speed", "plunge", "pitch_rate", "pitch")
LATERAL = ("sideslip", "roll_rate", "yaw_rate", "bank")
NEUTRAL = 1.0e-7
"""An eigenvalue smaller than this share of the largest is called neutral."""


@dataclass(frozen=True)
class Mode:
    """One motion of the linear model."""

    name: str
    eigenvalue: complex
    """[1/s]; of a swinging motion the one with positive imaginary part."""
    natural_frequency: float
    """[rad/s]"""
    damping_ratio: float | None
    """[1]; None when it does not swing."""
    period: float | None
    """[s]; None when it does not swing."""
    time_constant: float | None
    """1/|real part| [s]; None when neutral."""
    time_to_half: float | None
    """[s]; None when it does not fade."""
    time_to_double: float | None
    """[s]; None when it does not grow."""
    shape: dict[str, complex]
    """Eigenvector: how much of each state, the largest made 1."""
    participation: dict[str, float]
    """Share of each state in the motion; they add up to 1 and do not depend on units."""

    @property
    def real(self) -> float:
        """Real part of the eigenvalue [1/s]."""
        return self.eigenvalue.real

    @property
    def imaginary(self) -> float:
        """Imaginary part of the eigenvalue [rad/s]."""
        return self.eigenvalue.imag

    def words(self) -> str:
        """Return the motion in one sentence."""
        if self.time_to_double is not None:
            fate = f"grows, doubling in {_seconds(self.time_to_double)}"
        elif self.time_to_half is not None:
            fate = f"fades, halving in {_seconds(self.time_to_half)}"
        else:
            fate = "neither grows nor fades"
        if self.period is None:
            return f"{self.name}: {fate}."
        return f"{self.name}: swings once in {_seconds(self.period)} and {fate}."


@dataclass(frozen=True)
class Modes:
    """All motions of a linear model, fastest first; by name with ``modes["spiral"]``."""

    modes: tuple[Mode, ...]

    def __iter__(self) -> Iterator[Mode]:
        """Go through the motions."""
        return iter(self.modes)

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self.modes)

    def __getitem__(self, name: str | int) -> Mode:
        """Return a motion by its name (or place).

        Raises
        ------
        KeyError
            If there is none of that name.
        """
        if isinstance(name, int):
            return self.modes[name]
        for mode in self.modes:
            if mode.name == name:
                return mode
        raise KeyError(f"{name}: there are {', '.join(mode.name for mode in self.modes)}")


def modes_of(matrix: Sequence[Sequence[float]] | Floats, states: Sequence[str]) -> Modes:
    """Return the natural motions of ``d(state)/dt = matrix · state``, named.

    Parameters
    ----------
    matrix : array, shape (n, n)
        In the units of the states; angles in rad, time in s.
    states : sequence of str
        Name of each state: ``u w q theta`` (or ``alpha``), ``v p r phi`` (or ``beta``), ``psi``, places, rotor speeds
        (``rotor_speed_left`` …); full words such as ``pitch_rate`` are understood too. Other names are allowed: a
        motion that lives in them is named after the one it lives in most.

    Returns
    -------
    Modes
        A swinging pair counts once.

    Raises
    ------
    InputError
        If the matrix is not square and finite, or the names do not fit it.

    Notes
    -----
    Each motion goes to the group of states in which it takes part most (participation: product of right and left
    eigenvectors, free of units). Of the swinging longitudinal motions the faster is the short period, the slower the
    phugoid; a single one is a phugoid if it lives in speed and pitch. The swinging lateral motion is the Dutch roll; a
    second one, which replaces roll and spiral, the coupled roll-spiral. Of the lateral motions that do not swing the
    one that lives in the bank angle is the spiral, the other the roll.
    Source: names as in B. Etkin and L. D. Reid, Dynamics of Flight, 3rd ed. (1996), ch. 6 (read).
    """
    numbers, names = _checked(matrix, states)
    values, right = np.linalg.eig(numbers)
    kinds = [_kind(name) for name in names]
    shares = _participation(numbers, values, right)
    largest = max(1e-30, float(np.abs(values).max()))
    chosen = [i for i in range(len(values)) if values[i].imag >= 0.0]
    chosen.sort(key=lambda i: (-abs(values[i]), int(np.argmax(shares[:, i]))))
    called = _names(chosen, values, shares, kinds, names, largest)
    return Modes(tuple(_mode(called[i], values[i], right[:, i], shares[:, i], names, largest) for i in chosen))


def _checked(matrix: Any, states: Sequence[str]) -> tuple[Floats, tuple[str, ...]]:
    try:
        numbers = np.array(matrix, dtype=np.float64)
    except (TypeError, ValueError):
        numbers = np.empty(0)
    if numbers.ndim != 2 or numbers.shape[0] != numbers.shape[1] or not numbers.size:
        raise InputError("a square matrix is needed", place=PLACE, field="matrix", found=f"shape {numbers.shape}")
    if not np.isfinite(numbers).all():
        raise InputError("holds a number that is not finite", place=PLACE, field="matrix")
    names = tuple(states.split()) if isinstance(states, str) else tuple(states)
    if len(names) != len(numbers) or not all(isinstance(name, str) and name for name in names):
        raise InputError("one name for each row is needed", place=PLACE, field="states", found=repr(states)[:60],
                         allowed=f"{len(numbers)} names")  # fmt: skip
    if len(set(names)) != len(names):
        raise InputError("names a state twice", place=PLACE, field="states", found=", ".join(names))
    return numbers, names


def _kind(name: str) -> str:
    if name in ("V", "U"):  # airspeed; the small letters are other things
        return "speed"
    plain = name.strip().lower().removeprefix("delta_").removeprefix("d_").replace(" ", "_")
    for kind, words in KINDS.items():
        if plain in words or (kind in ("spin", "propeller") and plain.startswith(words)):
            return kind
    return "other"


def _participation(matrix: Floats, values: Any, right: Any) -> Floats:
    """Return the share of each state (row) in each motion (column)."""
    rough = np.abs(right) ** 2  # fallback for a matrix without a full set of eigenvectors
    if np.linalg.cond(right) < 1e12:
        rough = np.abs(right * np.linalg.inv(right).T)
    return np.asarray(rough / rough.sum(axis=0), dtype=np.float64)


def _names(
    chosen: list[int], values: Any, shares: Floats, kinds: list[str], states: tuple[str, ...], largest: float
) -> dict[int, str]:
    groups: dict[str, list[int]] = {
        "longitudinal": [],
        "lateral": [],
        "spin": [],
        "propeller": [],
        "heading": [],
        "place": [],
    }
    called: dict[int, str] = {}
    for i in chosen:
        weight = {
            group: sum(share for share, kind in zip(shares[:, i], kinds, strict=True) if kind in members)
            for group, members in (
                ("longitudinal", LONGITUDINAL), ("lateral", LATERAL), ("spin", ("spin",)),
                ("propeller", ("propeller",)), ("heading", ("heading",)),
                ("place", ("place",)), ("other", ("other",)),
            )
        }  # fmt: skip
        group = max(weight, key=lambda each: weight[each])
        if group == "other":
            called[i] = states[int(np.argmax(shares[:, i]))]
        else:
            groups[group].append(i)
    called |= _longitudinal(groups["longitudinal"], values, shares, kinds)
    called |= _lateral(groups["lateral"], values, shares, kinds)
    called |= dict.fromkeys(groups["spin"], "rotor speed")
    called |= dict.fromkeys(groups["propeller"], "propeller speed")
    called |= dict.fromkeys(groups["heading"], "heading")
    called |= {i: states[int(np.argmax(shares[:, i]))] for i in groups["place"]}
    return _told_apart(called, chosen)


def _longitudinal(group: list[int], values: Any, shares: Floats, kinds: list[str]) -> dict[int, str]:
    swinging = [i for i in group if values[i].imag > 0.0]
    still = [i for i in group if values[i].imag == 0.0]
    called = {}
    if len(swinging) >= 2:
        called = dict.fromkeys(swinging[:-1], "short period") | {swinging[-1]: "phugoid"}
    elif swinging:
        slow = sum(s for s, kind in zip(shares[:, swinging[0]], kinds, strict=True) if kind in ("speed", "pitch"))
        called[swinging[0]] = "phugoid" if slow > 0.5 else "short period"
    for i in still:
        weight = {kind: share for share, kind in zip(shares[:, i], kinds, strict=True) if kind in LONGITUDINAL}
        top = max(weight, key=lambda each: weight[each])
        word = {"speed": "speed", "plunge": "plunge", "pitch_rate": "pitch", "pitch": "pitch"}[top]
        called[i] = f"{word} divergence" if values[i].real > 0.0 else f"{word} subsidence"
    return called


def _lateral(group: list[int], values: Any, shares: Floats, kinds: list[str]) -> dict[int, str]:
    swinging = [i for i in group if values[i].imag > 0.0]
    still = [i for i in group if values[i].imag == 0.0]
    called = dict.fromkeys(swinging[1:], "coupled roll-spiral") | dict.fromkeys(swinging[:1], "Dutch roll")
    if len(still) == 1:
        slow = bool(swinging) and abs(values[still[0]]) < abs(values[swinging[0]])
        called[still[0]] = "spiral" if slow else "roll"
    elif still:
        bank = {i: sum(s for s, kind in zip(shares[:, i], kinds, strict=True) if kind == "bank") for i in still}
        spiral = max(still, key=lambda i: bank[i])
        called |= {i: "spiral" if i == spiral else "roll" for i in still}
    return called


def _told_apart(called: dict[int, str], chosen: list[int]) -> dict[int, str]:
    """Number motions of the same name, fastest first."""
    answer = {}
    for i in chosen:
        same = [j for j in chosen if called[j] == called[i]]
        answer[i] = called[i] if len(same) == 1 else f"{called[i]} {same.index(i) + 1}"
    return answer


def _mode(name: str, value: Any, vector: Any, shares: Floats, states: tuple[str, ...], largest: float) -> Mode:
    value = complex(value)
    size = abs(value)
    neutral = size <= NEUTRAL * largest
    if neutral:
        value, size = 0j, 0.0
    swings = value.imag > 0.0
    fades = value.real < -NEUTRAL * largest
    grows = value.real > NEUTRAL * largest
    pace = math.log(2.0) / abs(value.real) if fades or grows else None
    top = vector[int(np.argmax(np.abs(vector)))]
    return Mode(
        name,
        value,
        size,
        -value.real / size if swings else None,
        2.0 * math.pi / value.imag if swings else None,
        1.0 / abs(value.real) if fades or grows else None,
        pace if fades else None,
        pace if grows else None,
        {state: complex(part / top) for state, part in zip(states, vector, strict=True)},
        {state: float(share) for state, share in zip(states, shares, strict=True)},
    )


def _seconds(time: float) -> str:
    return f"{time:.2g} s" if time < 10.0 else f"{time:.0f} s"
