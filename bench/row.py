"""One measured line of bench/RESULTS.md, and the gate it has to pass.

Conventions: durations in milliseconds; a median over rounds, since a shared machine only ever adds
time. A row with a baseline is measured in the same run as its baseline, so that the ratio holds on
any machine.
"""

import math
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

_MS_PER_S = 1000.0


class Gate(Enum):
    """What a limit bounds."""

    AT_MOST = "measured at most"
    RATIO_AT_MOST = "times the baseline at most"
    FASTER_AT_LEAST = "times faster than the baseline at least"


@dataclass(frozen=True, slots=True)
class Row:
    """``what`` took ``measured`` ``unit``; a baseline, if any, is in the same unit."""

    what: str
    measured: float
    gate: Gate
    limit: float
    baseline: float | None = None
    baseline_what: str = ""
    unit: str = "ms"

    def __post_init__(self) -> None:
        numbers = [self.measured, self.limit, 1.0 if self.baseline is None else self.baseline]
        if not all(math.isfinite(number) and number > 0 for number in numbers):
            raise ValueError(
                f"{self.what}: measured, limit and baseline must be above 0: {numbers}"
            )
        if self.gate is not Gate.AT_MOST and self.baseline is None:
            raise ValueError(f"{self.what}: a gate on a ratio needs a baseline")

    @property
    def ratio(self) -> float | None:
        """Measured over baseline, or how many times faster than it; None without a baseline."""
        if self.baseline is None:
            return None
        if self.gate is Gate.FASTER_AT_LEAST:
            return self.baseline / self.measured
        return self.measured / self.baseline

    @property
    def passed(self) -> bool:
        """Whether the row keeps its gate."""
        if self.gate is Gate.AT_MOST:
            return self.measured <= self.limit
        ratio = self.ratio
        if ratio is None:  # refused by __post_init__
            return False
        return ratio <= self.limit if self.gate is Gate.RATIO_AT_MOST else ratio >= self.limit


def median_ms(call: Callable[[], object], *, rounds: int = 15, warm_up: int = 2) -> float:
    """Median wall time of ``call()`` in milliseconds over ``rounds``, after ``warm_up`` calls."""
    for _ in range(warm_up):
        call()
    return _MS_PER_S * statistics.median(_seconds(call) for _ in range(rounds))


def _seconds(call: Callable[[], object]) -> float:
    started_s = time.perf_counter()
    call()
    return time.perf_counter() - started_s
