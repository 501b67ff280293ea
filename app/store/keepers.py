"""Who makes the changes: named in the journal beside what was done."""

from __future__ import annotations

from sqlalchemy import select

from app.store import schema
from app.store.diary import Diary
from app.store.journal import Change
from app.store.readings import keeper_named
from app.store.rows import select as rows


def keepers_of(diary: Diary) -> tuple[str, ...]:
    """The names of everybody who wrote in a diary, by alphabet."""
    with diary.reading() as connection:
        found = rows(connection, "SELECT DISTINCT name FROM keeper WHERE deleted_at IS NULL")
    return tuple(sorted((str(row["name"]) for row in found), key=str.casefold))


def keeper_named_by(diary: Diary) -> dict[int, str]:
    """The name of every keeper by local id, of those in the bin too."""
    with diary.reading() as connection:
        return {int(row["id"]): row["name"] for row in rows(connection, "SELECT * FROM keeper")}


def name_the_writer(change: Change, name: str, *, made_anew: bool) -> None:
    """Say in the journal who makes a change.

    Parameters
    ----------
    change : Change
        The change that has begun.
    name : str
        The keeper's name.
    made_anew : bool
        Whether a keeper may be written who is not there yet: not while something is taken back,
        which adds nothing to a diary.
    """
    if made_anew:
        change.written_by(keeper_named(change, name))
        return
    table = schema.keeper
    found = change.connection.execute(
        select(table.c.id).where(table.c.name == name).order_by(table.c.deleted_at.is_not(None))
    ).scalar()
    if found is not None:
        change.written_by(int(found))
