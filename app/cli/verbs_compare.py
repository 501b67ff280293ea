"""Verbs that set two sides beside each other: before-after, compare, ask."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING, Any

from app.cli.words import a_day, one_line, plural
from app.domain.glucose import Unit
from app.domain.marks import Mark, known_mark
from app.domain.person import today_of
from app.review.apart_words import (
    apart_words,
    over_days_words,
    portion_words,
    reversed_words,
    verdict_words,
)
from app.review.before_after import USUAL_DAYS, BeforeAfter, before_after, change_asked_for
from app.review.figure import Missing
from app.review.record import record_of
from app.review.two_sides import InSlot, OfSide, TwoSides
from app.review.two_sides_json import period_as_json, two_sides_as_json
from app.review.words import figure_words, mean_words

if TYPE_CHECKING:
    from app.cli.surroundings import Asked


def _words_of_before_after(words: argparse.ArgumentParser) -> None:
    words.add_argument("day", nargs="?", type=a_day, metavar="CHANGE-DAY")
    words.add_argument("--mark", type=a_mark, help="one slot alone, for instance waking")
    words.add_argument(
        "--days",
        type=int,
        default=USUAL_DAYS,
        metavar="N",
        help=f"each side (default {USUAL_DAYS})",
    )
    words.add_argument("--settling", type=int, metavar="N", help="days left out from the change on")
    words.add_argument(
        "--no-minimum", action="store_true", help="show figures from too few readings as well"
    )
    words.add_argument("--json", action="store_true")
    words.set_defaults(verb=_before_after)


WORDS = {"before-after": _words_of_before_after}


def a_mark(text: str) -> Mark:
    """Read a mark as its code or in words; argparse turns the refusal into wrong usage."""
    mark = known_mark(text.strip().lower().replace(" ", "_"))
    if mark is None or mark is Mark.NONE:
        raise argparse.ArgumentTypeError(f'"{text}" is no mark; say for instance before_lunch')
    return mark


def _before_after(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with asked.person(to_read=True) as (diary, person):
        today = today_of(person, around.now)
        found = before_after(
            diary,
            record_of(diary, person),
            change_asked_for(diary, person, options.day, today=today),
            now=around.now,
            days=options.days,
            settling=options.settling,
            mark=options.mark,
            minimum=not options.no_minimum,
        )
    if options.json:
        around.say_json(_before_after_as_json(found))
        return 0
    for line in _before_after_lines(found):
        around.say(line)
    return 0


def _before_after_as_json(found: BeforeAfter) -> dict[str, Any]:
    return {
        "person": found.person.name,
        "unit": found.unit.value,
        "change": {
            "day": date.fromordinal(found.change.day).isoformat(),
            "what": found.change.what,
            "settling_days": found.settling_days,
        },
        "mark": found.mark.value if found.mark else None,
        "before": period_as_json(found.before),
        "after": period_as_json(found.after),
        "days_asked": found.asked,
        **two_sides_as_json(found.found),
        "without_doubt": _two_or_none(found.without_doubt),
        "without_sick_and_set_aside_days": _two_or_none(found.without_days),
        "left_out": found.left_out,
        "others": [
            {
                "kind": other.kind,
                "first": other.first.isoformat(),
                "last": other.last.isoformat(),
                "words": other.words,
            }
            for other in found.others
        ],
    }


def _two_or_none(found: TwoSides | None) -> dict[str, Any] | None:
    return two_sides_as_json(found) if found else None


def _before_after_lines(found: BeforeAfter) -> Iterator[str]:
    day, unit = date.fromordinal(found.change.day), found.unit
    yield f"{found.person.name}: before and after {day} – {one_line(found.change.what)}"
    yield (
        f"{found.before.first} to {found.before.last} and {found.after.first} to "
        f"{found.after.last}, {plural(found.days, 'day')} each; "
        f"{plural(found.settling_days, 'settling day')} left out"
    )
    if found.days < found.asked:
        yield f"{plural(found.asked, 'day')} were asked for; the change is not as old as that."
    yield from two_sides_lines(found.found, unit)
    for words, other in (
        ("Without readings in doubt", found.without_doubt),
        ("Without sick and set-aside days", found.without_days),
    ):
        if other is not None:
            yield f"{words}: {_n_words(other)}, {apart_words(other.evened, unit)}"
    if found.left_out:
        parts = [f"{n} {reason.replace('_', ' ')}" for reason, n in found.left_out.items()]
        yield f"Left out: {', '.join(parts)}"
    if found.others:
        yield "Other things in the window: " + "; ".join(
            one_line(other.sentence) for other in found.others
        )
    else:
        yield "Nothing else is written in the window."


def two_sides_lines(found: TwoSides, unit: Unit) -> Iterator[str]:
    """Both sides, the slots, the difference and what it allows to say."""
    for side in (found.first, found.second):
        yield _side_line(side, unit)
    yield ""
    yield f"{'Same slot':<22} {found.first.name:>18} {found.second.name:>18}   difference, {unit}"
    for row in found.rows:
        used = "" if row.evened else "  (not in the evened)"
        yield (
            f"{row.mark.words:<22} {_in_slot(row.first, unit):>18} "
            f"{_in_slot(row.second, unit):>18}   {apart_words(row.apart, unit)}{used}"
        )
    yield ""
    yield evened_line(found, unit)
    over_days = over_days_words(found.evened, unit)
    if over_days:
        yield over_days
    turned = reversed_words(found, unit)
    if turned:
        yield turned
    yield verdict_words(found.evened, found.second.name)


def evened_line(found: TwoSides, unit: Unit) -> str:
    """The evened difference with the two means that it is made of."""
    evened = found.evened
    if isinstance(evened, Missing) or evened.first is None or evened.second is None:
        return f"Evened over the same slots: {apart_words(evened, unit)}"
    which = ", ".join(mark.words for mark in found.slots)
    return (
        f"Evened over {which}: {figure_words(evened.first, unit)} and "
        f"{figure_words(evened.second, unit)}, difference {apart_words(evened, unit)}, "
        f"{_n_words(found)}"
    )


def _n_words(found: TwoSides) -> str:
    rows = [row for row in found.rows if row.evened]
    return f"n {sum(row.first.n for row in rows)} and {sum(row.second.n for row in rows)}"


def _side_line(side: OfSide, unit: Unit) -> str:
    of = "" if side.days_in_all is None else f" of {side.days_in_all}"
    nights = f"{side.nights_tested}{of} nights tested"
    return (
        f"{one_line(side.name)}: n {side.n} on {side.days}{of} days, {nights}; "
        f"plain average {mean_words(side.mean, unit)}; low {portion_words(side.lows)}; "
        f"high {portion_words(side.highs)}"
    )


def _in_slot(part: InSlot, unit: Unit) -> str:
    if isinstance(part.mean, Missing):
        return f"n {part.n}"
    return f"{mean_words(part.mean, unit)} (n {part.n})"
