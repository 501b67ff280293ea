"""What the Patterns page says in words: its head, the rows, and the lines below them."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QCoreApplication

from app.domain.glucose import Unit, shown
from app.domain.levels import Level
from app.domain.marks import SLOTS, Mark
from app.look.marks import MarkLook
from app.review.pattern_words import STEP_WORDS, sure_words, what_words
from app.review.patterns import Pattern, PatternsFound
from app.review.patterns_shown import PatternsShown
from app.review.words import percent_digits
from app.statistics.patterns import Step
from app.statistics.proportion import Proportion
from app.ui.reading_words import mark_name
from app.ui.words import count_words, joined, number_words, period_words

_APART = "\u2009–\u2009"


def tr(text: str) -> str:
    """Translate a text of the Patterns page."""
    return QCoreApplication.translate("Patterns", text)


def many(count: int, one: str, more: str, **rest: str) -> str:
    """A sentence for one or for more, its `{n}` and the other places filled."""
    return tr(one if count == 1 else more).format(n=count_words(count), **rest)


def subtitle(page: PatternsShown) -> str:
    """The line below the title: period, n, days, what is left out, how many questions were put."""
    found = page.found
    on = many(found.days_with_readings, "{n} day", "{n} days")
    parts = [
        period_words(found.period, found.person.date_order),
        many(found.n, "n {n} reading on {days}", "n {n} readings on {days}", days=on),
    ]
    if found.unmarked:
        parts.append(many(found.unmarked, "{n} unmarked", "{n} unmarked"))
    if found.in_doubt:
        parts.append(many(found.in_doubt, "{n} in doubt left out", "{n} in doubt left out"))
    else:
        parts.append(tr("none in doubt"))
    if found.on_days_apart:
        sick = "{n} on sick or set-aside days left out"
        parts.append(many(found.on_days_apart, sick, sick))
    return joined([*parts, questions_put(found)])


def questions_put(found: PatternsFound) -> str:
    """How many questions were put, and what follows from that."""
    slots = count_words((found.questions - found.asked) // 2)
    own = many(found.asked, "; {n} of your own", "; {n} of your own") if found.asked else ""
    return tr(
        "{n} questions put ({slots} slots, lows and highs{own}): some answers come up by chance"
    ).format(n=count_words(found.questions), slots=slots, own=own)


def step_name(step: Step) -> str:
    """A step of the ladder."""
    return tr(STEP_WORDS[step])


def what(pattern: Pattern, unit: Unit) -> str:
    """What is looked for, with its line: "highs, above 8.0 mmol/L, the goal"."""
    return what_words(pattern, unit)


def what_in_short(pattern: Pattern, unit: Unit) -> str:
    """The same without what it rests on: "highs, above 8.0 mmol/L"."""
    line = pattern.line
    if line.value is None:
        return tr("highs: the goal has no upper end")
    value = f"{number_words(shown(line.value, unit))}\u00a0{unit}"
    if pattern.direction == "low":
        return tr("lows, below {value}").format(value=value)
    words = tr("highs, {value} or more") if line.included else tr("highs, above {value}")
    return words.format(value=value)


def direction_name(pattern: Pattern) -> str:
    """Lows or highs."""
    return tr("lows") if pattern.direction == "low" else tr("highs")


def name(pattern: Pattern) -> str:
    """The slot with what is looked for in one word: "bedtime lows"."""
    return tr("{slot} {what}").format(slot=mark_name(pattern.slot), what=direction_name(pattern))


def sign_of(pattern: Pattern) -> MarkLook:
    """The mark of what is looked for."""
    return MarkLook(Level.LOW if pattern.direction == "low" else Level.HIGH)


def count(pattern: Pattern) -> str:
    """So many of so many days: "8 of 29"."""
    seen = pattern.seen
    return tr("{count} of {n}").format(count=count_words(seen.count), n=count_words(seen.n))


def interval(share: Proportion) -> str:
    """The limits of a share: "15 – 46 %"; empty without a test."""
    if share.low is None or share.high is None:
        return ""
    ends = (number_words(percent_digits(end)) for end in (share.low, share.high))
    return tr("{interval}\u00a0%").format(interval=_APART.join(dict.fromkeys(ends)))


def finding(pattern: Pattern, unit: Unit) -> str:
    """A row in one sentence, for an ear."""
    return tr("{step}: {slot}, {what}, {count} days; {sure}").format(
        step=step_name(pattern.step),
        slot=mark_name(pattern.slot),
        what=what(pattern, unit),
        count=count(pattern),
        sure=sure_words(pattern),
    )


def table_finding(page: PatternsShown) -> str:
    """What the table says as a whole."""
    repeating = [name(each) for each in page.found.on_step(Step.REPEATING)]
    again = [name(each) for each in page.found.on_step(Step.SEEN_AGAIN)]
    said = []
    for step, names in ((Step.REPEATING, repeating), (Step.SEEN_AGAIN, again)):
        if names:
            said.append(f"{step_name(step)}: {', '.join(names)}")
    return tr("What was seen at one slot. {what}").format(what="; ".join(said))


def seen_once(patterns: Iterable[Pattern]) -> str:
    """The patterns of a step in one line, each with its count."""
    return joined(f"{name(each)} {count(each)}" for each in patterns)


def cannot_tell(patterns: Iterable[Pattern]) -> str:
    """What is tested too rarely, and how many more tests would tell; slots alike stand together."""
    by_slot: dict[Mark, list[Pattern]] = {}
    for each in patterns:
        by_slot.setdefault(each.slot, []).append(each)
    alike: dict[str, list[str]] = {}
    for slot in sorted(by_slot, key=SLOTS.index):
        held = by_slot[slot]
        words = [tr("n\u00a0{n}").format(n=count_words(held[0].seen.n))]
        words += [f"{direction_name(each)} {count(each)}" for each in held if each.seen.count]
        alike.setdefault(", ".join([*words, _more(held)]), []).append(mark_name(slot))
    return joined(
        tr("{slots}: {what}").format(slots=", ".join(slots), what=what)
        for what, slots in alike.items()
    )


def _more(held: list[Pattern]) -> str:
    """How many more tests would tell, the smaller number first."""
    first, *rest = sorted(held, key=lambda each: each.seen.more_tests)
    told = many(
        first.seen.more_tests,
        "{n} more test would tell of {what}",
        "{n} more tests would tell of {what}",
        what=direction_name(first),
    )
    more = [
        tr("{n} of {what}").format(n=count_words(each.seen.more_tests), what=direction_name(each))
        for each in rest
    ]
    return ", ".join([told, *more])
