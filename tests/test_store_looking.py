from __future__ import annotations

from pathlib import Path

import pytest

from app.domain.errors import NotADiary, StoreUnavailable
from app.store.diary_file import open_inspected
from app.store.looking import Looking
from app.store.people import persons
from tests.households import INSTALLATION, new_diary, tilde


def test_a_sound_diary_is_opened_as_it_was_found(tmp_path: Path) -> None:
    with new_diary(tmp_path) as made:
        tilde(made)

    file = Looking(made.path).found()

    assert file is not None
    with open_inspected(file, INSTALLATION) as diary:
        assert [each.name for each in persons(diary)] == ["Tilde"]


def test_where_nothing_lies_nothing_is_found_and_nothing_made(tmp_path: Path) -> None:
    path = tmp_path / "nowhere" / "diary.thimblebook"

    assert Looking(path).found() is None
    assert list(tmp_path.iterdir()) == []


def test_trouble_is_told_to_who_asks(tmp_path: Path) -> None:
    path = tmp_path / "letter.txt"
    path.write_text("Dear diary")

    with pytest.raises(NotADiary):
        Looking(path).found()


def test_a_name_that_can_not_be_a_file_is_no_missing_diary(tmp_path: Path) -> None:
    with pytest.raises(StoreUnavailable):
        Looking(tmp_path / ("x" * 300)).found()
