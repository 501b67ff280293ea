from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QCursor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from app.look.theme import apply_theme
from app.look.tokens import LIGHT
from app.look.type import scale_text
from app.ui.controls import Answer, Button, Label, LineField, Notice, ToAnswer

SENTENCE = "2 readings are now “not mine”. They are kept, and left out of every figure."
ANSWERS = [
    Answer("mg/dL", "56 mg/dL", "shown as 3.1 mmol/L"),
    Answer("mmol/L", "5.6 mmol/L", "a slip of the point"),
    Answer("keep", "56 mmol/L", "keep as typed"),
]


@pytest.fixture(autouse=True)
def plain(qapp: QApplication) -> Iterator[None]:
    """Light and the usual text size, before and after."""
    usual = qapp.font()
    apply_theme(qapp, LIGHT)
    yield
    qapp.setFont(usual)
    apply_theme(qapp, LIGHT)


@pytest.fixture
def window(qtbot: QtBot) -> QWidget:
    """A window with a line to type into, which has room for what is asked."""
    made = QWidget()
    qtbot.addWidget(made)
    QVBoxLayout(made).addWidget(LineField(name="Reading"))
    return made


def _put(asked: QWidget, window: QWidget, qtbot: QtBot) -> LineField:
    layout, line = window.layout(), window.findChild(LineField)
    assert layout is not None
    assert line is not None
    layout.addWidget(asked)
    window.resize(700, 300)
    window.show()
    window.activateWindow()
    # Where an earlier test left the pointer, it would lie on what is tested here.
    QCursor.setPos(window.mapToGlobal(QPoint(-100, -100)))
    line.setFocus()
    qtbot.waitUntil(line.hasFocus)
    return line


def _buttons(asked: QWidget) -> list[QPushButton]:
    return asked.findChildren(QPushButton)


def _focused() -> QWidget:
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def test_notice_is_hidden_until_it_has_something_to_say(window: QWidget, qtbot: QtBot) -> None:
    notice = Notice()
    _put(notice, window, qtbot)

    assert notice.isHidden()
    notice.say(SENTENCE)
    assert notice.isVisible()
    assert notice.sentence == notice.accessibleName() == SENTENCE


def test_notice_goes_by_itself(window: QWidget, qtbot: QtBot) -> None:
    notice = Notice(stays_ms=1)
    _put(notice, window, qtbot)

    with qtbot.waitSignal(notice.closed):
        notice.say(SENTENCE)

    assert notice.isHidden()


def test_notice_stays_while_it_has_the_focus_and_goes_afterwards(
    window: QWidget, qtbot: QtBot
) -> None:
    notice = Notice(stays_ms=1)
    line = _put(notice, window, qtbot)
    beats: list[int] = []
    other = Notice(stays_ms=1)  # one without focus beats the time
    _put(other, window, qtbot)
    other.closed.connect(lambda: beats.append(1))
    notice.say(SENTENCE)
    undo = _buttons(notice)[0]
    undo.setFocus()
    qtbot.waitUntil(undo.hasFocus)

    for _ in range(3):
        with qtbot.waitSignal(other.closed):
            other.say("Saved 18:08.")
    assert len(beats) == 3
    assert notice.isVisible()

    with qtbot.waitSignal(notice.closed):
        line.setFocus()


def test_notice_counts_twenty_seconds_by_default(qtbot: QtBot) -> None:
    notice = Notice()
    qtbot.addWidget(notice)

    assert notice.stays_ms == 20_000


def test_undo_is_asked_once_and_is_not_a_close(window: QWidget, qtbot: QtBot) -> None:
    notice = Notice()
    _put(notice, window, qtbot)
    notice.say(SENTENCE)

    with qtbot.assertNotEmitted(notice.closed), qtbot.waitSignal(notice.undo_asked):
        QTest.keyClick(_buttons(notice)[0], Qt.Key.Key_Return)

    assert notice.isHidden()


def test_close_takes_the_notice_away_and_undoes_nothing(window: QWidget, qtbot: QtBot) -> None:
    notice = Notice()
    _put(notice, window, qtbot)
    notice.say(SENTENCE)

    with qtbot.assertNotEmitted(notice.undo_asked), qtbot.waitSignal(notice.closed):
        QTest.mouseClick(_buttons(notice)[1], Qt.MouseButton.LeftButton)

    assert _buttons(notice)[1].accessibleName()


def test_notice_without_undo_offers_none(window: QWidget, qtbot: QtBot) -> None:
    notice = Notice()
    _put(notice, window, qtbot)

    notice.say("The backup of Sunday 3 May was read and is whole.", undo=False)

    assert _buttons(notice)[0].isHidden()


