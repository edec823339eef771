"""How many digits a number deserves: the one rule for every place that writes numbers."""

from __future__ import annotations

import math


def decimals_for(number: float, half_width: float) -> int:
    """Return how many decimals a number with this half band deserves (negative: round to tens, hundreds).

    The band's half-width keeps one or two significant digits; without a band the number keeps three.
    """
    if half_width > 0.0 and math.isfinite(half_width):
        power = math.floor(math.log10(half_width))
        leading = half_width / 10.0**power
        decimals = -power + (1 if leading < 3.0 else 0)
    elif number == 0.0 or not math.isfinite(number):
        return 0
    else:
        decimals = 2 - math.floor(math.log10(abs(number)))
    if number != 0.0:  # never more than three digits, however narrow the band
        decimals = min(decimals, 2 - math.floor(math.log10(abs(number))))
    return max(min(decimals, 6), -6)


def written(number: float, decimals: int) -> str:
    """Return a number with so many decimals, without a minus before zero."""
    rounded = round(number, decimals)
    text = f"{rounded:.{max(decimals, 0)}f}"
    return text.lstrip("-") if float(text) == 0.0 else text


def alone(number: float) -> str:
    """Write a number without a band: three digits, no idle zeros."""
    text = written(number, decimals_for(number, 0.0))
    return text.rstrip("0").rstrip(".") if "." in text else text


def band_text(low: float, high: float, decimals: int) -> str:
    """Return the two ends of a band: ``10.4–12.3``, in words where a minus would be lost."""
    first, last = written(low, decimals), written(high, decimals)
    return f"{first} to {last}" if "-" in first + last or "e" in first + last else f"{first}–{last}"


def percent_text(share: float) -> str:
    """Return a probability in whole per cent, never claiming certainty that samples cannot give."""
    if share >= 0.995:
        return "over 99 %"
    if share < 0.005:
        return "under 1 %"
    return f"{100.0 * share:.0f} %"
