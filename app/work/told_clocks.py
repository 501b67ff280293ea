"""What was done about meters' clocks, in sentences for the history."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

Words = Mapping[str, Any]  # without what was emptied from the bin; none is named "kind"


def _readings(words: Words) -> str:
    n = int(words.get("count", 0))
    return f"{n:,} {'reading' if n == 1 else 'readings'}"


def _of(words: Words) -> str:
    return f" of the meter “{words['meter']}”" if words.get("meter") else ""


def _between(words: Words) -> str:
    first, last = words.get("first"), words.get("last")
    return f", {first} to {last}" if first and last else ""


def _repair(words: Words) -> str:
    return f"The clock was repaired for {_readings(words)}{_of(words)}{_between(words)}."


def _disagrees(words: Words) -> str:
    return (
        f"Two known moments{_of(words)} disagree: {_readings(words)} kept without a time, "
        "their clock in doubt."
    )


def _stay(words: Words) -> str:
    zone = f" to the wall time of {words['zone']}" if words.get("zone") else ""
    was = "was" if int(words.get("count", 0)) == 1 else "were"
    return f"{_readings(words)}{_of(words)} {was} put{zone}{_between(words)}."


def _doubt(words: Words) -> str:
    return f"The clock of {_readings(words)}{_of(words)} is in doubt until more is known."


def _no(words: Words) -> str:
    return f"The clock{_of(words)} was said to be right for {_readings(words)}."


def _set(words: Words) -> str:
    at = f", {words['at']}" if words.get("at") else ""
    why = f": {words['why']}" if words.get("why") else ""
    return f"A setting of the clock{_of(words)} was written down{at}{why}."


def _journey(words: Words) -> str:
    zone = f" in the zone {words['zone']}" if words.get("zone") else " in another zone"
    return f"A stay{zone} was written down{_between(words)}."


TOLD_CLOCKS: dict[str, Callable[[Words], str]] = {
    "clock_repair": _repair,
    "clock_disagrees": _disagrees,
    "clock_stay": _stay,
    "clock_doubt": _doubt,
    "clock_no": _no,
    "clock_set": _set,
    "clock_journey": _journey,
}
