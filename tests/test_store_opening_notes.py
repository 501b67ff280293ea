from __future__ import annotations

import json
import shutil
import stat
from datetime import timedelta
from pathlib import Path
from uuid import UUID

import pytest

from app.domain.errors import StoreUnavailable
from app.store.diary import Diary
from app.store.diary_file import create_diary, open_diary
from app.store.opening import identity_in
from app.store.people import persons
from app.store.readings import count_of
from app.store.seen import Seen, forget, remember, remember_told, seen_of
from tests.commands import Terminal
from tests.households import INSTALLATION, NOW, tilde, written


@pytest.fixture
def state(tmp_path: Path) -> Path:
    return tmp_path / "state"


@pytest.fixture
def path(tmp_path: Path, state: Path) -> Path:
    folder = tmp_path / "diaries"
    folder.mkdir()
    with create_diary(folder / "d.thimblebook", INSTALLATION, now=NOW, state=state) as diary:
        written(diary, tilde(diary), "2026-03-12 02:10", "2.9")
        return diary.path


def notes_of(path: Path, state: Path | None) -> dict[str, str]:
    with open_diary(path, INSTALLATION, state=state) as diary:
        return {note.code: note.sentence for note in diary.notes}


def add_one(path: Path, state: Path | None, installation: UUID = INSTALLATION) -> None:
    with open_diary(path, installation, state=state) as diary:
        written(diary, persons(diary)[0], "2026-03-12 02:26", "3.4")


def test_where_all_is_well_nothing_is_told(path: Path, state: Path) -> None:
    assert notes_of(path, state) == {}


def test_an_older_copy_brought_back_is_noticed(path: Path, state: Path, tmp_path: Path) -> None:
    older = tmp_path / "older"
    shutil.copy(path, older)
    add_one(path, state)
    add_one(path, state)
    shutil.copy(older, path)

    for _ in range(2):  # it is told until a change is made to it
        told = notes_of(path, state)["older_copy"]
        assert "2 changes made since are not in it" in told

    add_one(path, state)
    assert notes_of(path, state) == {}


def test_an_older_copy_that_was_written_elsewhere_since_is_noticed(
    path: Path, state: Path, tmp_path: Path
) -> None:
    older = tmp_path / "older"
    shutil.copy(path, older)
    add_one(path, state)
    for _ in range(5):
        add_one(older, None, installation=UUID(int=7))
    shutil.copy(older, path)

    assert "1 change made since is not in it" in notes_of(path, state)["older_copy"]


def test_a_diary_changed_by_another_computer_alone_is_no_older_copy(
    path: Path, state: Path
) -> None:
    add_one(path, None, installation=UUID(int=7))

    assert notes_of(path, state) == {}


def test_an_older_copy_brought_back_on_purpose_can_be_expected(
    path: Path, state: Path, tmp_path: Path
) -> None:
    older = tmp_path / "older"
    shutil.copy(path, older)
    add_one(path, state)
    shutil.copy(older, path)
    with open_diary(path, INSTALLATION) as diary, diary.reading() as connection:
        me = identity_in(connection, INSTALLATION)
    assert me is not None

    forget(state, me.uid)

    assert notes_of(path, state) == {}


def test_a_copy_beside_is_told_with_what_only_it_has(path: Path, state: Path) -> None:
    other = path.with_name("d (of the other laptop)")
    shutil.copy(path, other)
    add_one(other, None, installation=UUID(int=7))

    told = notes_of(path, state)["copy_beside"]

    assert "with 1 change that d.thimblebook has not (0 changes only here)" in told
    assert f"thimblebook --diary {path} together '{other}' --look" in told
    assert other.exists()


def test_a_copy_beside_that_has_nothing_more_is_told_calmly(path: Path, state: Path) -> None:
    shutil.copy(path, path.with_name("copy"))
    add_one(path, state)

    assert "nothing is missing here" in notes_of(path, state)["copy_beside"]


