"""The testing plans of the households, and what they want to ask, as rows of the diary."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

from app.domain.plan_files import read_plan, trade_plan
from app.domain.plans import Plan
from app.store import schema
from sample_db.beginning import keeper_uid
from sample_db.chapters import Added, Chapter, added
from sample_db.generator import FIRST_DAY
from sample_db.household import Household
from sample_db.ids import uid_named
from sample_db.records import local_moment

_TILDE = """
name = "Four a day, and the night after swimming"
source = "agreed with the clinic"
[[tests]]
mark = "waking"
at = "07:05"
[[tests]]
mark = "before_lunch"
at = "12:10"
[[tests]]
mark = "before_evening_meal"
at = "18:20"
[[tests]]
mark = "bedtime"
at = "21:00"
[[tests]]
mark = "night"
at = "02:30"
weekdays = ["Wed", "Fri"]
text = "after a swimming day"
"""
_CORWIN = """
name = "Waking, and one pair every other day"
source = "agreed with the practice nurse"
[[tests]]
mark = "waking"
at = "06:10"
[[tests]]
mark = "after_breakfast"
at = "08:20"
weekdays = ["Mon"]
[[tests]]
mark = "before_lunch"
at = "12:15"
weekdays = ["Wed"]
[[tests]]
mark = "after_lunch"
at = "14:20"
weekdays = ["Wed"]
[[tests]]
mark = "before_evening_meal"
at = "18:05"
weekdays = ["Fri"]
[[tests]]
mark = "after_evening_meal"
at = "20:05"
weekdays = ["Fri"]
"""
_OWN = {"Tilde": _TILDE, "Corwin": _CORWIN}
_PROFILES = {"Corwin": (date(2026, 2, 2), date(2026, 5, 4), date(2026, 8, 3))}
_ASKS = {
    "Tilde": (
        ("2026-03-22T20:40", "Which nights should we test, when only swimming nights are low?"),
        ("2026-08-16T21:15", "School begins on 14 September: who gets a new card?"),
    ),
    "Corwin": (("2026-08-20T19:30", "How often does it make sense to test at bedtime?"),),
}


def plan_chapters(home: Household) -> Iterator[Chapter]:
    """A chapter for each plan that was put in force, and for each question for the visit."""
    name = home.wishes.name
    yield _set(home, read_plan(_OWN[name], FIRST_DAY), FIRST_DAY)
    for first in _PROFILES.get(name, ()):
        trade = trade_plan("seven-point")
        yield _set(home, trade.in_force(first, first + timedelta(days=2)), first)
    for number, (wall, text) in enumerate(_ASKS[name]):
        uid = uid_named(name, "ask_item", number)
        row = added(schema.ask_item, uid, person_id=home.wishes.uid, text=text)
        yield _chapter(home, wall, "ask_item", {"text": text}, row)


def _set(home: Household, plan: Plan, first: date) -> Chapter:
    name = home.wishes.name
    uid = uid_named(name, "plan", first)
    rows = [
        added(
            schema.plan,
            uid,
            person_id=home.wishes.uid,
            name=plan.name,
            kind=plan.kind,
            source=plan.source,
            from_day=plan.from_day,
            to_day=plan.to_day,
        ),
        *(
            added(
                schema.plan_rule,
                uid_named(name, "plan_rule", first, number),
                plan_id=uid,
                mark=rule.mark.value if rule.mark else None,
                rrule="\n".join(rule.recurs),
                start_wall=rule.start.isoformat(timespec="minutes"),
                zone=rule.zone,
                relative_to=rule.relative_to.value if rule.relative_to else None,
                offset_min=rule.offset_min if rule.relative_to else None,
                before_min=rule.before_min,
                after_min=rule.after_min,
                text=rule.text,
            )
            for number, rule in enumerate(plan.rules)
        ),
    ]
    evening = datetime.combine(first - timedelta(days=1), time(20, 30)).isoformat()
    words: dict[str, object] = {"plan": plan.name, "from": first.isoformat()}
    if plan.to_day is not None:
        words["to"] = date.fromordinal(plan.to_day).isoformat()
    return _chapter(home, evening, "plan_set", words, *rows)


def _chapter(
    home: Household, wall: str, kind: str, words: dict[str, object], *rows: Added
) -> Chapter:
    return Chapter(
        local_moment(wall, home.wishes.zone).instant,
        kind,
        words,
        home.wishes.uid,
        rows,
        keeper_uid(home, home.keepers[0]),
    )
