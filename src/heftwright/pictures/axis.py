"""Round numbers for an axis."""

from __future__ import annotations

import math


def round_steps(low: float, high: float, *, at_most: int) -> tuple[float, ...]:
    """Multiples of 1, 2 or 5 × 10ⁿ inside ``low`` … ``high``, at most ``at_most`` + 1 of them."""
    rough = max(high - low, 1e-9) / at_most
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * factor for factor in (1, 2, 5, 10) if power * factor >= rough * (1 - 1e-9))
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return tuple(round(index * step, 9) for index in range(first, last + 1))
