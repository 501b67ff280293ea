from __future__ import annotations

import pytest

from app.domain.marks import EVENED_SLOTS, MARKS, SLOTS, Mark, known_mark
from app.domain.sites import SITES, site_words


def test_the_eight_slots_stand_in_the_order_of_the_day() -> None:
    assert [mark.value for mark in SLOTS] == [
        "waking",
        "after_breakfast",
        "before_lunch",
        "after_lunch",
        "before_evening_meal",
        "after_evening_meal",
        "bedtime",
        "night",
    ]


def test_night_is_the_slot_that_the_evened_average_leaves_out() -> None:
    assert set(SLOTS) - set(EVENED_SLOTS) == {Mark.NIGHT}


def test_signs_of_before_and_after_never_meet() -> None:
    before = {mark for mark in MARKS if mark.is_before_meal}
    after = {mark for mark in MARKS if mark.is_after_meal}

    assert not before & after
    assert {Mark.WAKING, Mark.FASTING, Mark.BEFORE_SNACK} <= before
    assert {Mark.AFTER_MEAL, Mark.AFTER_EVENING_MEAL} <= after
    assert set(MARKS) - before - after == {Mark.BEDTIME, Mark.NIGHT, Mark.CASUAL, Mark.NONE}


def test_mark_is_said_in_plain_words() -> None:
    assert Mark.BEFORE_EVENING_MEAL.words == "before evening meal"
    assert Mark.NONE.words == "no mark"


def test_unknown_code_is_no_crash() -> None:
    assert known_mark("before_lunch") is Mark.BEFORE_LUNCH
    assert known_mark("second_breakfast") is None


@pytest.mark.parametrize(
    ("site", "detail", "words"),
    [
        ("finger", None, "finger"),
        ("finger", "left index", "left index finger"),
        ("finger", "right thumb", "right thumb"),
        ("finger", "left hand", "finger of the left hand"),
        ("palm", "right", "right palm"),
        ("upper_arm", None, "upper arm"),
        ("other", "left arm", "left arm"),
        ("toe", None, "toe"),
    ],
)
def test_site_is_said_in_plain_words(site: str, detail: str | None, words: str) -> None:
    assert site_words(site, detail) == words


def test_every_site_has_words() -> None:
    assert all(site_words(site) for site in SITES)
