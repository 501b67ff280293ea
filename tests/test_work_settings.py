from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from app.domain.errors import Refused
from app.domain.glucose import LimitPair, Unit
from app.domain.marks import Mark
from app.domain.targets import Limit, TargetSet
from app.domain.wishes import Wishes
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.people import care_texts, persons, targets_of
from app.store.wishes import usual_times
from app.work.settings import begin_diary, begin_person, change_settings
from app.work.take_back import undo_last
from tests.households import INSTALLATION, NOW, corwin, new_diary, written

OWN = TargetSet(
    date(2026, 3, 1).toordinal(),
    "My own",
    "from the care team",
    (Limit("all", LimitPair(72, 4.0), LimitPair(162, 9.0)),),
)
TILDE = Wishes(
    name="  Tilde ",
    unit=Unit.MMOL_L,
    zone="Europe/Lisbon",
    day_start=4,
    usual_times={Mark.WAKING: 425, Mark.BEDTIME: 1260},
    targets=OWN,
    emergency_number=" 112 ",
)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def test_a_person_begins_with_everything_that_was_answered(diary: Diary) -> None:
    person = begin_person(diary, TILDE, now=NOW)

    assert (person.name, person.day_start) == ("Tilde", 4)
    assert usual_times(diary, person) == TILDE.usual_times
    assert targets_of(diary, person) == (OWN,)
    assert care_texts(diary, person).emergency_number == "112"


def test_one_undo_takes_a_new_person_back_with_all_settings(diary: Diary) -> None:
    person = begin_person(diary, TILDE, now=NOW)

    undo_last(diary, person, now=NOW)

    assert persons(diary) == []
    assert usual_times(diary, person) == {}
    assert targets_of(diary, person) == ()


def test_changed_settings_are_one_change_that_undo_takes_back(diary: Diary) -> None:
    person = begin_person(diary, TILDE, now=NOW)
    wished = replace(
        TILDE,
        zone="America/Chicago",
        usual_times={Mark.BEDTIME: 1290, Mark.NIGHT: 150},
        targets=None,
        emergency_number="",
    )

    changed = change_settings(diary, person, wished, now=NOW)
    after = (usual_times(diary, changed), care_texts(diary, changed).emergency_number)
    undo_last(diary, changed, now=NOW)

    assert changed.zone == "America/Chicago"
    assert after == ({Mark.BEDTIME: 1290, Mark.NIGHT: 150}, None)
    assert persons(diary) == [person]
    assert usual_times(diary, person) == TILDE.usual_times
    assert care_texts(diary, person).emergency_number == "112"


def test_another_zone_changes_no_reading(diary: Diary) -> None:
    person = begin_person(diary, TILDE, now=NOW)
    written(diary, person, "2026-03-12 07:05", "7.6")
    with diary.reading() as connection:
        before = connection.exec_driver_sql("SELECT * FROM reading").fetchall()

    change_settings(diary, person, replace(TILDE, zone="Asia/Tokyo", targets=None), now=NOW)

    with diary.reading() as connection:
        assert connection.exec_driver_sql("SELECT * FROM reading").fetchall() == before


def test_two_people_can_not_be_told_apart_by_case_alone(diary: Diary) -> None:
    corwin(diary)
    person = begin_person(diary, TILDE, now=NOW)

    with pytest.raises(Refused, match='named "Corwin" already'):
        change_settings(diary, person, replace(TILDE, name="CORWIN"), now=NOW)


def test_a_first_start_that_is_refused_leaves_no_file(tmp_path: Path) -> None:
    path = tmp_path / "diary.thimblebook"

    with pytest.raises(Refused, match="not a time zone"):
        begin_diary(path, INSTALLATION, replace(TILDE, zone="Lisbon"), now=NOW)

    assert list(tmp_path.iterdir()) == []


def test_a_first_start_makes_a_diary_that_opens_again(tmp_path: Path) -> None:
    path = tmp_path / "diary.thimblebook"

    begin_diary(path, INSTALLATION, TILDE, now=NOW).close()

    with open_diary(path, INSTALLATION) as diary:
        assert [person.name for person in persons(diary)] == ["Tilde"]
