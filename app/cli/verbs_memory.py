"""The verb of the meters' memories: memory."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING

from app.cli.words import one_line
from app.domain.errors import Refused
from app.domain.kit import Meter
from app.domain.person import Person
from app.review.memory_check import MemoryChecked, memory_checked
from app.review.memory_words import (
    answer_words,
    copy_words,
    gap_words,
    memory_as_json,
    room_words,
)
from app.store.diary import Diary
from app.store.kit_rows import kit_of
from app.store.memory_copies import meters_copied
from app.work.kit_named import meter_meant, own_kit
from app.work.memory_check import keep_check

if TYPE_CHECKING:
    from app.cli.surroundings import Asked


def _words_of_memory(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--meter", metavar="NAME", help="which meter; else each that was copied")
    parser.add_argument("--json", action="store_true")
    parser.set_defaults(verb=_memory)


WORDS = {"memory": _words_of_memory}


def _memory(asked: Asked) -> int:
    around = asked.around
    with asked.person(to_read=True) as (diary, person):
        found = []
        for meter in _meters(diary, person, asked.options.meter):
            checked = memory_checked(diary, meter)
            if checked.counts is not None:
                keep_check(diary, person, meter, checked.counts, now=around.now)
            found.append(checked)
    if asked.options.json:
        around.say_json([memory_as_json(each, person.zone) for each in found])
        return 0
    for each in found:
        for line in _lines(each, person.zone):
            around.say(one_line(line))
    return 0


def _meters(diary: Diary, person: Person, name: str | None) -> list[Meter]:
    kit = own_kit(kit_of(diary), person)
    if name is not None:
        return [meter_meant(kit, name)]
    copied = meters_copied(diary, person)
    found = [each for each in kit.meters if each.id in copied]
    if not found:
        raise Refused(
            "No copy of a meter's memory was brought in yet. Copy the meter into a file, then: "
            "import FILE --meter NAME"
        )
    return found


def _lines(found: MemoryChecked, zone: str) -> Iterator[str]:
    counts = found.counts
    yield f"{found.meter.name}: {answer_words(found, zone)}"
    if counts is not None:
        yield (
            f"  {counts.total} records = {counts.mine} mine + {counts.control} control tests "
            f"+ {counts.not_mine} not mine + {counts.not_copied} not copied"
        )
    for each in found.missing:
        yield f"  not copied, line {each.line}: {each.why}   [{each.text}]"
    for line in (copy_words(found, zone), gap_words(found, zone), room_words(found.room)):
        if line is not None:
            yield f"  {line}"
