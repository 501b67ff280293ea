from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.review.hand_over import CardPart
from app.store.diary import Diary
from app.store.people import care_texts
from app.ui.hand_over.card_view import CardView
from app.ui.hand_over.page import HandOverPage
from app.ui.hand_over.texts_dialog import LongField, TextsDialog
from app.ui.session import Session
from app.work.care import set_care_texts
from app.work.take_back import undo_last
from tests.households import NOW, corwin, new_diary, tilde, written

PLAN = "Sit down, then what is in the blue tin."


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        person = tilde(made)
        written(made, person, "2026-03-12 18:07", "5.6", Mark.BEFORE_EVENING_MEAL)
        set_care_texts(made, person, {"low plan": PLAN, "emergency number": "112"}, now=NOW)
        yield made


def opened(diary: Diary, qtbot: QtBot, width: int = 988) -> CardView:
    session = Session(diary, lambda: NOW, None)
    page = HandOverPage(session)
    session.setParent(page)
    qtbot.addWidget(page)
    page.resize(width, 700)
    page.show()
    settle(page.card, qtbot)
    return page.card


def settle(card: CardView, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: card.painted is not None and not card.job.busy, timeout=5000)


def words(card: CardView) -> str:
    return card.preview.accessibleDescription()


def test_the_card_stands_there_at_once_and_says_what_the_family_wrote(
    diary: Diary, qtbot: QtBot
) -> None:
    card = opened(diary, qtbot)

    assert card.preview.has_card
    for part in (PLAN, "Below 3.9 is a low.", "Emergency: 112", "5.6 mmol/L", "Thu 12 Mar"):
        assert part in words(card)
    assert "<" not in words(card)


def test_each_choice_changes_the_card(diary: Diary, qtbot: QtBot) -> None:
    card = opened(diary, qtbot)

    card.boxes[CardPart.LOW_PLAN].setChecked(False)
    settle(card, qtbot)
    without_plan = words(card)
    card.unit.choose(Unit.MG_DL)
    card.unit.activated.emit(0)
    settle(card, qtbot)
    in_other_unit = words(card)
    card.days.choose(7)
    card.days.chosen.emit(7)
    settle(card, qtbot)

    assert PLAN not in without_plan
    assert "Below 70 is a low." in in_other_unit
    assert "a number in them may be in mmol/L, not in mg/dL" in in_other_unit
    assert "Wed 18 Mar" in words(card)


def test_days_are_chosen_with_the_arrow_keys(diary: Diary, qtbot: QtBot) -> None:
    card = opened(diary, qtbot)
    card.window().activateWindow()
    card.first.setFocus()
    QTest.keyClick(card.first, Qt.Key.Key_Tab)
    there = QApplication.focusWidget()
    assert there is not None
    assert card.days.isAncestorOf(there)

    QTest.keyClick(there, Qt.Key.Key_Right)
    settle(card, qtbot)

    assert card.choice.days == 7


def test_a_grid_of_many_days_takes_the_whole_page(diary: Diary, qtbot: QtBot) -> None:
    card = opened(diary, qtbot)
    half = card.preview.heightForWidth(600)

    card.days.choose(14)
    card.days.chosen.emit(14)
    settle(card, qtbot)

    assert abs(card.preview.heightForWidth(600) - 2 * half) <= 1
    assert card.too_long.error == ""


@pytest.mark.parametrize("ending", [".pdf", ".html"])
def test_the_card_is_saved_for_this_user_alone(
    diary: Diary, qtbot: QtBot, tmp_path: Path, ending: str
) -> None:
    card = opened(diary, qtbot)
    said: list[str] = []
    card.session.said.connect(lambda each: said.append(each.sentence))
    out = tmp_path / f"card{ending}"

    card.save_to(out)
    qtbot.waitUntil(lambda: bool(said))

    assert out.stat().st_mode & 0o077 == 0
    assert said == [f"The card was saved as card{ending}. Only you can read it."]


def test_texts_too_long_for_a_page_are_said_and_not_written(
    diary: Diary, qtbot: QtBot, tmp_path: Path
) -> None:
    long = dict.fromkeys(("low plan", "contacts", "hand-over"), "what to do then " * 240)
    long["what to watch"] = long["sick plan"] = long["low plan"]
    card = opened(diary, qtbot)
    set_care_texts(diary, card.session.person, long, now=NOW)
    card.boxes[CardPart.SICK_PLAN].setChecked(True)
    card.days.choose(14)
    card.days.chosen.emit(14)
    settle(card, qtbot)
    said: list[str] = []
    card.session.said.connect(lambda each: said.append(each.sentence))

    card.save_to(tmp_path / "card.pdf")
    qtbot.waitUntil(lambda: bool(said))

    assert "too long for one page" in card.too_long.error
    assert "too long for one page" in said[0]
    assert not (tmp_path / "card.pdf").exists()


