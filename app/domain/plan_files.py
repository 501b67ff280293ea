"""Plans as text: those of the trade that come with the program, and a person's own TOML file."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from app.domain.clock import zone_named
from app.domain.errors import Refused
from app.domain.marks import Mark, known_mark
from app.domain.plans import AFTER_MEAL_MINUTES, FREE_DAYS, SCHOOL_DAYS, SCHOOL_LINE, Plan, PlanRule
from app.domain.shipped import shipped

OWN = "own"  # the kind of a plan from a person's own file

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_CODES = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
_SCHOOL = {"school days": SCHOOL_DAYS, "free days": FREE_DAYS}
_CLOCK = re.compile(r"(\d{1,2}):(\d{2})")

# How far from its time a test still is this one, in minutes: rules of this diary.
TOLERANCE, TOLERANCE_AFTER_MEAL = 60, 30

# A test after a meal is two hours after the test before it.
MEAL_BEFORE = {
    Mark.AFTER_BREAKFAST: Mark.WAKING,
    Mark.AFTER_LUNCH: Mark.BEFORE_LUNCH,
    Mark.AFTER_EVENING_MEAL: Mark.BEFORE_EVENING_MEAL,
}
_WHEN = ("at", "weekdays", "every", "day", "dates", "rrule", "until", "count", "on", "zone")
_KEYS = frozenset((*_WHEN, "follows", "minutes", "before", "after", "mark", "text"))


@dataclass(frozen=True, slots=True)
class TradePlan:
    """A plan of the trade: `days` is how many days in a row it is meant for, None for always."""

    key: str
    name: str
    source: str
    sure: str
    days: int | None
    tests: tuple[Mapping[str, Any], ...]

    def in_force(
        self, first: date, last: date | None = None, *, dates: Sequence[date] = ()
    ) -> Plan:
        """The plan from a day on, or on chosen days alone; its times follow the usual ones."""
        chosen = tuple(sorted(set(dates)))
        if chosen:
            first, last = chosen[0], chosen[-1]
        elif last is None and self.days is not None:
            last = first + timedelta(days=self.days - 1)
        rules = tuple(
            planned_test({**_following(each), **({"dates": chosen} if chosen else {})}, first)
            for each in self.tests
        )
        ends = None if last is None else last.toordinal()
        return Plan(self.name, self.key, self.source, first.toordinal(), ends, rules)


def trade_plans() -> tuple[TradePlan, ...]:
    """The plans that come with the program, from resources/plans.toml."""
    content = tomllib.loads(shipped("resources", "plans.toml").read_text(encoding="utf-8"))
    return tuple(
        TradePlan(
            key=key,
            name=each["name"],
            source=each["source"],
            sure=each["sure"],
            days=each.get("days"),
            tests=tuple(each["tests"]),
        )
        for key, each in content.items()
    )


def trade_plan(key: str) -> TradePlan:
    """The plan of a key; refuses an unknown one with the keys there are."""
    for found in trade_plans():
        if found.key == key:
            return found
    keys = ", ".join(found.key for found in trade_plans())
    raise Refused(f'There is no plan named "{key}". Those there are: {keys}.')


def read_plan(text: str, first: date, last: date | None = None) -> Plan:
    """A person's own plan from TOML: a name, and `[[tests]]` each with a time.

    Raises
    ------
    Refused
        It is no plan; the sentence says which test and why.
    """
    try:
        content = tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        raise Refused(f"The plan can't be read: {problem}. Nothing was changed.") from None
    tests = content.get("tests")
    if not isinstance(tests, list) or not tests or not all(isinstance(t, dict) for t in tests):
        raise Refused("The plan has no [[tests]]. Nothing was changed.")
    name = " ".join(str(content.get("name", "Own plan")).split())[:80] or "Own plan"
    source = content.get("source")
    rules = []
    for number, test in enumerate(tests, 1):
        try:
            rules.append(planned_test(test, first))
        except (Refused, ValueError, TypeError) as problem:
            raise Refused(f"Test {number} of the plan: {problem} Nothing was changed.") from None
    ends = None if last is None else last.toordinal()
    said = None if source is None else str(source)
    return Plan(name, OWN, said, first.toordinal(), ends, tuple(rules))


def planned_test(test: Mapping[str, Any], first: date) -> PlanRule:
    """One test of a plan in force from a day on, from its words.

    Raises
    ------
    Refused
        A word is unknown or makes no sense; the sentence does not say which test.
    """
    unknown = sorted(set(test) - _KEYS)
    if unknown:
        raise Refused(f'"{unknown[0]}" is not understood; say one of: {", ".join(sorted(_KEYS))}.')
    mark = _mark(test.get("mark"))
    follows = _mark(test.get("follows"))
    minutes = _whole(test, "minutes", 0, least=-720, most=720)
    if "at" not in test and follows is None:
        raise Refused('it needs a time: at = "07:00".')
    hour, minute = _clock(str(test.get("at", "12:00")))
    start = first + timedelta(days=_whole(test, "day", 0, least=0, most=366))
    after_meal = mark is not None and mark.is_after_meal
    wide = TOLERANCE_AFTER_MEAL if after_meal else TOLERANCE
    zone = test.get("zone")
    if zone is not None:
        zone_named(str(zone))
    text = " ".join(str(test.get("text", "")).split())[:120] or None
    return PlanRule(
        mark=mark,
        recurs=_recurs(test, relative=follows is not None),
        start=datetime(start.year, start.month, start.day, hour, minute),  # noqa: DTZ001
        zone=None if zone is None else str(zone),
        relative_to=follows,
        offset_min=minutes if follows else 0,
        before_min=_whole(test, "before", wide, least=0, most=720),
        after_min=_whole(test, "after", wide, least=0, most=720),
        text=text,
    )


def _following(test: Mapping[str, Any]) -> dict[str, Any]:
    """A test of the trade as its time follows the person's usual one, where that was said."""
    mark = _mark(test["mark"])
    meal = MEAL_BEFORE.get(mark) if mark else None
    follows, minutes = (meal, AFTER_MEAL_MINUTES) if meal else (mark, 0)
    return {**test, "follows": follows.value if follows else None, "minutes": minutes}


