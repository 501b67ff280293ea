from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.errors import Refused
from app.domain.glucose import Unit
from app.domain.marks import SLOTS, Mark
from app.domain.person import Person
from app.domain.return_sheet import CellReading, ReturnSheet, SheetCell, date_of, key_of
from app.store.diary import Diary
from app.store.readings import readings_of
from app.store.state_hash import state_hash
from app.work.return_sheet import look_at_sheet, save_sheet, usual_minutes
from app.work.take_back import redo_last, undo_last
from tests.households import NOW, new_diary, tilde, written

DAY = date(2026, 3, 9)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def sheet(*boxes: tuple[date, Mark, str], place: str | None = "school") -> ReturnSheet:
    cells = tuple(SheetCell(day, slot, text) for day, slot, text in boxes)
    return ReturnSheet(cells, "Ms Ardley", place, Unit.MMOL_L, "Europe/Lisbon")


def kept(diary: Diary, person: Person) -> list[tuple[str, str, str, str | None, str | None]]:
    return [
        (
            each.glucose.shown(each.glucose.unit),
            each.moment.wall if each.moment else "",
            each.mark,
            each.keeper,
            each.place,
        )
        for each in readings_of(diary, person)
    ]


def test_a_sheet_is_saved_with_who_wrote_it_and_where(diary: Diary) -> None:
    person = tilde(diary)
    typed = sheet(
        (DAY, Mark.BEFORE_LUNCH, "7.2 12:10 felt fine"), (DAY, Mark.AFTER_LUNCH, "9.8 14:05")
    )

    saved = save_sheet(diary, person, typed, now=NOW)

    assert saved.sentence == "From the sheet of Ms Ardley (school) 2 readings were saved."
    assert kept(diary, person) == [
        ("7.2", "2026-03-09T12:10", "before_lunch", "Ms Ardley", "school"),
        ("9.8", "2026-03-09T14:05", "after_lunch", "Ms Ardley", "school"),
    ]
    first = readings_of(diary, person)[0]
    assert (first.note, first.origin, first.time_from) == ("felt fine", "sheet", "paper")
    assert (first.time_precision, first.mark_from) == ("minute", "person")


def test_one_undo_takes_the_whole_sheet_back_and_one_redo_brings_it_again(diary: Diary) -> None:
    person = tilde(diary)
    there = written(diary, person, "2026-03-09 12:07", "7.2")
    before = state_hash(diary)
    typed = sheet((DAY, Mark.BEFORE_LUNCH, "7.2 12:10 crisps"), (DAY, Mark.BEDTIME, "6.1 21:00"))
    save_sheet(diary, person, typed, now=NOW, answers={key_of(DAY, Mark.BEFORE_LUNCH): "one"})
    after = state_hash(diary)

    undo_last(diary, person, now=NOW)

    assert state_hash(diary) == before
    redo_last(diary, person, now=NOW)
    assert state_hash(diary) == after
    assert readings_of(diary, person)[0].uid == there


