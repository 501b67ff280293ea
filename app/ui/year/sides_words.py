"""What before and after a change say in words and cells; no cause is claimed anywhere."""

from __future__ import annotations

from datetime import date, timedelta

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.levels import HIGH_ABOVE, LOW_BELOW
from app.domain.person import Person
from app.review.apart import Apart
from app.review.apart_words import (
    apart_words,
    over_days_words,
    portion_words,
    reversed_words,
    signed,
    verdict_words,
)
from app.review.before_after import BeforeAfter
from app.review.figure import Missing
from app.review.periods import Portion
from app.review.two_sides import InSlot, OfSide, SlotRow, TwoSides
from app.ui.figures.cells import Cell, Head
from app.ui.figures.words import mean_text
from app.ui.reading_words import DASH, mark_name
from app.ui.words import count_words, day_words, figure_text, joined, number_words, period_words
from app.ui.year.words import from_the_left, limit_words, many, tr

STRIP = 6  # the column in which differences are drawn


def subtitle(found: BeforeAfter) -> str:
    """The two windows, their length, and the days that are left out between them."""
    order = found.person.date_order
    said = [
        tr("{before} before, {after} after").format(
            before=period_words(found.before, order), after=period_words(found.after, order)
        ),
        many(found.days, "{n} day each", "{n} days each"),
    ]
    if found.settling_days:
        first = date.fromordinal(found.change.day)
        settling = Period(first, first + timedelta(days=found.settling_days - 1))
        said.append(
            many(
                found.settling_days,
                "{n} settling day left out ({days})",
                "{n} settling days left out ({days})",
                days=period_words(settling, order, short=True),
            )
        )
    if found.days < found.asked:
        said.append(
            tr("{n} were asked for; the change is not as old as that").format(
                n=count_words(found.asked)
            )
        )
    return joined(said)


def change_title(what: str, day: int, person: Person) -> str:
    """The change itself: "27 April 2026: long-acting plan changed"."""
    when = day_words(date.fromordinal(day), person.date_order)
    return tr("{day}: {what}").format(day=when, what=what)


def verdict(found: BeforeAfter) -> tuple[str, str]:
    """What can be told, and that it is no cause; the slot mix where it turns the averages round."""
    two = found.found
    said = [tr("What else lies in these days is listed below.")]
    turned = reversed_words(two, found.unit)
    if turned:
        said.insert(0, number_words(turned))
    return number_words(verdict_words(two.evened, two.second.name)), " ".join(said)


def evened_figures(found: BeforeAfter) -> list[tuple[str, str, tuple[str, ...]]]:
    """The three figures: evened before and after, and their difference; number and lines."""
    two, unit = found.found, found.unit
    rows = [row for row in two.rows if row.evened]
    n = [sum(row.first.n for row in rows), sum(row.second.n for row in rows)]
    slots = many(len(two.slots), "{n} slot, those of both", "{n} slots, those of both")
    names = tr("Evened before"), tr("Evened after"), tr("Difference")
    if isinstance(two.evened, Missing):
        return [(names[2], "", (two.evened.why,))]
    sides = [
        (name, "" if value is None else figure_text(value, unit), (slots, f"n {count_words(each)}"))
        for name, value, each in zip(names, (two.evened.first, two.evened.second), n, strict=False)
    ]
    both = tr("n {before} and {after}").format(before=count_words(n[0]), after=count_words(n[1]))
    number, how_sure = difference_text(two.evened, unit)
    return [*sides, (names[2], number, (how_sure, both))]


def difference_text(found: Apart | Missing, unit: Unit) -> tuple[str, str]:
    """A difference and how sure it is, or what is missing for either."""
    if isinstance(found, Missing):
        return "", found.why
    if found.value is None:
        return number_words(apart_words(found, unit).removesuffix(f" {unit}")), ""
    number = signed_text(found.value, unit)
    if found.low is None or found.high is None:
        why = "" if found.why is None else found.why.why
        return number, tr("interval not shown: {why}").format(why=why)
    low, high = (signed_text(end, unit) for end in (found.low, found.high))
    return number, tr("95 %: about {low} to {high}").format(low=low, high=high)


def signed_text(value: float, unit: Unit) -> str:
    """A difference with its sign before it, in every language."""
    return from_the_left(number_words(signed(value, unit)))


def slot_heads(unit: Unit) -> list[Head]:
    """The heads of the slots."""
    return [
        Head(tr("Same slot"), at_end=False),
        Head(tr("before"), tr("average before, {unit}").format(unit=unit)),
        Head("n", tr("number of readings before, n")),
        Head(tr("after"), tr("average after, {unit}").format(unit=unit)),
        Head("n", tr("number of readings after, n")),
        Head(tr("difference"), tr("difference, {unit}").format(unit=unit)),
        Head("", tr("difference with its 95 % interval, on a scale")),
    ]