def _recurs(test: Mapping[str, Any], *, relative: bool) -> tuple[str, ...]:
    ways = [each for each in ("rrule", "weekdays", "every", "dates") if test.get(each) is not None]
    if "dates" in ways:  # chosen days come before how often a plan of the trade repeats
        ways = ["dates"]
    if len(ways) > 1:
        raise Refused(f"{' and '.join(ways)} exclude each other.")
    lines = []
    if ways == ["dates"]:
        days = sorted({_date(each) for each in test["dates"]})
        if not days:
            raise Refused("dates is empty.")
        lines.append("RDATE;VALUE=DATE:" + ",".join(f"{each:%Y%m%d}" for each in days))
    else:
        rule = _rule(test, ways)
        if relative and re.search(r"FREQ=(HOUR|MINUTE)LY|BYHOUR", rule):
            raise Refused("a test that follows a meal can't repeat within the day.")
        lines.append(f"RRULE:{rule}")
    on = test.get("on")
    if on is not None:
        if on not in _SCHOOL:
            raise Refused(f'on is "school days" or "free days", not "{on}".')
        lines.append(f"{SCHOOL_LINE}:{_SCHOOL[on].upper()}")
    return tuple(lines)


def _rule(test: Mapping[str, Any], ways: Sequence[str]) -> str:
    if ways == ["rrule"]:
        rule = str(test["rrule"]).strip().upper().removeprefix("RRULE:")
    elif ways == ["weekdays"]:
        named = [str(each).strip().casefold()[:3] for each in test["weekdays"]]
        known = [each.casefold() for each in WEEKDAYS]
        wrong = [each for each in named if each not in known]
        if wrong or not named:
            raise Refused(f"weekdays are {', '.join(WEEKDAYS)}.")
        codes = [code for day, code in zip(known, _CODES, strict=True) if day in named]
        rule = f"FREQ=WEEKLY;BYDAY={','.join(codes)}"
    else:
        every = _whole(test, "every", 1, least=1, most=366)
        rule = "FREQ=DAILY" + (f";INTERVAL={every}" if every > 1 else "")
    if test.get("until") is not None and test.get("count") is not None:
        raise Refused("until and count exclude each other.")
    if test.get("until") is not None:
        rule += f";UNTIL={_date(test['until']):%Y%m%d}T235959"
    if test.get("count") is not None:
        rule += f";COUNT={_whole(test, 'count', 1, least=1, most=10_000)}"
    return rule


def _mark(code: Any) -> Mark | None:
    if code is None:
        return None
    mark = known_mark(str(code).strip().replace(" ", "_"))
    if mark is None or mark is Mark.NONE:
        raise Refused(f'"{code}" is not a mark; say for instance waking or before_lunch.')
    return mark


def _clock(text: str) -> tuple[int, int]:
    found = _CLOCK.fullmatch(text.strip())
    if not found or int(found[1]) > 23 or int(found[2]) > 59:
        raise Refused(f'"{text}" is no time of day; write it as 07:00.')
    return int(found[1]), int(found[2])


def _date(given: Any) -> date:
    if isinstance(given, datetime):
        return given.date()
    if isinstance(given, date):
        return given
    try:
        return date.fromisoformat(str(given))
    except ValueError:
        raise Refused(f'"{given}" is no day; write it as 2026-03-12.') from None


def _whole(test: Mapping[str, Any], key: str, usual: int, *, least: int, most: int) -> int:
    given = test.get(key, usual)
    if isinstance(given, bool) or not isinstance(given, int) or not least <= given <= most:
        raise Refused(f"{key} is a whole number from {least} to {most}, not {given}.")
    return given