def test_a_network_disk_is_told_once(
    path: Path, state: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.store.opening.network_kind", lambda _: "nfs4")

    with open_diary(path, INSTALLATION, state=state) as first:
        pass
    with open_diary(path, INSTALLATION, state=state) as second:
        pass

    assert [(note.code, note.told_before) for note in first.notes] == [("network", False)]
    assert [(note.code, note.told_before) for note in second.notes] == [("network", True)]
    assert "(nfs4)" in first.notes[0].sentence


def test_a_diary_that_others_could_read_is_repaired_and_told(path: Path, state: Path) -> None:
    path.chmod(0o644)

    told = notes_of(path, state)

    assert "yours alone again" in told["made_private"]
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert notes_of(path, state) == {}


def test_a_diary_that_stays_readable_by_others_is_told(
    path: Path, state: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.store.opening.keep_private", lambda _: (True, True))

    assert "could not be changed here" in notes_of(path, state)["not_private"]


def test_a_diary_that_can_only_be_read_says_so(
    path: Path, state: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.store.file.os.access", lambda _, mode: mode != 2)

    with open_diary(path, INSTALLATION, state=state) as diary:
        assert [note.code for note in diary.notes] == ["read_only"]
        assert count_of(diary, persons(diary)[0]) == 1
        with pytest.raises(StoreUnavailable, match="nothing was saved"):
            written(diary, persons(diary)[0], "2026-03-12 02:26", "3.4")


def test_commands_tell_notes_on_their_error_output(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)
    terminal.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    terminal.diary.chmod(0o640)

    done = terminal.ok("add", "5.6")

    assert "yours alone again" in done.err
    assert terminal.ok("add", "5.7").err == ""


# What this computer remembers of a diary.

UID = UUID(int=3)


def test_what_was_seen_is_remembered_for_its_owner_alone(tmp_path: Path) -> None:
    remember(tmp_path / "state", UID, counter=5, number=3)

    file = tmp_path / "state" / "seen" / f"{UID.hex}.json"
    assert seen_of(tmp_path / "state", UID) == Seen(5, 3)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700
    assert [each.name for each in file.parent.iterdir()] == [file.name]


@pytest.mark.parametrize("torn", ["", "{", "[]", '{"counter": null}', '{"counter": 1}', "\xff"])
def test_a_torn_memory_is_none(tmp_path: Path, torn: str) -> None:
    remember(tmp_path, UID, counter=5, number=3)
    (tmp_path / "seen" / f"{UID.hex}.json").write_text(torn, encoding="latin-1")

    assert seen_of(tmp_path, UID) == Seen()


def test_a_state_folder_that_cannot_be_written_stops_nothing(tmp_path: Path) -> None:
    (tmp_path / "state").write_text("a file where a folder should be")

    remember(tmp_path / "state", UID, counter=5, number=3)

    assert seen_of(tmp_path / "state", UID) == Seen()


def test_what_was_told_is_kept_without_its_words(tmp_path: Path) -> None:
    assert remember_told(tmp_path, UID, ("Tilde's copy", "another")) == (False, False)
    assert remember_told(tmp_path, UID, ("another", "a third")) == (True, False)

    kept = (tmp_path / "seen" / f"{UID.hex}.json").read_text()
    assert "Tilde" not in kept
    assert len(json.loads(kept)["told"]) == 3


# The file while it is open.


@pytest.fixture
def diary(path: Path, state: Path) -> Diary:
    return open_diary(path, INSTALLATION, state=state)


def test_a_diary_removed_while_open_takes_no_change(diary: Diary, path: Path) -> None:
    person = persons(diary)[0]
    kept = path.rename(path.with_name("elsewhere"))

    with pytest.raises(StoreUnavailable, match="no longer there"):
        written(diary, person, "2026-03-12 02:26", "3.4")
    with pytest.raises(StoreUnavailable, match="no longer there"):
        diary.still_there()

    kept.rename(path)
    written(diary, person, "2026-03-12 02:26", "3.4")
    assert count_of(diary, person) == 2
    diary.close()


def test_a_diary_replaced_while_open_takes_no_change(
    diary: Diary, path: Path, tmp_path: Path
) -> None:
    person = persons(diary)[0]
    other = tmp_path / "other"
    shutil.copy(path, other)
    before = other.read_bytes()
    other.replace(path)

    with pytest.raises(StoreUnavailable, match="Another file was put at"):
        written(diary, person, "2026-03-12 02:26", "3.4")
    with pytest.raises(StoreUnavailable, match="Another file was put at"):
        persons(diary)
    diary.close()

    assert path.read_bytes() == before


def test_an_older_state_written_into_the_open_file_is_noticed(
    diary: Diary, path: Path, tmp_path: Path
) -> None:
    person = persons(diary)[0]
    older = tmp_path / "older"
    shutil.copy(path, older)
    written(diary, person, "2026-03-12 02:26", "3.4")
    with path.open("r+b") as file:  # the same file, with other contents
        file.write(older.read_bytes())
    diary._engine.dispose()  # as if its connections had been idle for long

    with pytest.raises(StoreUnavailable, match="Another file was put at"):
        written(diary, person, "2026-03-12 02:43", "4.3")
    diary.close()


def test_another_diary_written_into_the_open_file_is_noticed(
    diary: Diary, path: Path, tmp_path: Path
) -> None:
    person = persons(diary)[0]
    with create_diary(tmp_path / "other", UUID(int=7), now=NOW) as other:
        tilde(other)
    with path.open("r+b") as file:
        file.write(other.path.read_bytes())

    with pytest.raises(StoreUnavailable, match="Another file was put at"):
        written(diary, person, "2026-03-12 02:43", "4.3")
    diary.close()


def test_an_open_diary_that_lost_its_end_is_noticed(diary: Diary, path: Path) -> None:
    with path.open("r+b") as file:
        file.truncate(path.stat().st_size - 4096)

    with pytest.raises(StoreUnavailable, match="became shorter while it was open"):
        diary.still_there()
    diary.close()


def test_changes_by_others_are_no_replacement(diary: Diary, path: Path) -> None:
    person = persons(diary)[0]
    add_one(path, None, installation=UUID(int=7))

    diary.still_there()
    written(diary, person, "2026-03-12 02:43", "4.3")

    assert count_of(diary, person) == 3
    diary.close()


def test_the_seen_counter_follows_each_change(diary: Diary, state: Path) -> None:
    person = persons(diary)[0]
    with diary.reading() as connection:
        before = identity_in(connection, INSTALLATION)
    assert before is not None

    written(diary, person, "2026-03-12 02:43", "4.3")

    seen = seen_of(state, before.uid)
    assert (seen.counter, seen.number) == (before.counter + 1, before.number + 1)
    diary.close()


def test_a_clock_that_went_back_raises_no_alarm(path: Path, state: Path) -> None:
    for moved in (timedelta(hours=-1), timedelta(days=-1), timedelta(days=30), timedelta()):
        with open_diary(path, INSTALLATION, now=NOW + moved, state=state) as diary:
            assert diary.notes == ()
