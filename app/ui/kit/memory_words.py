"""What the window says of a meter's memory: may it be cleared, and when it writes over results."""

from __future__ import annotations

from datetime import UTC, date, datetime

from app.domain.numerals import half_up
from app.domain.person import Person
from app.review.memory_check import (
    CONTROL,
    MINE,
    NEVER,
    NO_WAY_BACK,
    NOT_COPIED,
    NOT_MINE,
    WHY_KEPT,
    YES,
    MemoryChecked,
)
from app.statistics.memory_room import MemoryRoom
from app.store.backup_facts import local
from app.ui.kit.words import many, tr
from app.ui.words import clock_words, count_words, date_words, number_words

KINDS = (MINE, CONTROL, NOT_MINE, NOT_COPIED)


def kind_name(kind: str) -> str:
    """Where a record of a memory is now."""
    return {
        MINE: tr("mine"),
        CONTROL: tr("control test"),
        NOT_MINE: tr("not mine"),
        NOT_COPIED: tr("not copied"),
    }[kind]


def short_answer(found: MemoryChecked) -> str:
    """May it be cleared, in a word or two."""
    if found.answer == NEVER:
        return tr("Never: it must be kept")
    return tr("Yes: all accounted for") if found.answer == YES else tr("Not yet")


def answer_text(found: MemoryChecked, person: Person, today: date) -> str:
    """The answer in full; that clearing can't be taken back goes with every yes."""
    counts = found.counts
    if found.copy is None:
        first = tr(
            "Not yet: no copy of its memory was brought in. Copy the meter into a file and bring "
            "that in on Readings."
        )
    elif counts is None:
        first = tr(
            "Not yet: its copy was brought in before records were listed. Bring the same file in "
            "again."
        )
    elif counts.not_copied:
        first = tr("Not yet: {n} of {total} not copied.").format(
            n=count_words(counts.not_copied), total=count_words(counts.total)
        )
    elif found.backup is None:
        first = tr("Not yet: all {total} accounted for, but no backup was checked since.").format(
            total=count_words(counts.total)
        )
    else:
        at = moment_text(found.backup.verified_at or found.backup.at, person, today)
        first = tr("All {total} accounted for; backup checked {at}.").format(
            total=count_words(counts.total), at=at
        )
    if found.answer == NEVER:
        return tr("Do not clear {meter}: {why}. {first}").format(
            meter=found.meter.name, why=tr(WHY_KEPT), first=first
        )
    return f"{first} {tr(NO_WAY_BACK)}"


def counts_text(found: MemoryChecked) -> str:
    """All records of the copy, and how they add up."""
    counts = found.counts
    if counts is None:
        return ""
    return tr(
        "{total} records = {mine} mine + {control} control tests + {not_mine} not mine + "
        "{not_copied} not copied"
    ).format(
        total=count_words(counts.total),
        mine=count_words(counts.mine),
        control=count_words(counts.control),
        not_mine=count_words(counts.not_mine),
        not_copied=count_words(counts.not_copied),
    )


def copy_text(found: MemoryChecked, person: Person, today: date) -> str:
    """Of which copy it speaks, and what is not in it."""
    if found.copy is None:
        return ""
    at = moment_text(datetime.fromtimestamp(found.copy.at, UTC), person, today)
    return tr("This speaks of {file}, brought in {at}; what came after is not in it.").format(
        file=found.copy.name, at=at
    )


def gap_text(found: MemoryChecked, person: Person, today: date) -> str:
    """What the memory wrote over before it was copied."""
    if found.gap is None:
        return ""
    first, last = (moment_text(datetime.fromtimestamp(at, UTC), person, today) for at in found.gap)
    if found.meter.capacity is None:
        text = tr(
            "Results from {first} to {last} may be missing: this copy shares no record with "
            "earlier ones, and they can't be recovered from this meter."
        )
    else:
        text = tr(
            "Results from {first} to {last} are missing: this copy shares no record with earlier "
            "ones, and they can't be recovered from this meter."
        )
    return text.format(first=first, last=last)


def short_room(room: MemoryRoom, person: Person, today: date) -> str:
    """From about when results are written over, or "unknown"."""
    if room.missing:
        return tr("unknown")
    if room.full_day is None:
        return tr("no pace to go by")
    return tr("about {day}").format(day=date_words(date.fromordinal(room.full_day), today, person))


def room_text(room: MemoryRoom, person: Person, today: date) -> str:
    """The same in a sentence, with the pace and what is missing to know more."""
    if room.missing:
        known = {
            "capacity": tr("how many results its memory holds (Enter on the meter)"),
            "copy": tr("a copy of its memory"),
            "pace": tr("a week of results before the copy"),
        }
        needs = tr(" and ").join(known[each] for each in room.missing)
        return tr("When it writes over what is not copied: unknown, for that needs {what}.").format(
            what=needs
        )
    if room.full_day is None:
        return many(
            room.days,
            "Nothing was measured in the {n} day before the copy; no pace to go by.",
            "Nothing was measured in the {n} days before the copy; no pace to go by.",
        )
    assert room.per_day is not None
    return tr(
        "At {pace} results a day (n {days} days) it begins to write over what is not copied about "
        "{day}."
    ).format(
        pace=number_words(str(half_up(room.per_day, 1))),
        days=count_words(room.days),
        day=date_words(date.fromordinal(room.full_day), today, person),
    )


def moment_text(at: datetime, person: Person, today: date) -> str:
    """A moment on the person's clocks: "Fri 24 Jul 10:03"."""
    wall = local(at, person.zone)
    return f"{date_words(wall.date(), today, person)} {clock_words(wall, person)}"
