from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.domain.errors import NeedsAnswer, Refused
from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import Reading, Standing
from app.store.check import check_diary
from app.store.diary import Diary
from app.store.people import persons
from app.store.readings import reading_with_id, readings_of
from app.store.state_hash import state_hash
from app.work.edit import (
    Done,
    Edit,
    count_again,
    edit_reading,
    put_in_bin,
    set_aside,
    set_mark,
    set_not_mine,
)
from app.work.retype import typed_time, typed_value
from app.work.take_back import redo_last, undo_last
from tests.households import NOW, corwin, new_diary, tilde, written


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def first(diary: Diary, person: Person) -> Reading:
    return readings_of(diary, person)[0]


def ids_of(diary: Diary, person: Person) -> list[int]:
    return [each.id for each in readings_of(diary, person)]


def test_every_field_of_a_reading_can_be_corrected_at_once(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.6", Mark.WAKING, note="tired", tags=("swim",))
    before = first(diary, person)
    edit = Edit(
        value=typed_value("5,4", person, Unit.MMOL_L, now=NOW),
        time=typed_time("11 Mar 2026 19:40", person, now=NOW),
        mark=Mark.AFTER_EVENING_MEAL,
        after_min=90,
        site=("finger", "left index"),
        hands="washed",
        note="picnic",
        tags=("sick", "swim"),
        keeper="Odalys",
    )

    done = edit_reading(diary, person, before.id, edit, now=NOW)

    after = first(diary, person)
    assert (after.glucose.value, after.moment and after.moment.wall) == ("5.4", "2026-03-11T19:40")
    assert (after.mark, after.mark_from, after.after_min) == ("after_evening_meal", "person", 90)
    assert (after.site, after.site_detail, after.hands) == ("finger", "left index", "washed")
    assert (after.note, set(after.tags), after.keeper) == ("picnic", {"sick", "swim"}, "Odalys")
    assert (after.stamp, after.entered_at, after.uid) == (
        before.stamp,
        before.entered_at,
        before.uid,
    )
    assert after.amended
    assert done.sentence == (
        "Changed: value, time, mark, minutes after the meal, sampling site, hands, note, tags and"
        " keeper of the reading 7.6 mmol/L, 2026-03-12 07:05."
        " What it said before is in the journal."
    )


def test_a_field_that_is_not_said_stays(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.6", Mark.AFTER_LUNCH, after_min=60, note="cake")
    before = first(diary, person)

    edit_reading(diary, person, before.id, Edit(hands="washed"), now=NOW)

    assert first(diary, person) == replace(before, hands="washed", amended=True)


def test_undo_of_an_edit_gives_the_very_same_diary(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.6", note="tired", tags=("swim",))
    before = state_hash(diary)
    edit = Edit(
        note=None, tags=(), keeper="Bram", value=typed_value("HI", person, Unit.MMOL_L, now=NOW)
    )

    edit_reading(diary, person, first(diary, person).id, edit, now=NOW)
    changed = state_hash(diary)
    undone = undo_last(diary, person, now=NOW)

    assert changed != before
    assert state_hash(diary) == before
    assert undone.sentence == "Taken back: the reading 7.6 mmol/L, 2026-03-12 07:05 is as it was."


def test_a_reading_is_amended_only_while_an_edit_of_it_stands(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.6")
    row_id = first(diary, person).id
    said = []

    put_in_bin(diary, person, [row_id], now=NOW)
    undo_last(diary, person, now=NOW)
    said.append(first(diary, person).amended)
    edit_reading(diary, person, row_id, Edit(hands="washed"), now=NOW)
    edit_reading(diary, person, row_id, Edit(mark=Mark.WAKING), now=NOW)
    said.append(first(diary, person).amended)
    undo_last(diary, person, now=NOW)
    said.append(first(diary, person).amended)
    undo_last(diary, person, now=NOW)
    said.append(first(diary, person).amended)
    redo_last(diary, person, now=NOW)
    said.append(first(diary, person).amended)

    assert said == [False, True, True, False, True]


def test_an_odd_value_is_asked_about_and_kept_when_confirmed(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    row = first(diary, person).id
    asked = typed_value("56", person, Unit.MMOL_L, now=NOW)
    sure = typed_value("56", person, Unit.MMOL_L, now=NOW, sure=True)

    with pytest.raises(NeedsAnswer, match="Say --sure to keep 56 mmol/L"):
        edit_reading(diary, person, row, Edit(value=asked), now=NOW)
    unchanged = first(diary, person)
    edit_reading(diary, person, row, Edit(value=sure, keep_odd=True), now=NOW)

    assert (unchanged.glucose.value, unchanged.amended) == ("5.6", False)
    assert (first(diary, person).glucose.value, first(diary, person).odd_ok) == ("56", True)


@pytest.mark.parametrize("text", ["", "-3", "0", "5000", "7.2 before lunch", "7.2 swim", "nan"])
def test_what_is_no_result_is_refused_with_a_sentence(diary: Diary, text: str) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    before = state_hash(diary)
    entry = typed_value(text, person, Unit.MMOL_L, now=NOW)

    with pytest.raises((Refused, NeedsAnswer)):
        edit_reading(diary, person, first(diary, person).id, Edit(value=entry), now=NOW)

    assert not entry.is_ready
    assert state_hash(diary) == before


def test_a_unit_that_is_typed_comes_before_the_chosen_one(diary: Diary) -> None:
    person = corwin(diary)

    typed = typed_value("8.2 mmol/L", person, Unit.MG_DL, now=NOW)

    assert typed.glucose is not None
    assert (typed.glucose.value, typed.glucose.unit) == ("8.2", Unit.MMOL_L)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("25 Oct 2025 01:30", None),
        ("26 Oct 2025 01:30", "overlap"),
        ("13 Mar 2026 07:00", "future"),
    ],
)
def test_a_time_that_is_in_doubt_is_asked_about(diary: Diary, text: str, kind: str | None) -> None:
    person = tilde(diary)

    entry = typed_time(text, person, now=NOW)

    assert [question.kind for question in entry.questions] == ([kind] if kind else [])
    assert entry.is_ready == (kind is None)


def test_a_time_by_hand_says_so_and_how_sure_it_is(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    row = first(diary, person).id

    edit_reading(
        diary,
        person,
        row,
        Edit(time=typed_time("26 Oct 2025 01:30+00:00", person, now=NOW)),
        now=NOW,
    )

    found = first(diary, person)
    assert (found.time_from, found.time_state) == ("typed", "asked")
    assert found.moment is not None
    assert found.moment.offset_min == 0


def test_minutes_after_a_meal_go_with_the_meal(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 13:05", "5.6", Mark.AFTER_LUNCH, after_min=60)

    set_mark(diary, person, ids_of(diary, person), Mark.BEDTIME, now=NOW)

    assert (first(diary, person).mark, first(diary, person).after_min) == ("bedtime", None)


def test_an_edit_that_changes_nothing_leaves_no_entry(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6", Mark.WAKING, note="tired")
    row = first(diary, person).id

    for edit in (Edit(), Edit(mark=Mark.WAKING), Edit(note="tired", tags=(), keeper=None)):
        with pytest.raises(Refused, match="nothing was changed"):
            edit_reading(diary, person, row, edit, now=NOW)

    assert undo_last(diary, person, now=NOW).kind == "enter"


def test_what_stands_in_the_bin_can_not_be_edited(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    ids = ids_of(diary, person)
    put_in_bin(diary, person, ids, now=NOW)

    with pytest.raises(Refused, match="no longer in the diary"):
        edit_reading(diary, person, ids[0], Edit(note="x"), now=NOW)
    with pytest.raises(Refused, match="nothing was changed"):
        put_in_bin(diary, person, ids, now=NOW)


def test_nobody_edits_the_readings_of_another_person(diary: Diary) -> None:
    mine, other = tilde(diary), corwin(diary)
    written(diary, other, "2026-03-12 07:05", "112")
    row = first(diary, other).id

    with pytest.raises(Refused):
        put_in_bin(diary, mine, [row], now=NOW)

    assert reading_with_id(diary, other, row) is not None
    assert reading_with_id(diary, mine, row) is None


def test_setting_aside_needs_a_reason(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")

    for why in ("", "  ", "x" * 201):
        with pytest.raises(Refused, match=r"reason|why"):
            set_aside(diary, person, ids_of(diary, person), why, now=NOW)

    assert first(diary, person).standing is Standing.COUNTED


def test_the_bulk_changes_say_what_they_did_and_what_taking_back_did(diary: Diary) -> None:
    person = tilde(diary)
    for hour in ("07", "12"):
        written(diary, person, f"2026-03-12 {hour}:05", "5.6")
    ids = ids_of(diary, person)

    aside = set_aside(diary, person, ids[:1], "the strips lay open.", now=NOW)
    mine = set_not_mine(diary, person, ids, now=NOW)
    again = count_again(diary, person, ids, now=NOW)
    mark = set_mark(diary, person, ids, Mark.BEFORE_LUNCH, now=NOW)
    binned = put_in_bin(diary, person, ids, now=NOW)
    undone = [undo_last(diary, person, now=NOW).sentence for _ in range(5)]

    assert [done.sentence for done in (aside, mine, again, mark, binned)] == [
        "1 reading was set aside: the strips lay open. It is kept, and left out of every figure.",
        "2 readings are now “not mine”. They are kept, and left out of every figure.",
        "2 readings count again in every figure.",
        "2 readings are now marked “before lunch”.",
        "2 readings are in the bin, and in no figure.",
    ]
    assert undone == [
        "Taken back: 2 readings are out of the bin again.",
        "Taken back: 2 readings have their old mark again.",
        "Taken back: 2 readings stand as before.",
        "Taken back: 2 readings stand as before.",
        "Taken back: 1 reading stands as before.",
    ]


def test_only_those_that_become_different_are_counted(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6", Mark.WAKING)
    written(diary, person, "2026-03-12 12:05", "5.6")

    done = set_mark(diary, person, ids_of(diary, person), Mark.WAKING, now=NOW)

    assert done.count == 1


def test_the_bin_takes_note_and_tags_along_and_gives_them_back(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6", note="tired", tags=("swim",))
    before = state_hash(diary)

    put_in_bin(diary, person, ids_of(diary, person), now=NOW)
    gone = readings_of(diary, person)
    undo_last(diary, person, now=NOW)

    assert gone == []
    assert state_hash(diary) == before
    assert (first(diary, person).note, first(diary, person).tags) == ("tired", ("swim",))


_BULK: dict[str, Callable[[Diary, Person, list[int]], Done]] = {
    "mark": lambda diary, person, ids: set_mark(diary, person, ids, Mark.NIGHT, now=NOW),
    "unmark": lambda diary, person, ids: set_mark(diary, person, ids, Mark.NONE, now=NOW),
    "aside": lambda diary, person, ids: set_aside(diary, person, ids, "wet strip", now=NOW),
    "other": lambda diary, person, ids: set_aside(diary, person, ids, "old vial", now=NOW),
    "not mine": lambda diary, person, ids: set_not_mine(diary, person, ids, now=NOW),
    "again": lambda diary, person, ids: count_again(diary, person, ids, now=NOW),
    "bin": lambda diary, person, ids: put_in_bin(diary, person, ids, now=NOW),
    "edit": lambda diary, person, ids: edit_reading(
        diary, person, ids[0], Edit(note="n", tags=("walk",), keeper="Bram"), now=NOW
    ),
}
_steps = st.lists(
    st.tuples(st.sampled_from(sorted(_BULK)), st.sets(st.integers(0, 4), min_size=1)), max_size=8
)


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(steps=_steps)
def test_any_run_of_bulk_changes_undone_gives_the_very_same_diary(
    diary: Diary, steps: list[tuple[str, set[int]]]
) -> None:
    person = _household(diary)
    before, listed = state_hash(diary), readings_of(diary, person)
    ids = ids_of(diary, person)

    done = 0
    for name, places in steps:
        try:
            _BULK[name](diary, person, [ids[place] for place in sorted(places)])
            done += 1
        except Refused:
            continue
    for _ in range(done):
        undo_last(diary, person, now=NOW)

    assert state_hash(diary) == before
    assert readings_of(diary, person) == listed
    assert check_diary(diary).wrong == ()


def _household(diary: Diary) -> Person:
    found = persons(diary)
    if found:
        return found[0]
    person = tilde(diary)
    for hour in range(5):
        written(
            diary,
            person,
            f"2026-03-12 1{hour}:05",
            f"{hour + 4}.5",
            Mark.AFTER_LUNCH if hour % 2 else Mark.NONE,
            after_min=45 if hour % 2 else None,
            note="a note" if hour == 3 else None,
            tags=("swim",) if hour > 2 else (),
        )
    return person


def test_now_is_passed_in_and_kept_with_the_change(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "5.6")
    later = datetime.fromisoformat("2026-03-13T08:00:00+00:00")

    put_in_bin(diary, person, ids_of(diary, person), now=later)

    assert undo_last(diary, person, now=later).kind == "bin"
    with pytest.raises(Refused):
        count_again(diary, person, ids_of(diary, person), now=later)
