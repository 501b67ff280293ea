"""What is said of a meter's clock beside repairs: settings, stays in another zone, a no."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from app.domain.clock import Moment, zone_named
from app.domain.errors import Refused
from app.domain.person import Person
from app.store.clock_writes import (
    drop_repair,
    link_repair,
    write_no,
    write_setting,
    write_stay,
)
from app.store.diary import Diary
from app.work.told import told

SET, STAY, NO = "clock_set", "clock_journey", "clock_no"
LONGEST_CAUSE = 120


def keep_setting(
    diary: Diary,
    person: Person,
    meter: tuple[int, str],
    at: Moment,
    *,
    now: datetime,
    shown_before: datetime | None,
    shown_after: datetime | None,
    cause: str | None,
) -> str:
    """Write down that a meter's clock was set, or that it began anew; returns one sentence.

    Parameters
    ----------
    meter : tuple of int and str
        Local id and name.
    shown_before, shown_after : datetime, optional
        Naive, what the clock showed; without `shown_after` it was set right.

    Raises
    ------
    Refused
        It lies in the future, or the cause is too long. Nothing was saved.
    """
    if at.instant > now.timestamp():
        raise Refused("A clock can be said to be set only once it was. Nothing was saved.")
    said = " ".join((cause or "").split()) or None
    if said is not None and len(said) > LONGEST_CAUSE:
        raise Refused(f"A cause has at most {LONGEST_CAUSE} characters. Nothing was saved.")
    words = {"meter": meter[1], "at": at.wall.replace("T", " "), "why": said}
    with diary.change(SET, words, now=now, person=person) as change:
        write_setting(
            change,
            meter_id=meter[0],
            at=at.instant,
            shown_before=_iso(shown_before),
            shown_after=_iso(shown_after or at.local),
            cause=said,
        )
    return told(SET, words)


def keep_stay(
    diary: Diary,
    person: Person,
    start: Moment,
    end: Moment,
    *,
    now: datetime,
    meters_kept: str | None,
) -> str:
    """Write down a stay in another zone, from one moment there to another; one sentence.

    Parameters
    ----------
    meters_kept : str or None
        The zone whose time the meters went on showing; None where that is not known.

    Raises
    ------
    Refused
        It ends before it begins, or a zone is unknown. Nothing was saved.
    """
    if end.instant <= start.instant:
        raise Refused("The stay ends before it begins. Nothing was saved.")
    for zone in (start.zone, meters_kept):
        if zone is not None:
            zone_named(zone)
    words: dict[str, Any] = {
        "zone": start.zone,
        "first": start.wall.replace("T", " "),
        "last": end.wall.replace("T", " "),
    }
    with diary.change(STAY, words, now=now, person=person) as change:
        write_stay(
            change,
            person,
            start=start.instant,
            end=end.instant,
            zone=start.zone,
            meters_kept=meters_kept,
        )
    return told(STAY, words)


def say_no(
    diary: Diary,
    person: Person,
    *,
    kind: str,
    meter: str,
    count: int,
    first: UUID,
    last: UUID,
    now: datetime,
    doubted: tuple[int, Sequence[int]] | None = None,
) -> str:
    """Remember that a proposal is wrong, so that it is not made again; returns one sentence.

    `doubted` are the repair and the readings, by local id, whose clock was in doubt until now.
    """
    words = {"meter": meter, "count": count}
    with diary.change(NO, words, now=now, person=person) as change:
        write_no(change, kind=kind, first=first, last=last)
        if doubted is not None:
            link_repair(change, person, doubted[1], None)
            drop_repair(change, doubted[0])
    return told(NO, words)


def _iso(wall: datetime | None) -> str | None:
    return (
        None if wall is None else wall.isoformat(timespec="seconds" if wall.second else "minutes")
    )