def test_focus_on_the_ink_of_a_notice_is_seen(window: QWidget, qtbot: QtBot) -> None:
    notice = Notice()
    _put(notice, window, qtbot)
    notice.say(SENTENCE)
    undo = _buttons(notice)[0]
    undo.setFocus()
    qtbot.waitUntil(undo.hasFocus)

    image = notice.grab(undo.geometry()).toImage()

    assert image.pixelColor(0, image.height() // 2) == QColor(LIGHT.page)


@pytest.mark.parametrize("stacked", [False, True])
def test_nothing_is_chosen_beforehand_and_enter_alone_saves_nothing(
    window: QWidget, qtbot: QtBot, stacked: bool
) -> None:
    asked = ToAnswer("56 mmol/L is above what meters show.", ANSWERS, stacked=stacked)
    _put(asked, window, qtbot)
    asked.setFocus()
    qtbot.waitUntil(asked.hasFocus)

    with qtbot.assertNotEmitted(asked.answered):
        QTest.keyClick(asked, Qt.Key.Key_Return)
        QTest.keyClick(asked, Qt.Key.Key_Enter)
    assert not any(button.isDefault() or button.autoDefault() for button in _buttons(asked))


@pytest.mark.parametrize("stacked", [False, True])
def test_down_goes_to_the_first_answer_and_walks_to_the_last(
    window: QWidget, qtbot: QtBot, stacked: bool
) -> None:
    asked = ToAnswer("56 mmol/L is above what meters show.", ANSWERS, stacked=stacked)
    _put(asked, window, qtbot)
    asked.setFocus()
    reached = []

    for _ in range(4):
        QTest.keyClick(_focused(), Qt.Key.Key_Down)
        reached.append(_buttons(asked).index(_focused()))  # type: ignore[arg-type]
    QTest.keyClick(_focused(), Qt.Key.Key_Up)

    assert reached == [0, 1, 2, 2]
    assert _buttons(asked)[1].hasFocus()


def test_enter_on_an_answer_gives_its_key(window: QWidget, qtbot: QtBot) -> None:
    asked = ToAnswer("56 mmol/L is above what meters show.", ANSWERS)
    _put(asked, window, qtbot)
    asked.focus_first()
    QTest.keyClick(_focused(), Qt.Key.Key_Right)

    with qtbot.waitSignal(asked.answered) as said:
        QTest.keyClick(_focused(), Qt.Key.Key_Return)

    assert said.args == ["mmol/L"]


def test_left_goes_on_where_writing_runs_to_the_left(window: QWidget, qtbot: QtBot) -> None:
    asked = ToAnswer("56 mmol/L is above what meters show.", ANSWERS)
    asked.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    _put(asked, window, qtbot)
    asked.focus_first()

    QTest.keyClick(_focused(), Qt.Key.Key_Left)

    assert _buttons(asked)[1].hasFocus()


@pytest.mark.parametrize(("bar", "colour"), [("brass", LIGHT.brass), ("very_low", LIGHT.very_low)])
def test_bar_stands_at_the_leading_edge(qtbot: QtBot, bar: str, colour: str) -> None:
    asked = ToAnswer("The control test of vial S2 failed.", ANSWERS[:2], bar=bar)
    qtbot.addWidget(asked)
    asked.resize(700, 60)

    image = asked.grab().toImage()
    assert [image.pixelColor(x, 20) for x in (0, 1, 2)] == [QColor(colour)] * 3
    asked.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    turned = asked.grab().toImage()
    assert turned.pixelColor(698, 20) == QColor(colour)
    assert turned.pixelColor(2, 20) == QColor(LIGHT.field)


def test_sentence_is_named_and_never_read_as_markup(qtbot: QtBot) -> None:
    asked = ToAnswer("<i>8.2</i> & more", ANSWERS[:1], lead="Line 43:")
    qtbot.addWidget(asked)
    words = asked.findChild(Label)
    assert words is not None

    assert words.text() == "<b>Line 43:</b> &lt;i&gt;8.2&lt;/i&gt; &amp; more"
    assert asked.accessibleName() == "Line 43: <i>8.2</i> & more"


@pytest.mark.parametrize("width", [320, 748])
def test_sentence_and_answers_fit_at_twice_the_text_size(
    qapp: QApplication, window: QWidget, qtbot: QtBot, width: int
) -> None:
    scale_text(2.0, base=qapp.font())
    asked = ToAnswer(
        "56 mmol/L is above what meters show. This diary is in mmol/L.",
        [Answer("a", "mg/dL"), Answer("b", "Keep")],
    )
    _put(asked, window, qtbot)
    window.resize(width, 500)

    words = asked.findChild(Label)
    assert words is not None
    assert words.height() >= words.heightForWidth(words.width())
    for button in asked.findChildren(Button):
        assert button.width() >= button.sizeHint().width()
        assert button.height() >= button.sizeHint().height()
        right = button.mapTo(asked, button.rect().bottomRight())
        assert asked.rect().contains(right)
