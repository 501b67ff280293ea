"""What must hold when two copies of a diary are brought together, whatever happened to each.

A run that is killed half-way leaves nothing: all of it is one transaction, like every change, and
the tests of those (tests/faults) hold for it.
"""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from uuid import UUID

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from app.domain.marks import MARKS
from app.store.bin import bin_person
from app.store.check import check_file
from app.store.people import persons
from app.store.readings import readings_of
from app.store.state_hash import shared_state_hash
from app.store.to_settle import to_settle
from tests.apart import A, Act, B, apart, bring, do, on
from tests.households import NOW, new_diary, tilde

_EVERYDAY = ("add", "value", "mark", "note", "tag", "keeper", "bin", "aside", "file")
_RARE = ("undo", "redo", "restore", "empty", "private")
_ACTS = st.builds(
    Act,
    st.sampled_from((*_EVERYDAY, *_EVERYDAY, *_RARE)),
    st.integers(0, 11),
    st.integers(0, 11),
)


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("begun")
    with new_diary(folder) as diary:
        tilde(diary)
    return folder / "diary.thimblebook"


def rows(path: Path, query: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(query).fetchall()


def said(path: Path, computer: UUID) -> str:
    with on(path, computer) as (diary, _):
        return shared_state_hash(diary)


@settings(
    max_examples=10,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
    phases=(Phase.explicit, Phase.reuse, Phase.generate),  # to shrink one takes minutes
)
@given(
    before=st.lists(_ACTS, min_size=2, max_size=6),
    mine=st.lists(_ACTS, max_size=6),
    other=st.lists(_ACTS, max_size=6),
)
def test_either_order_says_the_same_twice_is_once_and_nothing_is_missing(
    begun: Path,
    tmp_path_factory: pytest.TempPathFactory,
    before: list[Act],
    mine: list[Act],
    other: list[Act],
) -> None:
    folder = tmp_path_factory.mktemp("apart")
    apart(folder, begun, before, mine, other)
    for name in "ab":
        shutil.copyfile(folder / name, folder / f"{name}-before")

    bring(folder / "a", A, folder / "b-before")
    bring(folder / "b", B, folder / "a-before")

    for name, computer, source in (("a", A, "b-before"), ("b", B, "a-before")):
        assert check_file(folder / name).wrong == ()
        _nothing_is_missing(folder / name, folder / "a-before", folder / "b-before")
        once = (folder / name).read_bytes()
        assert bring(folder / name, computer, folder / source).is_nothing
        assert (folder / name).read_bytes() == once
    assert said(folder / "a", A) == said(folder / "b", B)
    bring(folder / "a", A, folder / "b")
    assert said(folder / "a", A) == said(folder / "b", B)
    assert check_file(folder / "a").wrong == ()


def _nothing_is_missing(path: Path, *sources: Path) -> None:
    query = "SELECT uid, source_key, deleted_at IS NULL FROM reading"
    found = rows(path, query)
    there = {name for uid, key, _ in found for name in (uid, key)}
    live = {uid for uid, _, is_live in found if is_live}
    each = [rows(source, query) for source in sources]
    for held in each:
        for uid, key, _ in held:
            assert uid in there or (key is not None and key in there)
    both = [{uid for uid, _, is_live in held if is_live} for held in each]
    assert both[0] & both[1] <= live


def test_what_each_changed_of_one_reading_holds(begun: Path, tmp_path: Path) -> None:
    apart(tmp_path, begun, [Act("add")], [Act("mark", 0, 3)], [Act("value", 0, 2)])

    found = bring(tmp_path / "a", A, tmp_path / "b")

    assert (found.readings.changed, found.to_settle) == (1, 0)
    query = "SELECT value, mark FROM reading"
    assert rows(tmp_path / "a", query) == [("7.2", MARKS[3].value)]


def test_the_later_of_two_values_is_shown_and_both_are_kept(begun: Path, tmp_path: Path) -> None:
    later = [Act("mark", 0, 3), Act("value", 0, 3)]
    apart(tmp_path, begun, [Act("add")], [Act("value", 0, 2)], later)

    found = bring(tmp_path / "a", A, tmp_path / "b")

    assert found.to_settle == 1
    with on(tmp_path / "a", A) as (diary, _):
        (item,) = to_settle(diary)
    assert (item.field, item.shown.values["value"], item.other.values["value"]) == (
        *("value", "8.1", "7.2"),
    )


def test_what_was_written_since_is_no_longer_to_settle(begun: Path, tmp_path: Path) -> None:
    apart(tmp_path, begun, [Act("add")], [Act("value", 0, 2)], [Act("value", 0, 3)])
    bring(tmp_path / "a", A, tmp_path / "b")

    with on(tmp_path / "a", A) as (diary, person):
        do(diary, person, Act("value", 0, 1), now=NOW + timedelta(days=60))

        assert to_settle(diary) == ()


def test_what_only_one_deleted_is_deleted_and_can_be_restored(begun: Path, tmp_path: Path) -> None:
    apart(tmp_path, begun, [Act("add"), Act("add", 1, 1)], [Act("add", 2, 2)], [Act("bin")])

    found = bring(tmp_path / "a", A, tmp_path / "b")

    assert (found.readings.deleted, found.to_settle) == (1, 0)
    with on(tmp_path / "a", A) as (diary, person):
        do(diary, person, Act("restore"), now=NOW + timedelta(days=60))
        assert len(readings_of(diary, person)) == 3
    assert check_file(tmp_path / "a").wrong == ()


def test_the_same_file_brought_in_on_both_sides_is_there_once(begun: Path, tmp_path: Path) -> None:
    apart(tmp_path, begun, [], [Act("file", 0, 0), Act("mark", 1, 3)], [Act("file", 0, 2)])

    found = bring(tmp_path / "a", A, tmp_path / "b")

    assert (found.readings.met, found.readings.new, found.to_settle) == (3, 2, 0)
    marks = rows(tmp_path / "a", "SELECT mark FROM reading WHERE deleted_at IS NULL")
    assert sorted(marks) == sorted([("none",)] * 4 + [(MARKS[3].value,)])
    with on(tmp_path / "a", A) as (diary, person):
        do(diary, person, Act("file", 0, 2), now=NOW + timedelta(days=60))
        assert len(readings_of(diary, person)) == 5


def test_keepers_and_tags_of_one_name_are_one(begun: Path, tmp_path: Path) -> None:
    mine = [Act("keeper", 0, 0), Act("tag", 1, 0)]
    other = [Act("keeper", 1, 0), Act("tag", 0, 0)]
    apart(tmp_path, begun, [Act("add"), Act("add", 1, 1)], mine, other)

    bring(tmp_path / "a", A, tmp_path / "b")

    assert rows(tmp_path / "a", "SELECT name FROM keeper") == [("Bram",)]
    assert rows(tmp_path / "a", "SELECT label FROM tag") == [("swim",)]
    query = "SELECT count(DISTINCT keeper_id), count(keeper_id) FROM reading"
    assert rows(tmp_path / "a", query) == [(1, 2)]
    assert rows(tmp_path / "a", "SELECT count(DISTINCT tag_id), count(*) FROM tag_on") == [(1, 2)]


def test_a_note_for_one_copy_alone_stays_there(begun: Path, tmp_path: Path) -> None:
    apart(tmp_path, begun, [Act("add")], [Act("value", 0, 2)], [Act("private", 0, 5)])

    found = bring(tmp_path / "a", A, tmp_path / "b")

    assert found.private == 1
    assert rows(tmp_path / "a", "SELECT count(*) FROM note") == [(0,)]
    assert b"mine 5" not in (tmp_path / "a").read_bytes()
    assert b"mine 5" in (tmp_path / "b").read_bytes()


@pytest.mark.parametrize("erased_in", ["a", "b"])
def test_what_was_emptied_stays_emptied_in_both(
    begun: Path, tmp_path: Path, erased_in: str
) -> None:
    gone = [Act("bin", 0), Act("empty")]
    words = [Act("note", 0, 1), Act("value", 0, 4)]
    mine, other = (gone, words) if erased_in == "a" else (words, gone)
    apart(tmp_path, begun, [Act("add", 0, 2), Act("add", 1, 1)], mine, other)
    assert b"18.1" in (tmp_path / ("b" if erased_in == "a" else "a")).read_bytes()

    bring(tmp_path / "a", A, tmp_path / "b")

    query = "SELECT value FROM reading WHERE deleted_at IS NOT NULL"
    assert rows(tmp_path / "a", query) == [(None,)]
    whole = (tmp_path / "a").read_bytes()
    assert b"18.1" not in whole
    assert b"7.2" not in whole
    assert check_file(tmp_path / "a").wrong == ()


def test_versions_of_a_reading_that_is_emptied_go_with_it(begun: Path, tmp_path: Path) -> None:
    apart(tmp_path, begun, [Act("add")], [Act("value", 0, 2)], [Act("value", 0, 4)])
    bring(tmp_path / "a", A, tmp_path / "b")
    assert b"18.1" in (tmp_path / "a").read_bytes()

    with on(tmp_path / "a", A) as (diary, person):
        for what in ("bin", "empty"):
            do(diary, person, Act(what), now=NOW + timedelta(days=60))

    whole = (tmp_path / "a").read_bytes()
    assert b"18.1" not in whole
    assert b"7.2" not in whole
    assert check_file(tmp_path / "a").wrong == ()


def test_a_person_taken_out_comes_back_with_what_the_other_home_wrote(
    begun: Path, tmp_path: Path
) -> None:
    apart(tmp_path, begun, [Act("add")], [], [Act("add", 3, 3)])
    with (
        on(tmp_path / "a", A) as (diary, person),
        diary.change("person_remove", {"name": "Tilde"}, now=NOW + timedelta(days=2)) as change,
    ):
        bin_person(change, person)

    found = bring(tmp_path / "a", A, tmp_path / "b")

    assert found.to_settle == 1
    with on(tmp_path / "a", A) as (diary, _):
        (person,) = persons(diary)
        assert len(readings_of(diary, person)) == 2


def test_a_backup_put_back_here_and_gone_on_with_meets_what_it_left(
    begun: Path, tmp_path: Path
) -> None:
    apart(tmp_path, begun, [Act("add")], [], [])
    for name, act in (("a", Act("add", 1, 1)), ("b", Act("add", 2, 2))):
        with on(tmp_path / name, A) as (diary, person):  # one computer, the same numbers twice
            do(diary, person, act, now=NOW + timedelta(days=3))

    found = bring(tmp_path / "a", A, tmp_path / "b")

    assert (found.readings.new, found.entries) == (1, 1)
    assert check_file(tmp_path / "a").wrong == ()
    assert bring(tmp_path / "a", A, tmp_path / "b").is_nothing
    bring(tmp_path / "b", A, tmp_path / "a")
    assert said(tmp_path / "a", A) == said(tmp_path / "b", A)
    assert check_file(tmp_path / "b").wrong == ()


def test_three_copies_come_to_the_same_by_any_way(begun: Path, tmp_path: Path) -> None:
    apart(tmp_path, begun, [Act("add"), Act("file")], [Act("value", 0, 2)], [Act("mark", 0, 3)])
    third = UUID("5b0f7a52-58c4-4b3e-8f0f-6a5d5f1f7c33")
    shutil.copyfile(tmp_path / "b", tmp_path / "c")
    with on(tmp_path / "c", third) as (diary, person):
        do(diary, person, Act("keeper", 0, 2), now=NOW + timedelta(days=4))
        do(diary, person, Act("value", 0, 3), now=NOW + timedelta(days=4))

    bring(tmp_path / "a", A, tmp_path / "b")
    bring(tmp_path / "a", A, tmp_path / "c")
    bring(tmp_path / "b", B, tmp_path / "c")
    bring(tmp_path / "b", B, tmp_path / "a")
    bring(tmp_path / "c", third, tmp_path / "b")

    assert said(tmp_path / "a", A) == said(tmp_path / "b", B) == said(tmp_path / "c", third)


def test_an_older_copy_is_brought_up_to_date_on_a_copy_of_its_own(tmp_path: Path) -> None:
    older = sorted(Path("tests/data").rglob("*.thimblebook"))[0]
    shutil.copyfile(older, tmp_path / "old")
    shutil.copyfile(older, tmp_path / "new")
    before = (tmp_path / "old").read_bytes()
    with on(tmp_path / "new", A) as (diary, person):
        do(diary, person, Act("add"), now=NOW)

    assert bring(tmp_path / "new", A, tmp_path / "old").is_nothing
    assert (tmp_path / "old").read_bytes() == before
