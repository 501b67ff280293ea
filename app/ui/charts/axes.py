"""What stands below a chart: the hours of a day, or names of columns of equal width."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from PySide6.QtCore import QLocale, QTime

from app.ui.words import minute_words

_HOUR = 60


@dataclass(frozen=True, slots=True)
class AxisTick:
    """A place on the axis with its text; empty for a line alone."""

    at: float
    text: str


class BelowAxis(Protocol):
    """An axis below a chart: its ends, its ticks within sight, its upright lines."""

    @property
    def low(self) -> float:
        """Its left end."""

    @property
    def high(self) -> float:
        """Its right end."""

    def ticks(self, left: float, right: float, room: float) -> list[AxisTick]:
        """The ticks in sight, at most `room` of them."""

    def lines(self, left: float, right: float, room: float) -> list[float]:
        """Where upright lines stand."""


@dataclass(frozen=True, slots=True)
class HourAxis:
    """Minutes from the start of the day; hours every 2, more where zoomed, fewer where narrow."""

    start_hour: int = 0
    clock: int = 24
    low: float = 0.0
    high: float = 1440.0

    def ticks(self, left: float, right: float, room: float) -> list[AxisTick]:
        """The ticks in sight, at most `room` of them."""
        return [
            AxisTick(at, hour_text(at + self.start_hour * _HOUR, self.clock))
            for at in self.lines(left, right, room)
        ]

    def lines(self, left: float, right: float, room: float) -> list[float]:
        """Where upright lines stand."""
        span = right - left
        steps = (_HOUR / 2, _HOUR, 2 * _HOUR, 3 * _HOUR, 4 * _HOUR, 6 * _HOUR, 12 * _HOUR)
        finest = 2 * _HOUR if span > 12 * _HOUR else _HOUR if span > 5 * _HOUR else _HOUR / 2
        step = next((s for s in steps if s >= finest and span / s + 1 <= room), steps[-1])
        first = int(-(-left // step))
        return [step * k for k in range(first, int(right // step) + 1)]


@dataclass(frozen=True, slots=True)
class ColumnAxis:
    """Columns of equal width with their names; column `k` reaches from `k` to `k + 1`."""

    names: tuple[str, ...]
    low: float = 0.0

    @property
    def high(self) -> float:
        """Its right end."""
        return float(len(self.names))

    def ticks(self, left: float, right: float, room: float) -> list[AxisTick]:
        """The names in the middle of their columns."""
        middles = [AxisTick(at + 0.5, name) for at, name in enumerate(self.names)]
        return [each for each in middles if left <= each.at <= right] if room >= 1 else []

    def lines(self, left: float, right: float, room: float) -> list[float]:  # noqa: ARG002
        """The edges between the columns."""
        return [float(at) for at in range(len(self.names) + 1) if left <= at <= right]


def hour_text(minute: float, clock: int) -> str:
    """A whole hour, short on a 12-hour clock: "16:00", "4 PM"."""
    if clock == 24 or int(minute) % 60:
        return minute_words(minute, clock)
    return QLocale().toString(QTime(int(minute) % 1440 // 60, 0), "h AP")
