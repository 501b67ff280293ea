"""Choosing the rule that journeys are held against."""

from __future__ import annotations

from datetime import datetime

from app.domain.driving import DrivingRule, driving_rule
from app.domain.person import Person
from app.store.diary import Diary
from app.store.settings import DRIVING, write_setting

DRIVING_SET = "driving_set"
NO_RULE = "none"


def set_driving_rule(
    diary: Diary, person: Person, key: str | None, *, now: datetime
) -> DrivingRule | None:
    """Hold journeys against a rule from now on; None for no rule.

    Raises
    ------
    Refused
        There is no rule of that key. Nothing was changed.
    """
    rule = None if key in (None, NO_RULE) else driving_rule(str(key))
    words = {"rule": rule.name if rule else None}
    with diary.change(DRIVING_SET, words, now=now, person=person) as change:
        write_setting(change, person, DRIVING, {"key": rule.key if rule else None})
    return rule
