"""What a recording tells about a rotor: vibration per order of the spin, peak speeds, suspected cause, unbalance."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.studies.vibration_record import VibrationRecord

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]

SOURCES = ("mechanics",)
LOWEST = 2.0
"""Slower turns than this [Hz] are not looked for: hands and waves shake a phone there."""
ORDERS = (1, 2, 3, 4, 5, 6)
WINDOW_TURNS, WINDOW_LEAST = 25.0, 1.0
SWEPT = 0.08
"""Spread of the tracked speed over its middle from which a recording counts as a run through a range of speeds."""
NEAR = 0.12
"""A peak speed within this share of a predicted one is taken for it."""
GAIN_SPREAD, MASS_SPREAD, PLACE_SPREAD = 0.03, 0.03, 0.06
"""One standard deviation of the sensor's gain, of the shaken mass, and of the error of treating the whole as one rigid
mass shaken at the sensor's place (judgement)."""
CLEAR = 4.0
"""A tone counts when it stands so many times above the scatter round it."""
DRAWS = 256


@dataclass(frozen=True)
class OrderLine:
    """Vibration at a whole multiple of the spin."""

    order: int
    acceleration: Quantity
    """Largest swing in any direction [m/s²]."""
    velocity: Quantity
    """Root mean square [m/s]."""
    clear: bool
    """Whether it stands above the scatter."""


@dataclass(frozen=True)
class PeakSpeed:
    """A rotor speed at which a run through speeds shakes most."""

    rotor_speed: float
    amplitude: float
    """Once-per-turn displacement there [m]."""
    predicted: float | None
    """The nearest predicted critical speed, if one is near [rad/s]."""


@dataclass(frozen=True)
class RecordAnswer:
    """What a recording tells."""

    rotor_speed: Quantity
    found: bool
    """Whether the speed was found in the recording (else it was told)."""
    orders: tuple[OrderLine, ...]
    peaks: tuple[PeakSpeed, ...]
    track: tuple[tuple[float, float, float], ...]
    """Time [s], rotor speed [rad/s], once-per-turn acceleration [m/s²] of every window."""
    causes: tuple[str, ...]
    unbalance: Quantity | None
    """[kg m], if the shaken mass was told."""
    heavy_angle: Quantity | None
    """Where the heavy place lies, from the mark against the spin [rad]."""
    rate: float
    duration: float
    notes: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "rotor_speed": self.rotor_speed.as_dict(),
            "found": self.found,
            "orders": [
                {"order": line.order, "acceleration": line.acceleration.as_dict(), "velocity": line.velocity.as_dict(),
                 "clear": line.clear}
                for line in self.orders
            ],
            "peaks": [
                {"rotor_speed": peak.rotor_speed, "amplitude": peak.amplitude, "predicted": peak.predicted}
                for peak in self.peaks
            ],
            "track": [list(row) for row in self.track],
            "causes": list(self.causes),
            "unbalance": None if self.unbalance is None else self.unbalance.as_dict(),
            "heavy_angle": None if self.heavy_angle is None else self.heavy_angle.as_dict(),
            "rate": self.rate,
            "duration": self.duration,
            "notes": list(self.notes),
        }  # fmt: skip


