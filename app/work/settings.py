"""Beginning with a person, and changing how things are shown and judged: each can be undone."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from uuid import UUID

from app.domain.errors import DiaryError, Refused
from app.domain.person import Person, same_name
from app.domain.wishes import Wishes, checked
from app.store.diary import Diary
from app.store.diary_file import create_diary
from app.store.people import person_by_id, persons
from app.store.wishes import change_wishes, write_wishes


def begin_diary(path: Path, installation: UUID, wishes: Wishes, *, now: datetime) -> Diary:
    """Make a new diary with a first person in it; whole or not at all.

    Raises
    ------
    DiaryError
        What was wished can't be kept, or the file can't be made; nothing is left behind.
    """
    kept = checked(wishes)
    diary = create_diary(path, installation, now=now)
    try:
        begin_person(diary, kept, now=now)
    except DiaryError:
        diary.close()
        path.unlink(missing_ok=True)
        raise
    return diary


def begin_person(diary: Diary, wishes: Wishes, *, now: datetime) -> Person:
    """Add a person with every setting.

    Raises
    ------
    Refused
        The name is taken, or something wished can't be kept; nothing was changed.
    """
    kept = checked(wishes)
    _must_be_free(diary, kept.name, but=None)
    with diary.change("person_add", {"name": kept.name}, now=now) as change:
        person_id = write_wishes(change, kept)
        change.concerns(person_id)
        return person_by_id(change.connection, person_id)


def change_settings(diary: Diary, person: Person, wishes: Wishes, *, now: datetime) -> Person:
    """Change a person's settings to what is wished; the readings stay as they were entered.

    Raises
    ------
    Refused
        The name is taken, or something wished can't be kept; nothing was changed.
    """
    kept = checked(wishes)
    _must_be_free(diary, kept.name, but=person)
    with diary.change("settings", {"name": kept.name}, now=now, person=person) as change:
        change_wishes(change, person, kept)
        return person_by_id(change.connection, person.id)


def _must_be_free(diary: Diary, name: str, *, but: Person | None) -> None:
    for other in persons(diary):
        if same_name(other.name, name) and (but is None or other.uid != but.uid):
            raise Refused(
                f'There is a person named "{other.name}" already; nothing was changed. '
                "Give another name, for instance with an initial."
            )
