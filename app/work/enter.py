"""A typed line becomes a reading in the diary."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from app.domain.clock import FUTURE_SECONDS, Moment, offsets_of
from app.domain.entry import Entry, EntryContext, read_entry
from app.domain.errors import NeedsAnswer, Refused
from app.domain.glucose import Glucose
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import NewReading, Stamp
from app.store.diary import Diary
from app.store.kit_rows import only_meter
from app.store.readings import write_reading
from app.store.tags import tag_labels


@dataclass(frozen=True, slots=True)
class Entered:
    """What was saved: the row's uid, and the entry as it was understood."""

    uid: UUID
    entry: Entry
    glucose: Glucose


def understand(
    diary: Diary,
    person: Person,
    line: str,
    *,
    now: datetime,
    zone: str | None = None,
    at: str | None = None,
    sure: bool = False,
) -> Entry:
    """Read a typed line for a person, piece by piece; nothing is saved."""
    context = EntryContext(
        now=now,
        zone=zone or person.zone,
        unit=person.unit,
        date_order=person.date_order,
        known_tags=tag_labels(diary, person),
        day_start=person.day_start,
    )
    return read_entry(line, context, sure=sure, at=at)


def enter(
    diary: Diary,
    person: Person,
    entry: Entry,
    *,
    now: datetime,
    sure: bool = False,
    keeper: str | None = None,
    private_note: bool = False,
    meter: int | None = None,
    vial: int | None = None,
) -> Entered:
    """Save an understood line; when this returns, the reading is on the disk.

    `sure` says that the person confirmed an odd value or time; `private_note` that the note stays
    in this copy of the diary. `meter` and `vial` are local ids,
    where they were said; who has one meter alone need not say it.

    Raises
    ------
    Refused
        The line can't be a reading.
    NeedsAnswer
        A question must be answered first. In both cases nothing was saved.
    """
    if entry.problems:
        raise Refused(" ".join((*entry.problems, "Nothing was saved.")))
    if entry.questions:
        raise NeedsAnswer(entry.questions)
    glucose, moment = entry.glucose, entry.moment
    if glucose is None or moment is None:
        raise RuntimeError("an entry without problems and questions has a value and a time")
    new = NewReading(
        glucose=glucose,
        moment=moment,
        time_from=entry.time_from,
        time_state=time_state(moment, now),
        mark=entry.mark,
        mark_from=None if entry.mark is Mark.NONE else "person",
        after_min=entry.after_min,
        site=entry.site,
        site_detail=entry.site_detail,
        hands=entry.hands,
        odd_ok=sure or any(piece.kind == "sure" for piece in entry.pieces),
        stamp=Stamp(value=_as_typed(entry)),
        note=entry.note,
        note_is_private=private_note,
        tags=entry.tags,
        keeper=keeper,
        meter_id=meter or only_meter(diary, person, day=moment.day, unit=glucose.unit),
        vial_id=vial,
    )
    said = f"{glucose.shown(glucose.unit)} {glucose.unit}, {moment.wall.replace('T', ' ')}"
    with diary.change("enter", {"reading": said}, now=now, person=person) as change:
        uid = write_reading(change, person, new, origin="typed")
    return Entered(uid, entry, glucose)


def time_state(moment: Moment, now: datetime) -> str:
    """How sure the time is: an hour that came twice was asked about, as was one to come."""
    if moment.instant > now.timestamp() + FUTURE_SECONDS:
        return "future"
    return "sure" if len(offsets_of(moment.local, moment.zone)) == 1 else "asked"


def _as_typed(entry: Entry) -> str | None:
    return next((piece.text for piece in entry.pieces if piece.kind == "value"), None)