def analyse_record(
    record: VibrationRecord,
    *,
    rotor_speed: float | None = None,
    vanes: int = 0,
    body_mass: float | None = None,
    predicted: Sequence[float] = (),
    mark_axis: str | None = None,
    seed: int = 0,
) -> RecordAnswer:
    """Return what a recording tells about the rotor.

    Parameters
    ----------
    record : VibrationRecord
        From `read_record` or `clean_record`.
    rotor_speed : float, optional
        As measured otherwise [rad/s], good to a few per cent; found in the recording unless told.
    vanes : int
        Of the rotor, to know vane passing; 0 for a drum.
    body_mass : float, optional
        Everything that is shaken, hung or set on soft foam so that it moves freely [kg]: tells the unbalance.
    predicted : sequence of float
        Critical speeds reckoned beforehand [rad/s].
    mark_axis : str, optional
        Axis of the phone along which the mark points when it is seen; the first one unless told.
    seed : int
        Of the draws behind the bands.

    Returns
    -------
    RecordAnswer

    Raises
    ------
    InputError
        If the rotor turns too fast for the sampling rate, or nothing clear is in the recording.

    Notes
    -----
    Windows of about 25 turns; in each the tone near the expected speed is refined and fitted with its multiples by
    least squares; multiples above the believed range are left out. Displacement a/(2πf)². Unbalance of a free body:
    U = M a/Ω².
    """
    told = None if rotor_speed is None else abs(rotor_speed) / (2.0 * math.pi)
    if told is not None and told > record.highest:
        raise InputError(
            f"sampled {record.rate:.0f} times a second shows nothing true above {record.highest:.0f} turns a second",
            place="recording", found=f"the rotor turns {told:.1f} times",
            hint="What it shows there is folded down from above. Record faster, or run the rotor slower.",
        )  # fmt: skip
    middle = _strongest(record) if told is None else _refined(record.acceleration, record.rate, told, 0.06)
    windows = _track(record, middle, told is not None)
    if not windows:
        raise InputError("holds no clear once-per-turn shake", place="recording", hint="Give the rotor speed.")
    track = [(time, 2.0 * math.pi * tone, float(_swing(fit.orders[0]))) for time, tone, fit in windows]
    speeds = np.array([row[1] for row in track])
    level = float(np.median(speeds))
    swept = float(np.ptp(speeds)) > SWEPT * level
    notes = list(record.notes)
    usable = [order for order in ORDERS if order * float(speeds.max()) / (2.0 * math.pi) <= record.highest]
    if len(usable) < 3:
        notes.append(f"at this speed only multiples of the spin up to {usable[-1] if usable else 0} can be seen")
    if told is None:
        fold = record.rate - level / (2.0 * math.pi)
        notes.append(
            f"the speed was found in the recording; a shake of {fold:.0f} Hz would look the same, so check it against "
            "the throttle"
        )
    random = np.random.default_rng([seed, 3])
    lines = tuple(_order_line(order, windows, random) for order in usable)
    peaks = _peaks(track, predicted) if swept else ()
    speed = from_samples(speeds, level, "rad/s", sources=SOURCES)
    unbalance, angle = None, None
    if not swept and lines and lines[0].clear and body_mass is not None:
        unbalance = _unbalance(windows, body_mass, random)
        axis = record.axes.index(mark_axis) if mark_axis in record.axes else 0
        angle = _heavy_angle(record, windows, axis, random)
    elif body_mass is not None and swept:
        notes.append("the speed changed during the recording: unbalance is told from a steady run only")
    causes = _causes(lines, peaks, vanes, record, level)
    return RecordAnswer(
        speed, told is None, lines, peaks, tuple(track), causes, unbalance, angle, record.rate, record.duration,
        tuple(notes),
    )  # fmt: skip


@dataclass(frozen=True)
class _Fit:
    orders: Complexes
    """Shape (orders, axes): amplitude and phase at the middle of the window."""
    scatter: float
    """Standard deviation of an amplitude."""


def _spectrum(piece: Floats, rate: float) -> tuple[Floats, Floats]:
    window = np.hanning(len(piece))[:, None]
    lines = np.fft.rfft(piece * window, 4 * len(piece), axis=0)
    size = np.sqrt((np.abs(lines) ** 2).sum(axis=1)) * (2.0 / float(window.sum()))
    frequency = np.asarray(np.fft.rfftfreq(4 * len(piece), 1.0 / rate), dtype=np.float64)
    return frequency, np.asarray(size, dtype=np.float64)


def _strongest(record: VibrationRecord) -> float:
    """Return the frequency of the strongest shake, or of its half if that is clear too [Hz]."""
    frequency, size = _spectrum(record.acceleration, record.rate)
    allowed = (frequency >= LOWEST) & (frequency <= record.highest)
    if not allowed.any():
        raise InputError("is too short or too slow to show a turn", place="recording")
    floor = float(np.median(size[allowed]))
    top = float(frequency[allowed][int(np.argmax(size[allowed]))])
    for share in (2.0, 3.0):
        near = np.abs(frequency - top / share) < max(2.0 * record.rate / len(record.acceleration), 0.01 * top)
        if top / share >= LOWEST and size[near].max() > max(0.2 * size[allowed].max(), 6.0 * floor):
            return _refined(record.acceleration, record.rate, top / share, 0.02)
    if size[allowed].max() < CLEAR * floor:
        raise InputError("holds no clear shake", place="recording", hint="Strap the phone tightly; give the speed.")
    return top


def _refined(piece: Floats, rate: float, near: float, reach: float) -> float:
    """Return the frequency of the strongest tone near a frequency, by a parabola through the top of its line."""
    frequency, size = _spectrum(piece, rate)
    allowed = np.flatnonzero(np.abs(frequency - near) <= max(reach * near, 1.5 * rate / len(piece)))
    if not len(allowed):
        return near
    top = int(allowed[int(np.argmax(size[allowed]))])
    if top in (allowed[0], allowed[-1]) or not 0 < top < len(size) - 1:
        return float(frequency[top])
    low, mid, high = np.log(np.maximum(size[top - 1 : top + 2], 1e-300))
    bend = low - 2.0 * mid + high
    shift = 0.5 * (low - high) / bend if bend < 0.0 else 0.0
    return float(frequency[top] + shift * (frequency[1] - frequency[0]))


