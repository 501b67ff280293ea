"""When a low, highs and sick days ask for the next test, against what is printed.

How sure each value is: V read in the paper, V2 read second-hand, R a rule of this diary for what
the texts leave open.
"""

from __future__ import annotations

import pytest

from app.domain.follow_ups import (
    HIGH_ABOVE,
    LOW_LATER,
    LOW_RECHECK,
    SICK_GLUCOSE,
    SICK_KETONES,
    FollowRule,
)
from app.statistics.follow_ups.rechecks import rechecks_of

MIN = 60


@pytest.mark.parametrize(
    ("kind", "minutes"),
    [
        # American Diabetes Association, Standards of Care 2024, section 6 (V2): test again after
        # 15 min. Korean Diabetes Association, Diabetes Metab J 2024;48:546-708 (V): 15 min.
        (LOW_RECHECK, 15),
        # Hospital texts (V2): again about 60 min after treatment.
        (LOW_LATER, 60),
        # UK courses (V2): glucose every 2 to 4 h in adults; the longer is shipped (R).
        (SICK_GLUCOSE, 240),
        # ISPAD (V2): ketones every 1 to 2 h; Royal Children's Hospital Melbourne (V): every 4 h.
        (SICK_KETONES, 240),
    ],
)
def test_the_usual_minutes_are_those_that_are_printed(kind: str, minutes: int) -> None:
    assert FollowRule(kind, on=True).seconds == minutes * MIN


def test_a_low_is_tested_again_at_the_printed_time_and_once_more_while_still_low() -> None:
    # American Diabetes Association, section 6 (V2): repeat if still below 70 mg/dL (3.9 mmol/L).
    # Second recheck still low, get help: R. Minutes worked by hand.
    found = rechecks_of([0, 15 * MIN, 30 * MIN], [True, True, True])

    assert [(each.at // MIN, each.still_low) for each in found if not each.is_later] == [
        (15, 0),
        (30, 1),
        (45, 2),
    ]
    assert [each.at // MIN for each in found if each.is_later] == [90]


def test_ketones_are_asked_for_above_a_printed_pair() -> None:
    # American Diabetes Association texts (V2): above 240 in some, 250 mg/dL in others; 13.9 mmol/L
    # is the pair of 250 in Battelino et al., Diabetes Care 2019;42:1593-1603 (V2). Twice: R.
    assert (HIGH_ABOVE.mg_dl, HIGH_ABOVE.mmol_l) == (250, 13.9)
    assert FollowRule("ketones_high", on=True).times == 2
