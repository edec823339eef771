"""A reported number: value, band, unit, support and sources together, so that none travels alone."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

SUPPORT_WORDS = ("inside data", "between data", "beyond data")


@dataclass(frozen=True)
class Quantity:
    """One reported number.

    ``value`` is the sample median, ``low`` and ``high`` the 10th and 90th percentile, ``nominal`` the run with every
    Unknown at its median; all SI in ``unit``. ``share`` is the fraction of samples in which the quantity exists; below
    one half ``value`` is None and ``reason`` says why. ``support`` is one of `SUPPORT_WORDS`.
    """

    value: float | None
    low: float | None
    high: float | None
    nominal: float | None
    unit: str
    share: float = 1.0
    support: str = "inside data"
    sources: tuple[str, ...] = field(default=())
    reason: str = ""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data (missing numbers as None, never NaN)."""
        data: dict[str, Any] = {
            "value": _clean(self.value),
            "low": _clean(self.low),
            "high": _clean(self.high),
            "nominal": _clean(self.nominal),
            "unit": self.unit,
            "share": self.share,
            "support": self.support,
            "sources": list(self.sources),
        }
        if self.reason:
            data["reason"] = self.reason
        return data


def _clean(number: float | None) -> float | None:
    return None if number is None or not math.isfinite(number) else float(number)


def exact(number: float, unit: str, sources: tuple[str, ...] = ()) -> Quantity:
    """Return a quantity without a band (an input or an exact consequence of one)."""
    return Quantity(number, number, number, number, unit, sources=sources)


def from_samples(
    samples: Any,
    nominal: float | None,
    unit: str,
    *,
    support: str = "inside data",
    sources: tuple[str, ...] = (),
    reason: str = "",
) -> Quantity:
    """Return the quantity that a set of samples describes; NaN samples are those in which it does not exist."""
    import numpy as np

    numbers = np.asarray(samples, dtype=np.float64).ravel()
    there = numbers[np.isfinite(numbers)]
    share = float(len(there)) / len(numbers) if len(numbers) else 0.0
    nominal = _clean(nominal)
    if share < 0.5 or len(there) == 0:
        why = reason or "exists in fewer than half of the samples"
        return Quantity(None, None, None, nominal, unit, share, support, sources, why)
    if len(there) == 1:  # the quantiles of one number are slow to find
        low = value = high = float(there[0])
    else:
        low, value, high = (float(number) for number in np.quantile(there, (0.1, 0.5, 0.9)))
    return Quantity(value, low, high, nominal, unit, share, support, sources)