def _track(record: VibrationRecord, middle: float, told: bool) -> list[tuple[float, float, _Fit]]:
    """Follow the once-per-turn tone through the recording, out from the place where it is clearest."""
    length = min(int(max(WINDOW_TURNS / middle, WINDOW_LEAST) * record.rate), len(record.acceleration))
    starts = np.arange(0, len(record.acceleration) - length + 1, max(length // 2, 1))
    fits: list[tuple[float, float, _Fit]] = []
    order = np.argsort([-_line_size(record.acceleration[s : s + length], record.rate, middle) for s in starts])
    begin = int(order[0])
    near = middle
    done: dict[int, float] = {}
    for step in (1, -1):
        near = done.get(begin, middle)
        place = begin if step == 1 else begin - 1
        while 0 <= place < len(starts):
            piece = record.acceleration[starts[place] : starts[place] + length]
            near = _refined(piece, record.rate, near, 0.06)
            done[place] = near
            place += step
    for place in sorted(done):
        piece = record.acceleration[starts[place] : starts[place] + length]
        tone = done[place]
        if not LOWEST <= tone <= record.highest:
            continue
        fit = _fitted(piece, record.rate, tone, record.highest)
        if told or _swing(fit.orders[0]) > 0.5 * CLEAR * fit.scatter:
            fits.append((record.start + (starts[place] + 0.5 * length) / record.rate, tone, fit))
    return fits


def _line_size(piece: Floats, rate: float, near: float) -> float:
    time = np.arange(len(piece)) / rate
    window = np.hanning(len(piece))
    return float(np.abs((piece * (window * np.exp(-2j * math.pi * near * time))[:, None]).sum(axis=0)).max())


def _fitted(piece: Floats, rate: float, tone: float, highest: float) -> _Fit:
    time = (np.arange(len(piece)) - 0.5 * (len(piece) - 1)) / rate
    orders = [order for order in ORDERS if order * tone <= highest]
    angle = 2.0 * math.pi * tone * time
    columns = [np.ones_like(time), time]
    for order in orders:
        columns += [np.cos(order * angle), np.sin(order * angle)]
    system = np.stack(columns, axis=1)
    found = np.linalg.lstsq(system, piece, rcond=None)[0]
    left = piece - system @ found
    noise = float(np.sqrt(np.mean(left**2))) * math.sqrt(2.0 / len(piece))
    whole = np.zeros((len(ORDERS), piece.shape[1]), dtype=np.complex128)
    whole[: len(orders)] = found[2::2] - 1j * found[3::2]  # a = Re(A e^{i ω t})
    return _Fit(whole, noise)


def _swing(vector: Complexes) -> Any:
    """Return the long half-axis of the ellipse a tone draws over its axes."""
    size = (np.abs(vector) ** 2).sum(axis=-1)
    turn = np.abs((vector**2).sum(axis=-1))
    return np.sqrt(0.5 * (size + turn))


def _order_line(order: int, windows: list[tuple[float, float, _Fit]], random: np.random.Generator) -> OrderLine:
    sizes = np.array([float(_swing(fit.orders[order - 1])) for _, _, fit in windows])
    scatter = float(np.median([fit.scatter for _, _, fit in windows]))
    tone = float(np.median([tone for _, tone, _ in windows]))
    error = np.hypot(float(np.std(sizes)), scatter) / math.sqrt(len(sizes))
    middle = float(np.median(sizes))
    drawn = np.abs(middle + error * random.standard_normal(DRAWS)) * (1.0 + GAIN_SPREAD * random.standard_normal(DRAWS))
    speed = 2.0 * math.pi * tone * order * math.sqrt(2.0)
    return OrderLine(
        order,
        from_samples(drawn, middle, "m/s2", sources=SOURCES),
        from_samples(drawn / speed, middle / speed, "m/s", sources=SOURCES),
        middle > CLEAR * scatter,
    )


def _peaks(track: list[tuple[float, float, float]], predicted: Sequence[float]) -> tuple[PeakSpeed, ...]:
    """Return speeds where the once-per-turn displacement is larger than beside it, largest first."""
    rows = np.array(sorted((speed, size / speed**2) for _, speed, size in track))
    low, high = rows[0, 0], rows[-1, 0]
    edges = np.linspace(low, high, max(min(len(rows) // 2, 40), 3) + 1)
    middle, size = [], []
    for start, end in pairwise(edges):
        inside = (rows[:, 0] >= start) & (rows[:, 0] <= end)
        if inside.any():
            top = int(np.argmax(rows[inside, 1]))
            middle.append(float(rows[inside, 0][top]))
            size.append(float(rows[inside, 1][top]))
    peaks = []
    for place in range(1, len(size) - 1):
        beside = 0.5 * (min(size[:place]) + min(size[place + 1 :]))
        if size[place] >= max(size[place - 1], size[place + 1]) and size[place] > 1.5 * beside:
            near = min(predicted, key=lambda each: abs(each - middle[place]), default=None)
            match = near if near is not None and abs(near - middle[place]) <= NEAR * near else None
            peaks.append(PeakSpeed(middle[place], size[place], match))
    return tuple(sorted(peaks, key=lambda peak: -peak.amplitude)[:4])


def _unbalance(windows: list[tuple[float, float, _Fit]], mass: float, random: np.random.Generator) -> Quantity:
    each = np.array([mass * float(_swing(fit.orders[0])) / (2.0 * math.pi * tone) ** 2 for _, tone, fit in windows])
    middle = float(np.median(each))
    own = float(np.std(each)) / math.sqrt(len(each)) / middle
    spread = math.sqrt(own**2 + GAIN_SPREAD**2 + MASS_SPREAD**2 + PLACE_SPREAD**2)
    return from_samples(middle * np.exp(spread * random.standard_normal(4 * DRAWS)), middle, "kg m", sources=SOURCES)


def _heavy_angle(
    record: VibrationRecord, windows: list[tuple[float, float, _Fit]], axis: int, random: np.random.Generator
) -> Quantity | None:
    """Return by how much the heavy place follows the mark, against the spin, by the shake along one axis."""
    if len(record.marks) < 5:
        return None
    vectors = []
    for time, tone, fit in windows:
        passed = record.marks[np.abs(record.marks - time) < max(0.5 * WINDOW_TURNS / tone, 0.5 * WINDOW_LEAST)]
        if len(passed):  # a mark is seen half a sample late on average, the window's middle lies half a sample early
            since = complex(np.mean(np.exp(2j * math.pi * tone * (time - passed))))
            vectors.append(since / abs(since) * np.exp(-1j * np.angle(fit.orders[0][axis])))
    if not vectors:
        return None
    mean = complex(np.mean(vectors))
    own = math.sqrt(max(-2.0 * math.log(min(max(abs(mean), 1e-12), 1.0)), 0.0) / len(vectors))
    turn = 2.0 * math.pi * float(np.median([tone for _, tone, _ in windows])) / record.rate
    spread = math.hypot(own, PLACE_SPREAD + 0.3 * turn)
    nominal = float(np.angle(mean)) % (2.0 * math.pi)
    return from_samples(nominal + spread * random.standard_normal(DRAWS), nominal, "rad", sources=SOURCES)


def _causes(
    lines: tuple[OrderLine, ...], peaks: tuple[PeakSpeed, ...], vanes: int, record: VibrationRecord, level: float
) -> tuple[str, ...]:
    """Return what the pattern of orders usually means, likeliest first (common practice)."""
    size = {line.order: line.velocity.nominal or 0.0 for line in lines if line.clear}
    causes = []
    once = size.get(1, 0.0)
    if not size:
        return ("nothing turns with the rotor in this recording: what shakes is something else",)
    if once and once >= 2.0 * max((size.get(order, 0.0) for order in (2, 3, 4)), default=0.0):
        causes.append("once per turn leads: unbalance, or a bowed shaft; balance it")
    if vanes >= 2 and size.get(vanes, 0.0) > 0.5 * once:
        causes.append(f"{vanes} per turn: the wind pulls at every vane; stages turned against each other smooth it")
    if size.get(2, 0.0) > 0.5 * once and vanes != 2:
        causes.append("twice per turn: bearings not in line, a bent coupling, or a shaft softer one way than the other")
    if sum(size.get(order, 0.0) > 0.2 * max(size.values()) for order in ORDERS) >= 4:
        causes.append("many multiples at once: something is loose and knocks")
    for peak in peaks:
        causes.append(
            "it peaks at a speed and falls beyond: a bending resonance of the shaft or of what holds it"
            if peak.predicted is not None
            else "it peaks at a speed that was not predicted: the stand, an outrigger or the tail resonates"
        )
        break
    causes += _steady_tones(record, level)
    return tuple(causes) or ("no single multiple leads: wind, or several things together",)


def _steady_tones(record: VibrationRecord, level: float) -> list[str]:
    """Name the strongest tone that is no multiple of the spin, if it beats the once-per-turn one."""
    frequency, size = _spectrum(record.acceleration, record.rate)
    turn = level / (2.0 * math.pi)
    width = max(0.06 * turn, 3.0 * record.rate / len(record.acceleration))
    allowed = (frequency >= LOWEST) & (frequency <= record.highest)
    once = float(size[np.abs(frequency - turn) <= width].max(initial=0.0))
    multiple = np.abs(frequency / turn - np.round(frequency / turn)) * turn <= width
    others = allowed & ~multiple
    if not others.any() or float(size[others].max()) < once:
        return []
    tone = float(frequency[others][int(np.argmax(size[others]))])
    return [
        f"the strongest shake, {tone:.1f} Hz, is no multiple of the spin: propeller, motor, belt, or the stand itself"
    ]
