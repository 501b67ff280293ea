from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from app.domain.cautions import Caution
from app.store import schema
from app.store.diary import Diary
from tests.households import NOW, tilde
from tests.now_columns import Desk, desk, focused


def with_number(diary: Diary) -> None:
    person = tilde(diary)
    with diary.change("care_texts", {}, now=NOW, person=person) as change:
        change.add(schema.care_text, person_id=person.id, kind="emergency number", text="555-0100")


@pytest.fixture
def at(qtbot: QtBot, tmp_path: Path) -> Iterator[Desk]:
    made = desk(qtbot, tmp_path, with_number)
    yield made
    made.close()


def caution_of(at: Desk) -> Caution:
    found = at.column.caution.caution
    assert found is not None
    return found


def test_low_is_headed_up_while_typed_and_said_after_it_is_saved(at: Desk) -> None:
    at.type("3.1")
    before = " ".join(label.text() for label in at.column.slip.findChildren(QLabel))
    assert "Treating it comes before writing it down" in before
    assert at.column.caution.isHidden()

    at.save()

    said = " ".join(caution_of(at).lines)
    assert "Below 3.9\u00a0mmol/L".replace("\u00a0", " ") in said
    assert "555-0100" in said
    assert at.column.caution.isVisible()
    assert len(at.readings()) == 1


def test_caution_is_said_once_for_each_entry(at: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[Caution] = []
    say = at.column.caution.say

    def counted(caution: Caution, *, name: str = "") -> None:
        told.append(caution)
        say(caution, name=name)

    monkeypatch.setattr(at.column.caution, "say", counted)

    at.save("3.1")
    at.column.tick()
    at.session.follow()
    at.type("5")
    at.press(Qt.Key.Key_Escape)

    assert len(told) == 1


def test_caution_stands_over_the_last_reading_and_under_what_is_typed(
    at: Desk, qtbot: QtBot
) -> None:
    at.save("3.1")
    qtbot.waitUntil(lambda: at.column.caution.y() < at.column.slip.y())

    at.type("4.4")

    qtbot.waitUntil(lambda: at.column.caution.y() > at.column.slip.y())
    assert at.column.caution.isVisible()


def test_caution_is_put_away_by_keys_and_stays_away(at: Desk) -> None:
    at.save("3.1")

    at.press(Qt.Key.Key_Tab, Qt.Key.Key_Tab, Qt.Key.Key_Tab)
    assert focused().accessibleName() == "Close this caution"
    at.press(Qt.Key.Key_Return)
    at.column.tick()

    assert at.column.caution.isHidden()
    assert focused() is at.column.line


def test_next_reading_that_needs_none_takes_the_caution_away(at: Desk) -> None:
    at.save("3.1 21:00")

    at.save("5.4")

    assert at.column.caution.isHidden()


def test_undo_takes_the_caution_with_it(at: Desk) -> None:
    at.save("15.0")
    assert at.column.caution.isVisible()

    at.column.notice.undo_asked.emit()
    at.wait()

    assert at.column.caution.isHidden()


def test_other_person_is_not_shown_a_caution_of_the_first(at: Desk) -> None:
    at.save("2.4")

    at.session.person_changed.emit()

    assert at.column.caution.isHidden()


def test_source_is_shown_on_demand(at: Desk) -> None:
    at.save("HI")
    texts = at.column.caution.findChildren(QLabel)
    source = next(label for label in texts if label.text().startswith("Source: "))
    assert source.isHidden()

    at.press(*[Qt.Key.Key_Tab] * 4, Qt.Key.Key_Return)

    assert not source.isHidden()
