"""Notes kept for one home: seen there alone, on no sheet, left behind when copies meet."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

from app.domain.clock import Period
from app.domain.reading import Reading
from app.review.record import record_of
from app.review.second_sheet import second_sheet
from app.store.beside import beside_of
from app.store.readings import readings_of
from app.work.edit import Edit, edit_reading
from tests.commands import Terminal
from tests.homes import LATER, copied, home, opened, row_of

DAYS = Period(date(2026, 5, 1), date(2026, 5, 31))


def two(folder: Path) -> tuple[Terminal, Terminal]:
    """Two homes; the first wrote a reading with a note of its own before the other had a copy."""
    a, b = home(folder, "a"), home(folder, "b")
    a.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "UTC")
    a.ok("add", "8.1 2026-05-01 08:00 quarrel", "--private-note")
    copied(a, b)
    return a, b


def the_reading(at: Terminal) -> Reading:
    with opened(at) as (diary, person):
        (only,) = readings_of(diary, person)
        return only


def test_it_is_seen_in_its_own_home_alone(tmp_path: Path) -> None:
    a, b = two(tmp_path)

    mine, theirs = the_reading(a), the_reading(b)
    with opened(a) as (diary, person):
        beside_mine = beside_of(diary, person).note
    with opened(b) as (diary, person):
        beside_theirs = beside_of(diary, person).note

    assert (mine.note, mine.note_is_private) == ("quarrel", True)
    assert (theirs.note, theirs.note_is_private) == (None, False)
    assert list(beside_mine.values()) == ["quarrel"]
    assert beside_theirs == {}


def test_it_is_on_no_sheet(tmp_path: Path) -> None:
    a, _ = two(tmp_path)

    with opened(a) as (diary, person):
        sheet = second_sheet(diary, record_of(diary, person), DAYS, now=LATER)

    assert "quarrel" not in str(sheet)


def test_what_the_other_home_writes_leaves_it_alone(tmp_path: Path) -> None:
    a, b = two(tmp_path)
    with opened(b) as (diary, person):
        row = row_of(diary, "2026-05-01T08:00")
        edit_reading(diary, person, row, Edit(note="after sport"), now=LATER + timedelta(hours=1))

    a.ok("together", str(b.diary))
    b.ok("together", str(a.diary), now=LATER + timedelta(hours=2))

    assert the_reading(a).note == "quarrel\nafter sport"
    assert the_reading(b).note == "after sport"


def test_a_note_can_be_shared_and_taken_back_home(tmp_path: Path) -> None:
    a, _ = two(tmp_path)
    with opened(a) as (diary, person):
        row = row_of(diary, "2026-05-01T08:00")
        shares = Edit(note="quarrel", note_is_private=False)
        edit_reading(diary, person, row, shares, now=LATER)
    shared = the_reading(a)
    told = a.ok("history").out
    a.ok("undo")

    assert (shared.note, shared.note_is_private) == ("quarrel", False)
    assert "here the note stays" in told
    assert the_reading(a).note_is_private


def test_nothing_is_kept_where_there_is_no_note(tmp_path: Path) -> None:
    a = home(tmp_path, "a")
    a.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "UTC")

    a.ok("add", "8.1 2026-05-01 08:00", "--private-note")

    found = the_reading(a)
    assert (found.note, found.note_is_private) == (None, False)
