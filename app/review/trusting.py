"""Why an average can be trusted only so far, in sentences."""

from __future__ import annotations

from app.domain.marks import EVENED_SLOTS, SLOTS
from app.statistics.trust import Reason, Trust


def trust_sentences(found: Trust) -> tuple[str, ...]:
    """Each reason against the average as a short sentence; none where the verdict is good."""
    return tuple(_sentence(reason) for reason in found.reasons)


def _sentence(reason: Reason) -> str:
    if reason.code == "few_readings":
        return f"{_count(reason.count, 'reading')}, fewer than {reason.line}"
    if reason.code == "few_days":
        return f"{_count(reason.count, 'day')} with readings, fewer than {reason.line}"
    if reason.code == "one_slot":
        slot = SLOTS[reason.slot or 0].words
        return f"{reason.count} of {reason.of} at {slot}"
    if reason.code == "few_slots":
        never = len(EVENED_SLOTS) - reason.count
        return f"{never} of {len(EVENED_SLOTS)} slots never tested"
    if reason.code == "in_doubt":
        return f"{reason.count} of {reason.of} in doubt"
    return f"{reason.count} of {reason.of} have no mark"


def _count(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"
