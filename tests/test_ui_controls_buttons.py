from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import QDate, Qt, QTime
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QHBoxLayout, QMenu, QWidget
from pytestqt.qtbot import QtBot

from app.look.icons import Icon
from app.look.theme import apply_theme
from app.look.tokens import DARK, LIGHT
from app.look.type import scale_text
from app.ui.controls import (
    Button,
    CheckBox,
    Choice,
    DateField,
    FlatButton,
    LineField,
    RadioButton,
    TimeField,
)

RIGHT_TO_LEFT = Qt.LayoutDirection.RightToLeft


@pytest.fixture(autouse=True)
def plain(qapp: QApplication) -> Iterator[None]:
    """Light and the usual text size, before and after."""
    usual = qapp.font()
    apply_theme(qapp, LIGHT)
    yield
    qapp.setFont(usual)
    apply_theme(qapp, LIGHT)


@pytest.fixture
def shelf(qtbot: QtBot) -> QWidget:
    """A window with one other widget that can have the focus."""
    window = QWidget()
    qtbot.addWidget(window)
    row = QHBoxLayout(window)
    row.addWidget(LineField(name="somewhere else"))
    window.resize(500, 80)
    return window


def _on(shelf: QWidget, control: QWidget, qtbot: QtBot) -> None:
    layout = shelf.layout()
    assert layout is not None
    layout.addWidget(control)
    shelf.show()
    shelf.activateWindow()
    qtbot.waitUntil(shelf.isActiveWindow)


MAKERS: dict[str, Callable[[], QWidget]] = {
    "outline": lambda: Button("Today"),
    "main": lambda: Button("Change the plan…", main=True),
    "flat": lambda: FlatButton("Open a diary…"),
    "icon": lambda: Button(icon=Icon.LEFT, name="Day before"),
    "check": lambda: CheckBox("Readings"),
    "radio": lambda: RadioButton("mg/dL", hint="such as 112"),
    "choice": lambda: Choice([("black", 1), ("blue", 2)], name="Meter"),
    "date": lambda: DateField(QDate(2026, 5, 7), order="d MMM yyyy", name="From"),
    "time": lambda: TimeField(QTime(18, 7), name="Time"),
    "field": lambda: LineField("7.2", name="Reading"),
}


@pytest.mark.parametrize("kind", list(MAKERS))
def test_focus_is_seen(kind: str, shelf: QWidget, qtbot: QtBot) -> None:
    control = MAKERS[kind]()
    _on(shelf, control, qtbot)
    other = shelf.findChild(LineField)
    assert other is not None
    other.setFocus()
    without = control.grab().toImage()

    control.setFocus()
    qtbot.waitUntil(control.hasFocus)

    focused = control.grab().toImage()
    ring = sum(
        without.pixelColor(x, y) != focused.pixelColor(x, y)
        for x in range(without.width())
        for y in range(without.height())
    )
    assert ring > without.width()  # at least as many pixels as a line along it


@pytest.mark.parametrize("kind", list(MAKERS))
def test_every_control_has_a_name(kind: str, qtbot: QtBot) -> None:
    control = MAKERS[kind]()
    qtbot.addWidget(control)

    assert control.accessibleName()


@pytest.mark.parametrize("kind", list(MAKERS))
def test_controls_grow_with_the_text(kind: str, qapp: QApplication, qtbot: QtBot) -> None:
    control = MAKERS[kind]()
    qtbot.addWidget(control)
    before = control.sizeHint()

    scale_text(2.0, base=qapp.font())

    assert control.sizeHint().height() > 1.4 * before.height()
    assert control.sizeHint().width() >= 1.3 * before.width() or kind == "field"


@pytest.mark.parametrize("kind", list(MAKERS))
def test_theme_repaints_controls(kind: str, qapp: QApplication, qtbot: QtBot) -> None:
    control = MAKERS[kind]()
    qtbot.addWidget(control)
    control.resize(control.sizeHint())
    light = control.grab().toImage()

    apply_theme(qapp, DARK)

    assert control.grab().toImage() != light


def test_ring_is_two_px_of_ink_outside_a_gap_of_two(shelf: QWidget, qtbot: QtBot) -> None:
    button = Button("It is mmol/L")
    _on(shelf, button, qtbot)
    button.setFocus()
    qtbot.waitUntil(button.hasFocus)

    image = button.grab().toImage()
    across = [image.pixelColor(x, image.height() // 2) for x in range(5)]

    ink, page, edge = QColor(LIGHT.ink), QColor(LIGHT.page), QColor(LIGHT.edge)
    assert across == [ink, ink, page, page, edge]


def test_main_button_is_filled_with_ink(qtbot: QtBot) -> None:
    button = Button("Start the diary", main=True)
    qtbot.addWidget(button)
    button.resize(button.sizeHint())

    assert button.grab().toImage().pixelColor(8, 12) == QColor(LIGHT.ink)


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space])
def test_enter_and_space_press_the_button_that_has_the_focus(
    key: Qt.Key, shelf: QWidget, qtbot: QtBot
) -> None:
    button = Button("Today")
    _on(shelf, button, qtbot)
    button.setFocus()

    with qtbot.waitSignal(button.clicked):
        QTest.keyClick(button, key)


def test_arrow_keys_do_not_wander_off_a_button(shelf: QWidget, qtbot: QtBot) -> None:
    button = Button("Today")
    _on(shelf, button, qtbot)
    button.setFocus()

    QTest.keyClick(button, Qt.Key.Key_Left)

    assert button.hasFocus()


def test_a_button_with_a_menu_or_a_hint_is_wider(qtbot: QtBot) -> None:
    plain, hinted, listed = (
        Button("Any mark"),
        Button("Any mark", hint="Ctrl+M"),
        Button("Any mark"),
    )
    menu = QMenu(listed)
    listed.setMenu(menu)
    for button in (plain, hinted, listed):
        qtbot.addWidget(button)

    assert hinted.sizeHint().width() > plain.sizeHint().width()
    assert listed.sizeHint().width() > plain.sizeHint().width()
    assert hinted.accessibleName() == "Any mark, Ctrl+M"


def test_a_hint_changes_sides_with_the_direction_of_writing(qtbot: QtBot) -> None:
    button = Button("56", hint="keep", wide=True)
    qtbot.addWidget(button)
    button.resize(300, 38)
    to_right = button.grab().toImage()

    button.setLayoutDirection(RIGHT_TO_LEFT)

    mirrored = button.grab().toImage()
    ink = QColor(LIGHT.ink).lightness()
    for image, part in ((to_right, range(8, 60)), (mirrored, range(240, 292))):
        darkest = min(
            image.pixelColor(x, y).lightness() for x in part for y in range(8, image.height() - 8)
        )
        assert darkest < ink + 40  # "56" in ink, not the quieter hint


def test_check_box_is_set_by_space_and_by_a_click_on_its_words(qtbot: QtBot) -> None:
    box = CheckBox("Rechecks")
    qtbot.addWidget(box)
    box.resize(box.sizeHint())
    box.show()

    QTest.mouseClick(box, Qt.MouseButton.LeftButton, pos=box.rect().center())
    assert box.isChecked()
    QTest.keyClick(box, Qt.Key.Key_Space)
    assert not box.isChecked()


def test_choice_holds_values_and_refuses_unknown_ones(qtbot: QtBot) -> None:
    choice = Choice([("black", 7), ("blue", 9)], name="Meter")
    qtbot.addWidget(choice)

    choice.choose(9)

    assert (choice.value(), choice.currentText()) == (9, "blue")
    with pytest.raises(ValueError, match="value=3"):
        choice.choose(3)