def slot_cells(row: SlotRow, unit: Unit) -> list[Cell]:
    """One slot on both sides."""
    number, how_sure = difference_text(row.apart, unit)
    outside = "" if row.evened else tr("not in the evened")
    name = mark_name(row.mark)
    return [
        Cell(name, outside and "*", said=joined((name, outside)), at_end=False),
        *_side_cells(row.first, unit),
        *_side_cells(row.second, unit),
        Cell(number or DASH, said=joined((number, how_sure)), ink="ink" if number else "ink3"),
        Cell(said=how_sure),
    ]


def evened_cells(two: TwoSides, unit: Unit) -> list[Cell]:
    """The last row: the slots of both sides with the same weight each."""
    rows = [row for row in two.rows if row.evened]
    number, how_sure = difference_text(two.evened, unit)
    first = second = None
    if isinstance(two.evened, Apart):
        first, second = two.evened.first, two.evened.second
    return [
        Cell(tr("evened"), bold=True, at_end=False),
        _mean_cell("" if first is None else figure_text(first, unit), bold=True),
        Cell(count_words(sum(row.first.n for row in rows)), ink="ink2"),
        _mean_cell("" if second is None else figure_text(second, unit), bold=True),
        Cell(count_words(sum(row.second.n for row in rows)), ink="ink2"),
        Cell(number or DASH, said=joined((number, how_sure)), bold=bool(number)),
        Cell(said=how_sure),
    ]


def side_heads() -> list[Head]:
    """The heads of what each side rests on."""
    return [Head(tr("What it rests on"), at_end=False), Head(tr("before")), Head(tr("after"))]


def side_rows(two: TwoSides, unit: Unit) -> list[list[Cell]]:
    """Days, nights, plain averages, shares, each for both sides."""
    sides = two.first, two.second

    def row(name: str, quiet: str, texts: list[str]) -> list[Cell]:
        said = f"{name}, {quiet}" if quiet else name
        cells = [Cell(text or DASH, ink="ink" if text else "ink3") for text in texts]
        return [Cell(name, quiet, said=said, at_end=False), *cells]

    return [
        row(tr("Readings"), "n", [count_words(side.n) for side in sides]),
        row(tr("Days with readings"), "", [_of_days(side.days, side) for side in sides]),
        row(tr("Nights tested"), "", [_of_days(side.nights_tested, side) for side in sides]),
        row(tr("Plain average"), unit, [mean_text(side.mean, unit) for side in sides]),
        row(
            tr("Low"),
            tr("below {limit}").format(limit=limit_words(LOW_BELOW, unit)),
            [_portion(side.lows) for side in sides],
        ),
        row(
            tr("High"),
            tr("above {limit}").format(limit=limit_words(HIGH_ABOVE, unit)),
            [_portion(side.highs) for side in sides],
        ),
        row(tr("Unmarked"), "n", [count_words(side.unmarked) for side in sides]),
        row(tr("In doubt"), "n", [count_words(side.in_doubt) for side in sides]),
    ]


def notes(found: BeforeAfter) -> list[str]:
    """The check by days, the same without doubt and apart days, and what is in neither side."""
    unit, said = found.unit, []
    over_days = over_days_words(found.found.evened, unit)
    if over_days:
        said.append(number_words(over_days))
    for words, two in (
        (tr("Without readings in doubt: {difference}."), found.without_doubt),
        (tr("Without sick and set-aside days: {difference}."), found.without_days),
    ):
        if two is not None:
            difference = number_words(apart_words(two.evened, unit))
            said.append(words.format(difference=difference))
    if any(not row.evened for row in found.found.rows):
        said.append(
            tr("* not in the evened average: night, and slots with fewer than 3 readings a side.")
        )
    if found.left_out:
        parts = [f"{count_words(n)} {why.replace('_', ' ')}" for why, n in found.left_out.items()]
        said.append(tr("Left out: {parts}.").format(parts=", ".join(parts)))
    return said


def _portion(found: Portion) -> str:
    return from_the_left(number_words(portion_words(found)))


def _of_days(count: int, side: OfSide) -> str:
    if side.days_in_all is None:
        return count_words(count)
    return tr("{n} of {all}").format(n=count_words(count), all=count_words(side.days_in_all))


def _side_cells(side: InSlot, unit: Unit) -> list[Cell]:
    few = "" if side.n else tr("not tested")
    return [
        _mean_cell(mean_text(side.mean, unit), few or tr("too few")),
        Cell(count_words(side.n), ink="ink2"),
    ]


def _mean_cell(text: str, why: str = "", *, bold: bool = False) -> Cell:
    return Cell(text, bold=bold) if text else Cell(DASH, said=why, ink="ink3")
