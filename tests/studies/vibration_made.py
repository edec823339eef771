"""Recordings made up for the tests: a rotor of known unbalance shakes a free body, with a phone's clock and gravity."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

GRAVITY = 9.80665


def made_recording(
    *,
    unbalance: float = 60e-6,
    body_mass: float = 2.0,
    rpm: float = 1200.0,
    rpm_end: float | None = None,
    heavy: float = 1.0,
    rate: float = 200.0,
    duration: float = 12.0,
    jitter: float = 0.15,
    noise: float = 0.3,
    twice: float = 0.0,
    resonance: float | None = None,
    seed: int = 0,
) -> dict[str, Any]:
    """Return time, acceleration (three axes, gravity in z and tilted), marks and the truth."""
    random = np.random.default_rng(seed)
    count = int(duration * rate)
    step = 1.0 / rate
    time = np.cumsum(step * (1.0 + jitter * np.clip(random.standard_normal(count), -2.5, 2.5)))
    start, end = rpm * math.pi / 30.0, (rpm_end or rpm) * math.pi / 30.0
    sweep = (end - start) / duration
    angle = start * time + 0.5 * sweep * time**2
    speed = start + sweep * time
    push = unbalance * speed**2 / body_mass
    phase = np.zeros(count)
    if resonance is not None:  # a damped resonance the unbalance drives: displacement grows and turns its phase
        ratio = speed / resonance
        answer = ratio**2 / (1.0 - ratio**2 + 2j * 0.04 * ratio)
        push = unbalance / body_mass * speed**2 * np.abs(answer)
        phase = np.angle(answer)
    shake = np.stack(
        [
            push * np.cos(angle - heavy + phase) + twice * push * np.cos(2.0 * angle),
            0.1 * push * np.cos(angle - heavy),
            push * np.sin(angle - heavy + phase),
        ],
        axis=1,
    )
    gravity = GRAVITY * np.array([0.17, -0.1, 0.98])
    drift = 0.2 * np.sin(2.0 * math.pi * 0.05 * time)[:, None]
    acceleration = shake + gravity + drift + noise * random.standard_normal((count, 3))
    mark = (np.mod(angle, 2.0 * math.pi) < 0.35 * math.pi).astype(float)
    return {
        "time": time, "acceleration": acceleration, "mark": mark, "speed": start, "unbalance": unbalance,
        "body_mass": body_mass, "heavy": heavy,
    }  # fmt: skip


def as_csv(
    made: dict[str, Any], *, head: str = "time_s,x_mps2,y_mps2,z_mps2", scale: tuple[float, float] = (1.0, 1.0)
) -> str:
    """Return a recording as text with columns; ``scale`` divides time and acceleration."""
    rows = [head]
    for time, (x, y, z) in zip(made["time"], made["acceleration"], strict=True):
        rows.append(f"{time / scale[0]:.6f},{x / scale[1]:.6f},{y / scale[1]:.6f},{z / scale[1]:.6f}")
    return "\n".join(rows)