def test_texts_are_typed_in_one_window_and_kept_as_one_change(diary: Diary, qtbot: QtBot) -> None:
    card = opened(diary, qtbot)
    person = card.session.person
    card.texts.click()
    dialog = card.window().findChild(TextsDialog)
    assert dialog is not None

    contacts, watch = dialog.fields["contacts"], dialog.fields["what to watch"]
    assert isinstance(contacts, LongField)
    contacts.setFocus()
    QTest.keyClicks(contacts, "Odalys 555-0101")
    QTest.keyClick(contacts, Qt.Key.Key_Return)
    QTest.keyClicks(contacts, "Bram 555-0102")
    QTest.keyClicks(watch, "Swims on Tuesday.")
    dialog.saves.click()
    settle(card, qtbot)

    kept = care_texts(diary, person)
    assert kept.contacts == "Odalys 555-0101\nBram 555-0102"
    assert kept.what_to_watch == "Swims on Tuesday."
    qtbot.waitUntil(lambda: "Bram 555-0102" in words(card))
    undo_last(diary, person, now=NOW)
    assert care_texts(diary, person).contacts is None
    assert care_texts(diary, person).low_plan == PLAN


def test_escape_leaves_the_window_of_texts_and_loses_nothing(diary: Diary, qtbot: QtBot) -> None:
    card = opened(diary, qtbot)
    card.texts.click()
    dialog = card.window().findChild(TextsDialog)
    assert dialog is not None
    contacts = dialog.fields["contacts"]
    QTest.keyClicks(contacts, "Odalys 555")

    QTest.keyClick(contacts, Qt.Key.Key_Escape)
    set_care_texts(diary, card.session.person, {"low plan": "Another plan."}, now=NOW)
    card.refresh()
    settle(card, qtbot)
    qtbot.waitUntil(lambda: "Another plan." in words(card))
    card.texts.click()

    assert dialog.typed()["contacts"] == "Odalys 555"
    assert dialog.typed()["low plan"] == "Another plan."
    assert care_texts(diary, card.session.person).contacts is None
    dialog.reject()


def test_a_text_that_is_too_long_is_refused_in_its_window(diary: Diary, qtbot: QtBot) -> None:
    card = opened(diary, qtbot)
    card.texts.click()
    dialog = card.window().findChild(TextsDialog)
    assert dialog is not None
    field = dialog.fields["emergency number"]
    assert not isinstance(field, LongField)
    field.setText("1" * 81)

    dialog.saves.click()

    assert dialog.isVisible()
    assert "at most 80 characters" in dialog.trouble.error
    dialog.reject()


def test_another_person_has_a_card_of_their_own(diary: Diary, qtbot: QtBot) -> None:
    other = corwin(diary)
    card = opened(diary, qtbot)

    card.session.choose(other)
    settle(card, qtbot)
    qtbot.waitUntil(lambda: "Corwin" in words(card))

    assert PLAN not in words(card)
    assert "Below 70 is a low." in words(card)
    assert card.choice.unit is Unit.MG_DL


def test_the_card_of_an_earlier_day_ends_with_that_day(diary: Diary, qtbot: QtBot) -> None:
    card = opened(diary, qtbot)

    card.session.show_day(date(2026, 3, 11))
    settle(card, qtbot)
    qtbot.waitUntil(lambda: "Wed 11 Mar" in words(card))

    assert "5.6 mmol/L" not in words(card)


@pytest.mark.parametrize("width", [748, 988, 1600])
def test_nothing_of_the_choices_is_cut(diary: Diary, qtbot: QtBot, width: int) -> None:
    card = opened(diary, qtbot, width)
    controls = (card.first, card.days, card.unit, card.paper, card.save, card.printing, card.texts)

    for control in (*controls, *card.boxes.values()):
        assert control.accessibleName()
        assert control.width() >= control.minimumSizeHint().width()
        assert control.mapTo(card, control.rect().bottomRight()).x() <= card.width()
    assert card.preview.width() >= 260
