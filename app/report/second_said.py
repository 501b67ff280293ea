"""The words of the second sheet: readings by day and slot, and the lows with their notes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from app.domain.levels import HIGH_ABOVE, LOW_BELOW, VERY_HIGH_ABOVE, VERY_LOW_BELOW, Level
from app.domain.marks import SLOTS, Mark
from app.report.dates import (
    clock_words,
    day_in_month,
    days_words,
    moment_words,
    month_words,
    period_words,
)
from app.report.said_slots import SHORT
from app.report.table import Cell, Line, Table, TableRow, spanning
from app.report.words import glucose_both, isolated, limit_words, many, tr
from app.review.day_spells import SpellEnd
from app.review.low_spells import ToldSpell
from app.review.second_sheet import DayRow, Entry, SecondSheet

NO_BREAK = "\u00a0"
_DAY_SHARE, _SLOT_SHARE, _OTHER_SHARE = 12.0, 17.8, 31.6


@dataclass(frozen=True, slots=True)
class SecondSaid:
    """Who and when, the two tables, and where the pages come from; texts are as typed."""

    name: str
    period: str
    subtitle: str
    readings: Table
    lows: Table
    foot: str


def second_said(sheet: SecondSheet) -> SecondSaid:
    """Put the second sheet into words."""
    return SecondSaid(
        name=isolated(sheet.person.name),
        period=period_words(sheet.period, sheet.person),
        subtitle=tr("Every reading by day and slot. {unit}, {second} in brackets.").format(
            unit=sheet.unit, second=sheet.second
        ),
        readings=_readings(sheet),
        lows=_lows(sheet),
        foot=tr("Thimblebook, {day} · recorded at home").format(
            day=days_words(sheet.made.date(), sheet.made.date(), sheet.person, year=True)
        ),
    )


def _readings(sheet: SecondSheet) -> Table:
    told = [many(sheet.n, "reading", "readings")]
    if sheet.set_aside:
        told.append(tr("{n} set aside (x), in no figure").format(n=sheet.set_aside))
    if sheet.not_mine:
        told.append(tr("{n} of another person left out").format(n=sheet.not_mine))
    letters = tr("LL below {ll} · L below {l} · H above {h} · HH above {hh} · ? in doubt").format(
        **{
            name: limit_words(limit, sheet.unit, sheet.second)
            for name, limit in (
                ("ll", VERY_LOW_BELOW),
                ("l", LOW_BELOW),
                ("h", HIGH_ABOVE),
                ("hh", VERY_HIGH_ABOVE),
            )
        }
    )
    heads = [" ".join(filter(None, map(tr, filter(None, SHORT[mark])))) for mark in SLOTS]
    return Table(
        title=tr("Readings by day"),
        note=f"{', '.join(told)} · {letters}",
        heads=(tr("day"), *heads, tr("other, with time")),
        shares=(_DAY_SHARE, *(_SLOT_SHARE for _ in SLOTS), _OTHER_SHARE),
        rows=tuple(_rows(sheet)) if sheet.n or sheet.set_aside else (),
        empty=tr("Not tested: no readings in this period."),
    )


def _rows(sheet: SecondSheet) -> Iterator[TableRow]:
    """The days in order; a month has its name above its first day."""
    month: tuple[int, int] | None = None
    for row in sheet.rows:
        if row.is_empty:
            days = days_words(row.first, row.last, sheet.person)
            yield spanning(tr("{days}: no reading").format(days=days))
            continue
        if month != (row.first.year, row.first.month):
            month = (row.first.year, row.first.month)
            yield spanning(f"{month_words(row.first)} {row.first.year}", heading=True)
        yield _day(row, sheet)


def _day(row: DayRow, sheet: SecondSheet) -> TableRow:
    cells: list[Cell] = [(Line(day_in_month(row.first)),)]
    cells += [tuple(_line(each, sheet) for each in slot) for slot in row.slots]
    cells.append(tuple(_line(each, sheet, timed=True) for each in row.others))
    return TableRow(tuple(cells))


def _line(entry: Entry, sheet: SecondSheet, *, timed: bool = False) -> Line:
    """A reading: its values, the letter of its level, what is to be known of it."""
    parts = [clock_words(entry.wall, sheet.person)] if timed else []
    parts.append(glucose_both(entry.glucose, sheet.unit, sheet.second))
    parts.append("x" if entry.set_aside else entry.level.letter)
    parts.append("?" if entry.doubt else "")
    text = " ".join(filter(None, parts)).replace(" ", NO_BREAK)
    if timed and entry.mark is not Mark.NONE:
        text += f" {tr(entry.mark.words)}"
    low = entry.level in (Level.VERY_LOW, Level.LOW)
    return Line(text, bold=low and not entry.set_aside, whole=NO_BREAK in text and " " not in text)


def _lows(sheet: SecondSheet) -> Table:
    rows = [(each.readings[0].wall, _spell(each, sheet)) for each in sheet.spells]
    for low in sheet.lows_aside:
        value = glucose_both(low.glucose, sheet.unit, sheet.second)
        aside = tr("set aside, in no count")
        note = isolated(sheet.notes.get(low.id, ""))
        rows.append((low.wall, _row(low.wall, value, aside, note, sheet)))
    in_spells = {reading.id for each in sheet.spells for reading in each.readings}
    for each in sheet.helps:
        if each.reading is None or each.reading.id not in in_spells:
            wall = datetime.fromisoformat(each.help.at.wall)
            value = tr("no low reading tied to it")
            told = tr("another person's help was needed")
            rows.append((wall, _row(wall, value, told, isolated(each.help.what or ""), sheet)))
    none = tr("None seen in {n}.").format(n=many(sheet.counts.n, "reading", "readings"))
    return Table(
        title=tr("Lows with their notes"),
        note=many(len(sheet.spells), "spell", "spells") if sheet.spells else "",
        heads=(tr("when"), tr("readings"), tr("how it went on"), tr("written beside it")),
        shares=(26.0, 58.0, 42.0, 60.0),
        rows=tuple(row for _, row in sorted(rows, key=lambda pair: pair[0])),
        empty=none if sheet.counts.n else tr("Not tested."),
    )


def _row(wall: datetime, value: str, told: str, note: str, sheet: SecondSheet) -> TableRow:
    year = f" {wall.year}" if sheet.period.first.year != sheet.period.last.year else ""
    cells = (moment_words(wall, sheet.person) + year, value, told, note)
    return TableRow(tuple((Line(each),) if each else () for each in cells))


def _spell(spell: ToldSpell, sheet: SecondSheet) -> TableRow:
    chain = []
    for at, each in enumerate(spell.readings):
        value = glucose_both(each.glucose, sheet.unit, sheet.second)
        doubt = " ?" if each.doubt else ""
        clock = f"{clock_words(each.wall, sheet.person)} " if at else ""
        letter = f" {each.level.letter}" if each.is_low and each.level.letter else ""
        chain.append(f"{clock}{value}{letter}{doubt}".replace(" ", NO_BREAK))
    notes = [sheet.notes[each.id] for each in spell.readings if each.id in sheet.notes]
    of_help = {each.reading.id: each.help for each in sheet.helps if each.reading is not None}
    for each in spell.readings:
        if each.id in of_help:
            what = of_help[each.id].what
            notes.append(tr("help: {what}").format(what=what) if what else "")
    told = _how_it_went_on(spell)
    note = isolated(" · ".join(filter(None, (" ".join(each.split()) for each in notes))))
    return _row(spell.readings[0].wall, " → ".join(chain), told, note, sheet)


def _how_it_went_on(spell: ToldSpell) -> str:
    if spell.ended is SpellEnd.CLOSED:
        said = tr("back above by {minutes} min").format(minutes=spell.back_min)
    elif spell.ended is SpellEnd.OPEN:
        said = tr("no recheck yet")
    elif spell.next_min is None:
        said = tr("no recheck written; no value since")
    else:
        said = tr("no recheck written; next value {after} later").format(
            after=_duration(spell.next_min)
        )
    return tr("{said}; help was needed").format(said=said) if spell.helped else said


def _duration(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    if not hours:
        return tr("{minutes} min").format(minutes=rest)
    if not rest:
        return tr("{hours} h").format(hours=hours)
    return tr("{hours} h {minutes} min").format(hours=hours, minutes=rest)
