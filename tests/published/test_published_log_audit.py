"""A written log against the meter's memory: a worked pair of days.

Kinds of fault as in Mazze et al., Am J Med 1984;77:211-217, and Gonder-Frederick et al., Diabetes
Care 1988;11:579-585 (abstracts read, V). The formulas and five minutes are rules of this diary (R),
the counts worked by hand (W).
"""

from __future__ import annotations

import pytest

from app.statistics.log_audit import audit_log

DAY, HOUR = 86_400, 3_600
MEMORY = [(7 * HOUR, 110), (12 * HOUR, 240), (18 * HOUR, 150), (DAY + 7 * HOUR, 95),
          (DAY + 12 * HOUR, 301)]  # fmt: skip
LOG = [(7 * HOUR, 110), (12 * HOUR, 200), (18 * HOUR, 150), (DAY + 7 * HOUR, 95),
       (DAY + 18 * HOUR, 120)]  # fmt: skip


def test_a_worked_log_has_its_precision_omission_and_addition() -> None:
    meter_at, meter = zip(*MEMORY, strict=True)
    log_at, log = zip(*LOG, strict=True)

    found = audit_log(meter_at, meter, log_at, log)

    assert (found.precision.count, found.precision.n) == (3, 5)
    assert (found.omission.count, found.omission.n) == (1, 5)
    assert (found.addition.count, found.addition.n) == (1, 5)
    assert found.altered == 1
    assert found.meter_mean == pytest.approx(179.2, abs=1e-9)
    assert found.log_mean == pytest.approx(135, abs=1e-9)


@pytest.mark.parametrize(("seconds", "matched"), [(-301, 0), (-300, 1), (300, 1), (301, 0)])
def test_five_minutes_are_near_enough_and_no_more(seconds: int, matched: int) -> None:
    found = audit_log([1000], [110], [1000 + seconds], [110])

    assert found.precision.count == matched
    assert found.omission.count == found.addition.count == 1 - matched
