"""What a person writes down of the kit: control tests, events, parts, supplies, and their word."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from app.domain.clock import FUTURE_SECONDS, Moment
from app.domain.control_doubt import KEEP, Failed
from app.domain.errors import Refused
from app.domain.glucose import Glucose
from app.domain.kit import (
    EVENT_KINDS,
    ITEM_KINDS,
    SUPPLY_WHY,
    ControlTest,
    KitItem,
    Meter,
    Solution,
    Vial,
)
from app.domain.person import Person
from app.store.diary import Diary
from app.store.kit_writes import (
    add_row,
    edit_row,
    rewrite_kit_of_readings,
    write_control,
    write_control_every,
    write_narrowed,
)
from app.store.readings import moment_fields
from app.work.kit_things import KitDone, kept_name
from app.work.note_down import kept_text, wall_words
from app.work.told import told

MOST_DAYS = 366
_MOST_PIECES = 100_000
_NOT_SAVED = "Nothing was saved."


def note_control(
    diary: Diary,
    person: Person,
    glucose: Glucose,
    at: Moment,
    *,
    now: datetime,
    meter: Meter,
    level: str,
    vial: Vial | None = None,
    solution: Solution | None = None,
    temperature: str | None = None,
) -> KitDone:
    """Write a control test down: never a reading, in no glucose figure.

    Parameters
    ----------
    vial : Vial, optional
        Where it was said; else it is the one that the meter uses then.

    Raises
    ------
    Refused
        It would lie in the future. Nothing was saved.
    """
    if at.instant > now.timestamp() + FUTURE_SECONDS:
        raise Refused(f"{wall_words(at)} has not come yet. {_NOT_SAVED}")
    words = {
        "result": f"{glucose.shown(glucose.unit)} {glucose.unit} with {meter.name}",
        "vial": vial.name if vial else None,
        "at": wall_words(at),
    }
    with diary.change("kit_control", words, now=now, person=person) as change:
        row_id, uid = write_control(
            change,
            person,
            glucose,
            at,
            meter_id=meter.id,
            level=level,
            vial_id=vial.id if vial else None,
            solution_id=solution.id if solution else None,
            temperature=kept_text(temperature),
        )
    return KitDone("control_test", row_id, uid, told("kit_control", words))


def edit_control(
    diary: Diary,
    person: Person,
    test: ControlTest,
    fields: Mapping[str, Any],
    *,
    now: datetime,
    at: Moment | None = None,
) -> KitDone:
    """Correct a control test: value, meter, vial, solution, level; the first one typed is kept.

    Parameters
    ----------
    at : Moment, optional
        When it really was: what it puts in doubt follows.

    Raises
    ------
    Refused
        Nothing would be different, or it would lie in the future. Nothing was changed.
    """
    parts = [each.removesuffix("_id") for each in fields if each != "unit" and each != "bound"]
    if at is not None:
        if at.instant > now.timestamp() + FUTURE_SECONDS:
            raise Refused(f"{wall_words(at)} has not come yet. Nothing was changed.")
        fields = {**fields, **moment_fields(at)}
        parts.append("time")
    words = {"at": wall_words(test.moment), "parts": parts}
    with diary.change("kit_control_edit", words, now=now, person=person) as change:
        if not edit_row(change, "control_test", test.id, **fields):
            raise Refused("That is what stands there already; nothing was changed.")
    return KitDone("control_test", test.id, test.uid, told("kit_control_edit", words))


def narrow(diary: Diary, person: Person, failed: Failed, verdict: str, *, now: datetime) -> KitDone:
    """Write the person's word on a failed control test: the vial, the meter, or all stay.

    Raises
    ------
    Refused
        No later pass gives a reason for it, or it is the word already. Nothing was changed.
    """
    test = failed.judged.test
    reason = next((each.passed for each in failed.offers if each.side == verdict), None)
    if verdict != KEEP and reason is None:
        other = "another vial" if verdict == "vial" else "another meter"
        raise Refused(
            f"No control test with {other} passed since, so nothing says that it was the "
            f"{verdict}. Nothing was changed."
        )
    if failed.word == verdict:
        raise Refused("That is your word already; nothing was changed.")
    words = {"verdict": verdict, "at": wall_words(test.moment)}
    with diary.change("kit_narrow", words, now=now, person=person) as change:
        write_narrowed(change, test.uid, verdict, reason.test.uid if reason else None)
    return KitDone("control_test", test.id, test.uid, told("kit_narrow", words))


def note_item(diary: Diary, person: Person, kind: str, name: str, *, now: datetime) -> KitDone:
    """Write a part of the kit down: a lancing device, lancets, a battery."""
    if kind not in ITEM_KINDS:
        raise Refused(f'"{kind}" is no part; say one of {", ".join(ITEM_KINDS)}. {_NOT_SAVED}')
    words = {"item": kept_name(name)}
    with diary.change("kit_item", words, now=now, person=person) as change:
        row_id, uid = add_row(
            change, "kit_item", kind=kind, name=words["item"], person_id=person.id
        )
    return KitDone("kit_item", row_id, uid, told("kit_item", words))


def note_kit_event(
    diary: Diary,
    person: Person,
    kind: str,
    at: Moment,
    *,
    now: datetime,
    meter: Meter | None = None,
    vial: Vial | None = None,
    item: KitItem | None = None,
    note: str | None = None,
) -> KitDone:
    """Write down what happened to a meter, a vial or a part.

    Raises
    ------
    Refused
        It is no kind of event, or it is not said to what it happened. Nothing was saved.
    """
    if kind not in EVENT_KINDS:
        raise Refused(f'"{kind}" is no event; say one of {", ".join(EVENT_KINDS)}. {_NOT_SAVED}')
    if meter is None and vial is None and item is None:
        raise Refused(f"Say to what it happened: --meter, --vial or --item. {_NOT_SAVED}")
    of = [meter.name if meter else None, vial.name if vial else None, item.name if item else None]
    words = {
        "sort": kind,
        "of": ", ".join(filter(None, of)),
        "at": wall_words(at),
        "note": kept_text(note),
    }
    with diary.change("kit_event", words, now=now, person=person) as change:
        row_id, uid = add_row(
            change,
            "kit_event",
            kind=kind,
            at=at.instant,
            meter_id=meter.id if meter else None,
            vial_id=vial.id if vial else None,
            item_id=item.id if item else None,
            note=words["note"],
        )
    return KitDone("kit_event", row_id, uid, told("kit_event", words))


def note_supply(
    diary: Diary,
    person: Person,
    sort: str,
    count: int,
    why: str,
    at: Moment,
    *,
    now: datetime,
    vial: Vial | None = None,
) -> KitDone:
    """Write down that pieces were bought, used, wasted or counted; of one vial or of the stock.

    Raises
    ------
    Refused
        The number or the reason is none. Nothing was saved.
    """
    if why not in SUPPLY_WHY:
        raise Refused(f'"{why}" is no reason; say one of {", ".join(SUPPLY_WHY)}. {_NOT_SAVED}')
    if not 0 <= count <= _MOST_PIECES:
        raise Refused(f"There can be 0 to {_MOST_PIECES:,} pieces, not {count}. {_NOT_SAVED}")
    words = {"sort": sort, "count": count, "why": why, "vial": vial.name if vial else None}
    with diary.change("kit_supply", words, now=now, person=person) as change:
        row_id, uid = add_row(
            change,
            "supply",
            person_id=person.id,
            kind=sort,
            vial_id=vial.id if vial else None,
            at=at.instant,
            count=count,
            why=why,
        )
    return KitDone("supply", row_id, uid, told("kit_supply", words))


def say_kit_of_readings(
    diary: Diary,
    person: Person,
    ids: Iterable[int],
    *,
    now: datetime,
    meter: Meter | None = None,
    vial: Vial | None = None,
) -> tuple[int, str]:
    """Say with which meter and vial readings were made; how many differed, and one sentence.

    Raises
    ------
    Refused
        None of them would be different. Nothing was changed.
    """
    words: dict[str, Any] = {
        "meter": meter.name if meter else None,
        "vial": vial.name if vial else None,
    }
    with diary.change("kit_readings", words, now=now, person=person) as change:
        count = rewrite_kit_of_readings(
            change,
            person,
            ids,
            meter_id=meter.id if meter else None,
            vial_id=vial.id if vial else None,
        )
        if not count:
            raise Refused("No reading there would be different; nothing was changed.")
        words["count"] = count
        change.says(words)
    return count, told("kit_readings", words)


def say_control_every(diary: Diary, person: Person, days: int | None, *, now: datetime) -> str:
    """Say after how many days the label wants a control test; None for never by days."""
    if days is not None and not 1 <= days <= MOST_DAYS:
        raise Refused(f"Say 1 to {MOST_DAYS} days. {_NOT_SAVED}")
    words = {"days": days}
    with diary.change("kit_every", words, now=now, person=person) as change:
        write_control_every(change, person, days)
    return told("kit_every", words)