def test_the_same_value_within_ten_minutes_is_asked_about_and_not_doubled(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-09 12:07", "7.2")
    typed = sheet((DAY, Mark.BEFORE_LUNCH, "7.2 12:10"))

    look = look_at_sheet(diary, person, typed, now=NOW)
    saved = save_sheet(diary, person, typed, now=NOW)

    assert [each.state for each in look.looked] == ["asked"]
    assert "7.2 mmol/L is probably one with the same value of 12:07" in look.looked[0].why
    assert not saved.written
    assert len(readings_of(diary, person)) == 1


@pytest.mark.parametrize(("at", "state"), [("12:17", "asked"), ("12:18", "new")])
def test_ten_minutes_is_the_edge_of_probably_one(diary: Diary, at: str, state: str) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-09 12:07", "7.2")

    look = look_at_sheet(diary, person, sheet((DAY, Mark.BEFORE_LUNCH, f"7.2 {at}")), now=NOW)

    assert [each.state for each in look.looked] == [state]


def test_what_is_one_keeps_its_time_and_gets_what_it_lacked(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-09 12:07", "7.2", note="before PE")
    typed = sheet((DAY, Mark.BEFORE_LUNCH, "7.2 12:10 crisps"))

    saved = save_sheet(
        diary, person, typed, now=NOW, answers={key_of(DAY, Mark.BEFORE_LUNCH): "one"}
    )

    assert saved.sentence == (
        "From the sheet of Ms Ardley (school) 0 readings were saved, 1 was one with what was there."
    )
    (found,) = readings_of(diary, person)
    assert found.moment is not None
    assert (found.moment.wall, found.mark, found.keeper, found.place) == (
        "2026-03-09T12:07",
        "before_lunch",
        "Ms Ardley",
        "school",
    )
    assert found.note == "before PE\ncrisps"


def test_what_is_two_stands_twice_because_somebody_said_so(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-09 12:07", "7.2")
    typed = sheet((DAY, Mark.BEFORE_LUNCH, "7.2 12:10"))
    answers = {key_of(DAY, Mark.BEFORE_LUNCH): "two"}

    save_sheet(diary, person, typed, now=NOW, answers=answers)
    again = look_at_sheet(diary, person, typed, now=NOW)

    assert len(readings_of(diary, person)) == 2
    assert [each.state for each in again.looked] == ["already"]


def test_two_boxes_never_meet_the_same_reading(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-09 12:07", "7.2")
    typed = sheet((DAY, Mark.BEFORE_LUNCH, "7.2 12:10 / 7.2 12:12"))

    look = look_at_sheet(diary, person, typed, now=NOW)

    assert sorted(each.state for each in look.looked) == ["asked", "new"]


def test_a_box_without_a_time_has_the_usual_one_and_says_so(diary: Diary) -> None:
    person = tilde(diary)
    for day in range(1, 6):
        written(diary, person, f"2026-03-0{day} 12:3{day}", "5.5", Mark.BEFORE_LUNCH)
    typed = sheet((DAY, Mark.BEFORE_LUNCH, "7.2"))

    save_sheet(diary, person, typed, now=NOW)

    found = readings_of(diary, person)[-1]
    assert found.moment is not None
    assert (found.moment.wall, found.time_precision) == ("2026-03-09T12:33", "slot")


def test_a_box_without_a_time_needs_a_usual_one(diary: Diary) -> None:
    person = tilde(diary)

    look = look_at_sheet(diary, person, sheet((DAY, Mark.NIGHT, "7.2")), now=NOW)

    assert look.looked == ()
    assert "no usual time of night is known" in look.troubles[0].why


def test_a_box_without_a_time_meets_the_meters_reading_of_about_then(diary: Diary) -> None:
    person = tilde(diary)
    for day in range(1, 6):
        written(diary, person, f"2026-03-0{day} 12:30", "5.5", Mark.BEFORE_LUNCH)
    written(diary, person, "2026-03-09 13:25", "7.2")
    written(diary, person, "2026-03-09 11:35", "7.2", Mark.AFTER_BREAKFAST)

    look = look_at_sheet(diary, person, sheet((DAY, Mark.BEFORE_LUNCH, "7.2")), now=NOW)

    assert look.looked[0].there is not None
    assert look.looked[0].there.wall == "2026-03-09T13:25"


def test_the_middle_of_late_tests_is_taken_across_midnight(diary: Diary) -> None:
    person = tilde(diary)
    for day, at in ((1, "23:50"), (2, "23:55"), (4, "00:10"), (5, "00:20"), (6, "00:05")):
        written(diary, person, f"2026-03-0{day} {at}", "6.5", Mark.BEDTIME)

    assert usual_minutes(diary, person)[Mark.BEDTIME] == 5


def test_a_night_belongs_to_the_row_of_its_evening(diary: Diary) -> None:
    person = tilde(diary)

    save_sheet(diary, person, sheet((DAY, Mark.NIGHT, "5.1 02:30")), now=NOW)

    assert kept(diary, person)[0][1] == "2026-03-10T02:30"


def test_what_has_not_come_yet_is_not_taken(diary: Diary) -> None:
    person = tilde(diary)
    typed = sheet((NOW.date(), Mark.BEDTIME, "5.1 23:45"))

    look = look_at_sheet(diary, person, typed, now=NOW)

    assert "23:45 on Thu 12 Mar has not come yet" in look.troubles[0].why


def test_an_hour_that_came_twice_is_asked_about_with_its_answers(diary: Diary) -> None:
    person = tilde(diary)
    night = date(2025, 10, 25)

    look = look_at_sheet(diary, person, sheet((night, Mark.NIGHT, "5.5 01:30")), now=NOW)
    answered = sheet((night, Mark.NIGHT, "5.5 01:30+00:00"))
    save_sheet(diary, person, answered, now=NOW)

    question = look.troubles[0].question
    assert question is not None
    assert question.answers == ("01:30+01:00", "01:30+00:00")
    (found,) = readings_of(diary, person)
    assert found.moment is not None
    assert (found.moment.offset_min, found.time_state) == (0, "asked")


def test_what_can_be_taken_is_saved_beside_what_can_not(diary: Diary) -> None:
    person = tilde(diary)
    typed = sheet((DAY, Mark.BEFORE_LUNCH, "72 12:10"), (DAY, Mark.AFTER_LUNCH, "9.8 14:05"))

    saved = save_sheet(diary, person, typed, now=NOW)

    assert saved.look.seen == 2
    assert len(readings_of(diary, person)) == 1
    assert "72 mmol/L is not what a meter in mmol/L shows" in saved.look.troubles[0].why


def test_a_value_that_was_confirmed_is_kept_as_typed(diary: Diary) -> None:
    person = tilde(diary)

    save_sheet(diary, person, sheet((DAY, Mark.BEFORE_LUNCH, "40 sure 12:10")), now=NOW)

    (found,) = readings_of(diary, person)
    assert (found.glucose.value, found.odd_ok) == ("40", True)


def test_a_sheet_without_a_keeper_is_refused(diary: Diary) -> None:
    person = tilde(diary)
    nobody = ReturnSheet((), "  ", None, Unit.MMOL_L, "Europe/Lisbon")

    with pytest.raises(Refused, match="who wrote the sheet"):
        save_sheet(diary, person, nobody, now=NOW)


def test_a_sheet_written_off_the_scale_keeps_the_words_of_the_meter(diary: Diary) -> None:
    person = tilde(diary)

    save_sheet(diary, person, sheet((DAY, Mark.BEFORE_LUNCH, "HI 12:10")), now=NOW)

    assert kept(diary, person)[0][0] == "HI"


VALUES = st.integers(min_value=11, max_value=333).map(lambda tenths: f"{tenths / 10:.1f}")
BOXES = st.dictionaries(
    st.tuples(st.integers(1, 6), st.sampled_from(SLOTS)), VALUES, min_size=1, max_size=12
)
HOURS = dict(zip(SLOTS, (7, 9, 12, 14, 18, 20, 22, 3), strict=True))


@settings(max_examples=25, deadline=None)
@given(boxes=BOXES)
def test_a_sheet_typed_twice_adds_nothing(
    tmp_path_factory: pytest.TempPathFactory, boxes: dict[tuple[int, Mark], str]
) -> None:
    with new_diary(tmp_path_factory.mktemp("sheet")) as diary:
        person = tilde(diary)
        typed = sheet(
            *(
                (date(2026, 3, day), slot, f"{value} {HOURS[slot]:02d}:10")
                for (day, slot), value in boxes.items()
            )
        )

        first = save_sheet(diary, person, typed, now=NOW)
        second = save_sheet(diary, person, typed, now=NOW)

        assert first.look.count("new") == len(boxes) == len(readings_of(diary, person))
        assert second.look.count("already") == len(boxes)
        assert not second.written


@given(
    text=st.text(max_size=40),
    slot=st.sampled_from(SLOTS),
    back=st.integers(min_value=0, max_value=400),
)
@settings(max_examples=150, deadline=None)
def test_any_text_in_a_box_becomes_readings_or_sentences(text: str, slot: Mark, back: int) -> None:
    from uuid import UUID

    from app.work.sheet_cells import read_box

    person = Person(1, UUID(int=1), "Tilde", Unit.MMOL_L, "Europe/Lisbon")
    now = datetime(2026, 3, 12, 21, 30, tzinfo=UTC)
    cell = SheetCell(now.date() - timedelta(days=back), slot, text)

    found = read_box(cell, person, Unit.MMOL_L, "Europe/Lisbon", {}, now=now)

    for each in found:
        assert isinstance(each, CellReading) or each.why.strip()


@given(st.dates(date(2000, 1, 1), date(2030, 1, 1)), st.sampled_from(SLOTS), st.integers(0, 1439))
def test_a_row_reaches_into_the_next_date_at_its_end_alone(
    day: date, slot: Mark, minute: int
) -> None:
    found = date_of(day, slot, minute)

    late = slot in (Mark.AFTER_EVENING_MEAL, Mark.BEDTIME, Mark.NIGHT)
    assert found == day or (late and minute < 720 and found == day + timedelta(days=1))
