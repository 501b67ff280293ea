from __future__ import annotations

import stat
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from app.store.history import entries
from app.store.known import writer_here
from app.ui.who_writes import WhoWrites
from app.ui.write_down.dialog import WriteDownDialog
from app.ui.write_down.timed_forms import KetoneForm
from tests.open_windows import Opened, a_diary, close, opened


@pytest.fixture
def at(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Opened]:
    made = opened(qtbot, a_diary(tmp_path), monkeypatch)
    yield made
    close(made)


def asked(at: Opened) -> WhoWrites:
    at.window.menus.who_writes.trigger()
    (dialog,) = (each for each in at.window.findChildren(WhoWrites) if each.isVisible())
    return dialog


def name_writer(at: Opened, name: str) -> None:
    dialog = asked(at)
    dialog.name.setText(name)
    QTest.keyClick(dialog.name, Qt.Key.Key_Return)


def test_who_writes_is_named_by_readings_and_history(at: Opened) -> None:
    name_writer(at, "Odalys")
    at.save("7.2")

    session = at.window.session
    assert session is not None
    assert entries(session.diary, None)[0].keeper == "Odalys"
    assert "you are Odalys" in " | ".join(each.text() for each in at.column.findChildren(QLabel))


def test_it_is_remembered_at_this_computer_for_its_user_alone(at: Opened) -> None:
    name_writer(at, "Odalys")

    assert writer_here(at.state, at.filling.path) == "Odalys"
    for file in (at.state / "known").iterdir():
        assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_left_empty_nobody_is_named(at: Opened) -> None:
    name_writer(at, "Odalys")
    name_writer(at, "  ")
    at.save("7.2")

    session = at.window.session
    assert session is not None
    assert entries(session.diary, None)[0].keeper is None
    assert writer_here(at.state, at.filling.path) is None


def test_a_name_that_is_too_long_stays_with_the_reason(at: Opened) -> None:
    name_writer(at, "n" * 81)

    (dialog,) = at.window.findChildren(WhoWrites)
    assert dialog.isVisible()
    assert "at most 80 characters" in dialog.name.accessibleDescription()
    assert dialog.name.text() == "n" * 81


def test_what_is_written_down_begins_with_who_writes(at: Opened) -> None:
    name_writer(at, "Odalys")
    at.window.menus.write_down.trigger()

    (dialog,) = at.window.findChildren(WriteDownDialog)
    dialog.kind.choose("ketone")
    form = dialog.form
    assert isinstance(form, KetoneForm)
    assert form.keeper is not None
    assert form.keeper.text() == "Odalys"
