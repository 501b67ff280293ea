from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.store.diary import Diary
from app.store.history import entries
from app.store.keepers import keepers_of
from app.work.take_back import redo_last, undo_last
from tests.households import NOW, new_diary, tilde, written


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    made = new_diary(tmp_path)
    yield made
    made.close()


def writers(diary: Diary) -> list[str | None]:
    return [entry.keeper for entry in entries(diary, None)]


def test_every_change_names_who_makes_it(diary: Diary) -> None:
    person = tilde(diary)
    diary.writer = "Odalys"
    written(diary, person, "2026-03-12T07:00", "6.1")
    diary.writer = "Maude"
    written(diary, person, "2026-03-12T12:00", "7.1")
    diary.writer = None
    written(diary, person, "2026-03-12T18:00", "8.1")

    assert writers(diary)[:3] == [None, "Maude", "Odalys"]
    assert keepers_of(diary) == ("Maude", "Odalys")


def test_taking_back_names_who_does_it_and_adds_nobody(diary: Diary) -> None:
    person = tilde(diary)
    diary.writer = "Odalys"
    written(diary, person, "2026-03-12T07:00", "6.1")

    undo_last(diary, person, now=NOW)
    assert writers(diary)[0] == "Odalys"
    assert keepers_of(diary) == ()  # written beside the reading, and gone with it
    redo_last(diary, person, now=NOW)
    assert keepers_of(diary) == ("Odalys",)
    diary.writer = "Maude"
    undo_last(diary, person, now=NOW)

    assert writers(diary)[:2] == [None, "Odalys"]
    assert keepers_of(diary) == ()
