"""What a person wants to ask at the next visit, and what came of visits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from sqlalchemy import select

from app.domain.person import Person
from app.store import schema
from app.store.connection import rows_of
from app.store.diary import Diary
from app.store.journal import Change


@dataclass(frozen=True, slots=True)
class Ask:
    """One question; `done_at` is UTC seconds once it was answered, else None."""

    id: int
    uid: UUID
    text: str
    done_at: int | None


_ASKS = (
    "SELECT id, uid, text, done_at FROM ask_item WHERE person_id = ? AND deleted_at IS NULL"
    " ORDER BY id"
)


def asks_of(diary: Diary, person: Person) -> tuple[Ask, ...]:
    """All questions of a person, the oldest first, those ticked off among them."""
    with diary.driver() as driver:
        rows = rows_of(driver, _ASKS, (person.id,))
    return tuple(
        Ask(row["id"], UUID(bytes=row["uid"]), row["text"], row["done_at"]) for row in rows
    )


def add_ask(change: Change, person: Person, text: str) -> int:
    """Write a question down; its local id."""
    return change.add(schema.ask_item, person_id=person.id, text=text)


def tick_ask(change: Change, ask: Ask, *, done_at: int | None) -> None:
    """Tick a question off, or open it again."""
    change.edit(schema.ask_item, ask.id, done_at=done_at)


def write_visit(change: Change, person: Person, day: int, outcome: str | None) -> None:
    """Write a visit down, or what came of the one that is written on that day (a date ordinal)."""
    table = schema.visit
    found: Sequence[int] = list(
        change.connection.scalars(
            select(table.c.id).where(
                table.c.person_id == person.id, table.c.day == day, table.c.deleted_at.is_(None)
            )
        )
    )
    if found:
        change.edit(table, found[0], outcome=outcome)
    else:
        change.add(table, person_id=person.id, day=day, outcome=outcome)
