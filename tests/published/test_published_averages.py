"""How far to trust an average: the rule's own lines, and the worked November of a diary."""

from __future__ import annotations

import pytest

from app.statistics.moments import mean
from app.statistics.slots import evened_average
from app.statistics.trust import trust_in_average


def test_many_waking_and_few_bedtime_readings_are_not_an_average_to_trust() -> None:
    # An invented November, worked by hand: 28 waking readings averaging 6.8, 4 bedtime 11.6.
    values, marks = [6.8] * 28 + [11.6] * 4, [0] * 28 + [6] * 4

    evened = evened_average(values, marks, no_mark=14)
    trust = trust_in_average([28, 0, 0, 0, 0, 0, 4, 0], n=32, days=28, in_doubt=0, unmarked=0)

    assert mean(values) == pytest.approx(7.4, abs=1e-9)
    assert evened.value == pytest.approx(9.2, abs=1e-9)
    assert len(evened.slots) == 2
    assert trust.verdict == "no"
    at_one_slot = next(reason for reason in trust.reasons if reason.code == "one_slot")
    assert (at_one_slot.count, at_one_slot.of, at_one_slot.slot) == (28, 32, 0)
    few = next(reason for reason in trust.reasons if reason.code == "few_slots")
    assert few.of - few.count == 5  # slots never tested
