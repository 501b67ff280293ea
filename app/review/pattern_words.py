"""Patterns in words: the step, what and where, how sure, what would tell, and what went before."""

from __future__ import annotations

from collections.abc import Iterator

from app.domain.glucose import Unit, shown
from app.review.alongside import days_words
from app.review.at_once import AtOnce
from app.review.look_left import Before
from app.review.patterns import Pattern, PatternsFound
from app.review.words import percent, percent_digits
from app.statistics.patterns import Step

STEP_WORDS = {
    Step.REPEATING: "repeating",
    Step.SEEN_AGAIN: "seen again",
    Step.SEEN_ONCE: "seen once",
    Step.CANNOT_TELL: "can't tell",
    Step.NOT_SEEN: "not seen",
}
# What was written before one of them may be chance; before two it is told.
_TOLD_FROM = 2


def what_words(pattern: Pattern, unit: Unit) -> str:
    """What is looked for: "lows, below 3.9 mmol/L", "highs, above 8.0 mmol/L, the goal"."""
    line = pattern.line
    if line.value is None:
        return "highs: the goal has no upper end"
    value = f"{shown(line.value, unit)} {unit}"
    if pattern.direction == "low":
        said = f"lows, below {value}"
    else:
        said = f"highs, {value} or more" if line.included else f"highs, above {value}"
        said += ", the goal" if line.by_goal else ", no goal is set"
    return f"{said}; another line held earlier in the period" if line.changed else said


def count_words(pattern: Pattern) -> str:
    """How often: "8 of 29 days"."""
    return f"{pattern.seen.count} of {pattern.seen.n} day{'' if pattern.seen.n == 1 else 's'}"


def sure_words(pattern: Pattern) -> str:
    """How sure that is: "28 % of such days, 95 % interval 15 to 46 %", or why it is not said."""
    share = pattern.share
    if pattern.share_missing or share.share is None or share.low is None or share.high is None:
        missing = pattern.share_missing
        return f"share not shown: {missing.why}" if missing else "share not shown: not tested"
    ends = f"{percent_digits(share.low)} to {percent_digits(share.high)} %"
    return f"{percent(share.share)} of tested days, 95 % interval {ends}"


def tell_words(pattern: Pattern) -> str:
    """What the step means, and how many more tests would tell."""
    seen = pattern.seen
    if seen.step is Step.CANNOT_TELL:
        more = f"{seen.more_tests} more test{'' if seen.more_tests == 1 else 's'}"
        return f"tested too rarely here; {more} on other days would tell more"
    if seen.step is Step.REPEATING and seen.at_least is not None:
        return f"repeats: at least {percent(seen.at_least)} of such days, with 95 % confidence"
    if seen.step is Step.NOT_SEEN:
        return "not seen, which does not rule it out on days without a test"
    again = f"{seen.more_in_a_row} more such days in a row would make it repeating"
    return f"worth a look; {again}" if seen.lately else again


def before_words(pattern: Pattern) -> tuple[str, ...]:
    """What was written in the hours before: "before 3 of these 5: swim (before 4 of other 20)"."""
    least = min(_TOLD_FROM, pattern.seen.count)
    return tuple(_before(each) for each in pattern.before.found if each.count >= least)


def left_out_words(found: PatternsFound) -> tuple[str, ...]:
    """What is in no slot here, and why."""
    said = []
    if found.unmarked:
        said.append(f"{found.unmarked} without a mark, in no slot")
    if found.in_doubt:
        said.append(f"{found.in_doubt} in doubt, left out here")
    if found.on_days_apart:
        said.append(f"{found.on_days_apart} on days apart, left out here: {_apart(found)}")
    return tuple(said)


def questions_words(found: PatternsFound) -> str:
    """How many questions were put: some answers come up by chance."""
    own = f"; {found.asked} of your own" if found.asked else ""
    slots = found.questions - found.asked
    return (
        f"{found.questions} questions put ({slots // 2} slots, lows and highs{own}): "
        "some answers come up by chance"
    )


def at_once_words(each: AtOnce, unit: Unit) -> str:
    """One entry of what is listed first: "2.4 mmol/L, Sun 3 May 18:09, in doubt"."""
    said = []
    if each.reading is not None:
        wall = each.reading.wall
        value = each.reading.glucose.shown(unit)
        said.append(value if each.reading.glucose.number is None else f"{value} {unit}")
        said.append(f"{wall:%a} {wall.day} {wall:%b %H:%M}")
        if each.reading.in_doubt:
            said.append("in doubt")
        if each.set_aside:
            said.append("set aside")
        if each.recheck:
            said.append("recheck")
    if each.help is not None:
        local = each.help.at.local
        if each.reading is None:
            said.append(f"{local:%a} {local.day} {local:%b %H:%M}")
        said.append(f"help was needed{': ' + each.help.what if each.help.what else ''}")
    return ", ".join(said)


def _before(each: Before) -> str:
    others = f" (before {each.others} of the other {each.of_others})" if each.of_others else ""
    return f"before {each.count} of these {each.of}: {each.words}{others}"


def _apart(found: PatternsFound) -> str:
    return ", ".join(_days(found))


def _days(found: PatternsFound) -> Iterator[str]:
    period = found.period
    for span in found.apart:
        first = max(span.first_day, period.first.toordinal())
        last = period.last.toordinal()
        if span.last_day is not None:
            last = min(span.last_day, last)
        name = span.text or span.kind.replace("_", " ")
        start = period.first.fromordinal(first)
        yield f"{name} {days_words(start, period.last.fromordinal(last))}"
