"""Visits, spans of days, changes, journeys and events as chapters of the diary."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import groupby
from uuid import UUID

from app.store import schema
from app.store.readings import moment_fields
from sample_db.beginning import keeper_uid
from sample_db.chapters import Added, Chapter, added
from sample_db.household import Household
from sample_db.ids import uid_named
from sample_db.records import Event, Span, Visit, local_moment
from sample_db.results_written import tag_row

_HOUR_S = 3600


def day_chapters(home: Household) -> Iterator[Chapter]:
    """A chapter for each visit, span, change and journey, and one for each month of events."""
    for visit in home.visits:
        yield _chapter(
            home, visit.taken_at.instant + _HOUR_S, "visit", visit.day, _visit(home, visit)
        )
    for span in home.spans:
        # A term is known beforehand, an illness when it is over.
        day, wall = (span.first, "07:00") if span.kind == "term" else (span.last, "21:30")
        rows = (_span(home.wishes.uid, span),)
        yield _chapter(home, _instant(home, day, wall), "span_of_days", day, rows)
    for change in home.change_marks:
        row = added(
            schema.change_mark,
            change.uid,
            person_id=home.wishes.uid,
            day=change.day.toordinal(),
            what=change.words,
            settling_days=change.settling_days,
        )
        at = _instant(home, change.day, "20:00")
        yield _chapter(home, at, "change_mark", change.day, (row,))
    yield from _journeys(home)
    yield from _events(home)


def _visit(home: Household, visit: Visit) -> tuple[Added, ...]:
    person = home.wishes.uid
    return (
        added(
            schema.visit,
            visit.uid,
            person_id=person,
            day=visit.day.toordinal(),
            outcome=visit.words,
        ),
        added(
            schema.lab_result,
            visit.lab_uid,
            person_id=person,
            kind="a1c",
            value=visit.a1c_percent,
            unit="%",
            **moment_fields(visit.taken_at),
        ),
    )


def _span(person: UUID, span: Span) -> Added:
    return added(
        schema.span,
        span.uid,
        person_id=person,
        kind=span.kind,
        from_day=span.first.toordinal(),
        to_day=span.last.toordinal(),
        text=span.words,
    )


def _journeys(home: Household) -> Iterator[Chapter]:
    for journey in home.journeys:
        row = added(
            schema.zone_stretch,
            uid_named(home.wishes.uid, "zone_stretch", journey.start.wall),
            person_id=home.wishes.uid,
            from_instant=journey.start.instant,
            to_instant=journey.end.instant,
            zone=journey.zone,
            meters_kept=journey.meters_kept,
        )
        at = journey.end.instant + _HOUR_S
        yield _chapter(home, at, "journey", journey.end.local.date(), (row,))


def _events(home: Household) -> Iterator[Chapter]:
    for month, group in groupby(home.events, key=lambda each: each.start.wall[:7]):
        events = list(group)
        at = (events[-1].end or events[-1].start).instant + _HOUR_S
        rows = tuple(row for event in events for row in _event(home, event, at))
        yield Chapter(
            at,
            "month_of_events",
            {"month": month},
            home.wishes.uid,
            rows,
            keeper_uid(home, home.keepers[0]),
        )


def _event(home: Household, event: Event, entered_at: int) -> Iterator[Added]:
    yield added(
        schema.event,
        event.uid,
        person_id=home.wishes.uid,
        kind=event.kind,
        **moment_fields(event.start),
        end_instant=event.end.instant if event.end else None,
        text=event.words,
        origin="typed",
        keeper_id=keeper_uid(home, home.keepers[0]),
        entered_at=entered_at,
    )
    for label in event.tags:
        yield tag_row(home, label, "event", event.uid)


def _chapter(home: Household, at: int, kind: str, day: date, rows: tuple[Added, ...]) -> Chapter:
    keeper = keeper_uid(home, home.keepers[0])
    return Chapter(at, kind, {"day": day.isoformat()}, home.wishes.uid, rows, keeper)


def _instant(home: Household, day: date, wall: str) -> int:
    return local_moment(f"{day}T{wall}", home.wishes.zone).instant
