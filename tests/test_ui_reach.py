"""The whole window: by keyboard alone, by ear, in other directions and sizes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QSize, Qt
from PySide6.QtGui import QAccessible, QAction, QFont
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLabel,
    QMenu,
    QScrollArea,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.domain.plan_files import trade_plan
from app.store.diary import Diary
from app.ui.pages import KEYS
from app.ui.window import Window
from app.work.plan import set_plan
from tests.households import NOW, corwin
from tests.pseudo import Pseudo, longer
from tests.windows import settle, shown, three_weeks

NOTHING: dict[str, list[str]] = {page: [] for page in KEYS}


@pytest.fixture
def font(qapp: QApplication) -> Iterator[QFont]:
    before = qapp.font()
    yield QFont(before)
    qapp.setFont(before)


@pytest.fixture
def rtl(qapp: QApplication) -> Iterator[None]:
    qapp.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    yield
    qapp.setLayoutDirection(Qt.LayoutDirection.LeftToRight)


@pytest.fixture
def pseudo(qapp: QApplication) -> Iterator[Pseudo]:
    translator = Pseudo()
    qapp.installTranslator(translator)
    yield translator
    qapp.removeTranslator(translator)


def two_persons(diary: Diary) -> None:
    for person in (three_weeks(diary), corwin(diary)):
        plan = trade_plan("eight-point").in_force(date(2026, 3, 1), date(2026, 4, 30))
        set_plan(diary, person, plan, now=NOW)


def turned(window: Window, bot: QtBot) -> Iterator[str]:
    """The pages, one after the other, each when it is there to be looked at."""
    for page in KEYS:
        window.show_page(page)
        settle(bot, window)
        yield page


def named(widget: QWidget) -> str:
    found = QAccessible.queryAccessibleInterface(widget)
    return found.text(QAccessible.Text.Name) if found else ""


def described(widget: QWidget) -> str:
    return f"{type(widget).__name__} {widget.objectName()} {named(widget)!r}"


def stops(window: Window) -> list[QWidget]:
    """Everything that Tab should come to: of a group of buttons it is the chosen one."""
    found = []
    for widget in window.findChildren(QWidget):
        by_tab = widget.focusPolicy() & Qt.FocusPolicy.TabFocus
        if not (by_tab and widget.isVisible() and widget.isEnabled()) or widget.focusProxy():
            continue
        if isinstance(widget, QAbstractButton):
            group = widget.group()
            if group is not None and group.exclusive() and not widget.isChecked():
                continue
        found.append(widget)
    return found


def walked(window: Window, *, back: bool = False) -> list[QWidget]:
    """What has the focus, one after the other, until Tab comes back to where it began."""
    window.focus_entry()
    first = QApplication.focusWidget()
    seen: list[QWidget] = []
    while (here := QApplication.focusWidget()) is not None and here not in seen:
        seen.append(here)
        QTest.keyClick(here, Qt.Key.Key_Backtab if back else Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is first, f"caught in {described(seen[-1])}"
    return seen


def actions(menu: QMenu) -> Iterator[QAction]:
    for action in menu.actions():
        below = action.menu()
        if isinstance(below, QMenu):
            yield from actions(below)
        elif not action.isSeparator():
            yield action


def in_menus(window: Window) -> list[QAction]:
    found: list[QAction] = []
    for top in window.menuBar().actions():
        menu = top.menu()
        assert isinstance(menu, QMenu)
        found += actions(menu)
    return found


# By ear and by keyboard.


def test_every_control_has_a_name(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, two_persons)

    unnamed = {
        page: [described(each) for each in stops(window) if not named(each).strip()]
        for page in turned(window, qtbot)
    }

    assert unnamed == NOTHING


def test_tab_comes_to_every_control_and_back(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, two_persons)

    for page in turned(window, qtbot):
        forth = walked(window)
        back = walked(window, back=True)

        missed = [described(each) for each in stops(window) if each not in forth]
        assert not missed, page
        assert [id(each) for each in back[1:]] == [id(each) for each in reversed(forth[1:])]


def test_tab_goes_from_the_column_over_the_tabs_into_the_page(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, two_persons)

    for page in turned(window, qtbot):
        areas = []
        for widget in walked(window):
            in_page = window.page(page).isAncestorOf(widget)
            areas.append("tabs" if widget is window.tabs else "page" if in_page else "column")
        in_turn = [area for at, area in enumerate(areas) if not at or areas[at - 1] != area]

        assert in_turn == ["column", "tabs", "page"], page


def test_within_a_page_tab_goes_down(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, two_persons)

    for page in turned(window, qtbot):
        shown_page = window.page(page)
        tops = [
            each.mapTo(shown_page, each.rect().topLeft()).y()
            for each in walked(window)
            if shown_page.isAncestorOf(each)
        ]

        # In two halves side by side, as in Figures, the second begins further up again.
        assert tops[0] < min(tops) + 10, page
        assert tops[0] < tops[-1] or len(tops) == 1, page


def test_every_command_stands_in_a_menu_with_a_key_of_its_own(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, two_persons)
    assert list(turned(window, qtbot)) == list(KEYS)

    found = in_menus(window)
    keys = Counter(each.toString() for action in found for each in action.shortcuts())

    assert len(found) > 20
    assert [action.text() for action in found if not action.text().strip()] == []
    assert [action.text() for action in found if action.shortcut().isEmpty()] == []
    assert [key for key, times in keys.items() if times > 1] == []
    hidden = {action.text() for action in window.actions()} - {each.text() for each in found}
    assert not hidden


def test_no_letter_under_alt_means_two_things(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, two_persons)

    for page in turned(window, qtbot):
        texts = [each.text() for each in window.menuBar().actions()]
        texts += [each.text() for each in window.findChildren(QAbstractButton) if each.isVisible()]
        labels = [each for each in window.findChildren(QLabel) if each.isVisible()]
        texts += [each.text() for each in labels if each.buddy()]
        plain = [text.replace("&&", "") for text in texts]
        letters = Counter(text[text.index("&") + 1].upper() for text in plain if "&" in text)
        keys = {each.toString() for action in in_menus(window) for each in action.shortcuts()}

        assert [letter for letter, times in letters.items() if times > 1] == [], page
        assert [letter for letter in letters if f"Alt+{letter}" in keys] == [], page


# In other sizes, directions and languages.


def in_sight(widget: QWidget) -> bool:
    return widget.isVisible() and not widget.visibleRegion().isEmpty()


def cut(window: QWidget) -> list[str]:
    """Texts that have less room than they need and no tooltip to tell the rest."""
    found = []
    for label in window.findChildren(QLabel):
        if not in_sight(label) or not label.text():
            continue
        needs = QSize(label.sizeHint())
        if label.hasHeightForWidth():
            needs = QSize(label.minimumSizeHint().width(), label.heightForWidth(label.width()))
        short = label.width() + 1 < needs.width() or label.height() + 1 < needs.height()
        if short and not label.toolTip():
            found.append(f"{label.text()!r} has {label.size()}, needs {needs}")
    for button in window.findChildren(QAbstractButton):
        if in_sight(button) and button.text() and not button.toolTip():
            needs = button.sizeHint()
            if button.width() + 1 < needs.width() or button.height() + 1 < needs.height():
                found.append(f"{button.text()!r} has {button.size()}, needs {needs}")
    for choice in window.findChildren(QComboBox):
        if in_sight(choice) and not choice.isEditable():
            room = choice.fontMetrics().horizontalAdvance(choice.currentText())
            if choice.width() < room + 10:
                found.append(f"{choice.currentText()!r} has {choice.width()}, needs {room}")
    return found


def outside(window: Window) -> list[str]:
    """Controls that reach beyond the window at its side, where nothing scrolls to them."""
    found = []
    for widget in stops(window):
        left = widget.mapTo(window, widget.rect().topLeft()).x()
        if left < 0 or left + widget.width() > window.width():
            found.append(f"{described(widget)} from {left} to {left + widget.width()}")
    return found


def sideways(window: Window) -> list[str]:
    """Pages of which a part lies beyond the side; a table may, with twice the text."""
    return [
        described(area)
        for area in window.findChildren(QScrollArea)
        if in_sight(area.horizontalScrollBar()) and area.horizontalScrollBar().maximum() > 0
    ]


SIZES = [((1000, 700), 1.0), ((1280, 800), 1.5), ((1280, 800), 2.0), ((1920, 1080), 2.0)]


@pytest.mark.parametrize(("size", "text"), SIZES)
def test_nothing_is_cut(
    size: tuple[int, int],
    text: float,
    font: QFont,
    qapp: QApplication,
    qtbot: QtBot,
    tmp_path: Path,
) -> None:
    font.setPointSizeF(font.pointSizeF() * text)
    qapp.setFont(font)
    window = shown(qtbot, tmp_path, two_persons, size=size)

    lost = {
        page: [*cut(window), *outside(window), *sideways(window)] for page in turned(window, qtbot)
    }

    assert (window.width(), window.height()) == size
    assert lost == NOTHING


@pytest.mark.parametrize("size", [(1000, 700), (1280, 800)])
def test_longer_words_from_right_to_left_are_not_cut(
    size: tuple[int, int], rtl: None, pseudo: Pseudo, qtbot: QtBot, tmp_path: Path
) -> None:
    window = shown(qtbot, tmp_path, two_persons, size=size)

    lost = {page: [*cut(window), *outside(window)] for page in turned(window, qtbot)}

    assert (window.width(), window.height()) == size
    assert window.tabs.tabText(0) == longer("Day")
    assert lost == NOTHING


def test_from_right_to_left_the_column_stands_at_the_right(
    rtl: None, qtbot: QtBot, tmp_path: Path
) -> None:
    window = shown(qtbot, tmp_path, two_persons)

    column = window.now_place.mapTo(window, window.now_place.rect().topLeft()).x()
    assert column > window.stack.mapTo(window, window.stack.rect().topLeft()).x()
    for page in turned(window, qtbot):
        forth = walked(window)
        assert not [described(each) for each in stops(window) if each not in forth], page


def test_a_text_that_is_cut_would_be_found(qtbot: QtBot, tmp_path: Path) -> None:
    window = shown(qtbot, tmp_path, two_persons)
    whole = cut(window)
    label = next(each for each in window.findChildren(QLabel) if in_sight(each) and each.text())

    label.setFixedWidth(4)

    assert whole == []
    assert any(repr(label.text()) in each for each in cut(window))


def test_a_longer_text_keeps_its_places_for_values_and_keys() -> None:
    assert longer("{n} of {total} read") == "{n} öf {total} réàd wör"
    assert longer("&Day").startswith("&Dàý")


def test_what_the_window_says_is_meant_to_be_translated(
    pseudo: Pseudo, qtbot: QtBot, tmp_path: Path
) -> None:
    window = shown(qtbot, tmp_path, two_persons)
    assert list(turned(window, qtbot)) == list(KEYS)

    plain = {each.text() for each in in_menus(window)} & pseudo.asked
    buttons = {
        each.text()
        for each in window.findChildren(QAbstractButton)
        if each.isVisible() and each.text() in pseudo.asked
    }

    assert QCoreApplication.translate("Menus", "Undo") == longer("Undo")
    assert not plain
    assert not buttons
