"""The import by keyboard and ear, in every size, direction and theme."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel
from pytestqt.qtbot import QtBot

from app.look.theme import apply_theme
from app.look.tokens import DARK, LIGHT
from app.ui.bring_in.rows import ALL
from tests.imports import Importing, Key, importing
from tests.pseudo import Pseudo
from tests.test_ui_bring_in_rows import MESS, typed_before
from tests.test_ui_reach import SIZES, cut, described, named, outside, sideways, stops, walked

STRANGE = "Wann;Was;Wieviel;Wort\n01.03.2026 07:00;n;6,2;\n14.03.2025 07:00;k;7,1;\n"


def as_it_opens(file: Importing) -> None:
    file.bring(MESS)


def with_a_row_selected(file: Importing) -> None:
    file.bring(MESS)
    file.body.account.wanted.emit(ALL)
    file.body.view.selectRow(0)


def with_columns_to_choose(file: Importing) -> None:
    file.bring(STRANGE)


def with_many_answers(file: Importing) -> None:
    file.bring("Date,Time,Glucose (mg/dL),Meal\n2026-03-01,07:00,162,b+\n2026-03-02,12:05,171,w\n")


STATES = (as_it_opens, with_a_row_selected, with_columns_to_choose, with_many_answers)
State = Callable[[Importing], None]


@pytest.fixture
def font(qapp: QApplication) -> Iterator[QFont]:
    before = qapp.font()
    yield QFont(before)
    qapp.setFont(before)


@pytest.mark.parametrize("state", STATES)
def test_tab_comes_to_everything_and_goes_down(state: State, qtbot: QtBot, tmp_path: Path) -> None:
    file = importing(qtbot, tmp_path, typed_before)
    state(file)

    forth = walked(file.window)
    back = walked(file.window, back=True)

    assert [described(each) for each in stops(file.window) if each not in forth] == []
    assert [id(each) for each in back[1:]] == [id(each) for each in reversed(forth[1:])]
    page = file.page
    tops = [
        each.mapTo(page, each.rect().topLeft()).y() for each in forth if page.isAncestorOf(each)
    ]
    assert tops == sorted(tops)


@pytest.mark.parametrize("state", STATES)
def test_every_control_has_a_name(state: State, qtbot: QtBot, tmp_path: Path) -> None:
    file = importing(qtbot, tmp_path, typed_before)

    state(file)

    assert [described(each) for each in stops(file.window) if not named(each).strip()] == []


def test_no_letter_under_alt_means_two_things(qtbot: QtBot, tmp_path: Path) -> None:
    file = importing(qtbot, tmp_path, typed_before)
    file.bring(MESS)
    file.choose(file.body.choices.meter, "another meter…")

    texts = [each.text() for each in file.window.menuBar().actions()]
    for kind in (QAbstractButton, QLabel):
        texts += [each.text() for each in file.window.findChildren(kind) if each.isVisible()]
    plain = [text.replace("&&", "") for text in texts]
    letters = Counter(text[text.index("&") + 1].upper() for text in plain if text.count("&") == 1)

    assert [letter for letter, times in letters.items() if times > 1] == []


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize(("size", "text"), SIZES)
def test_nothing_is_cut(
    state: State,
    size: tuple[int, int],
    text: float,
    font: QFont,
    qapp: QApplication,
    qtbot: QtBot,
    tmp_path: Path,
) -> None:
    font.setPointSizeF(font.pointSizeF() * text)
    qapp.setFont(font)
    file = importing(qtbot, tmp_path, typed_before, size=size)

    state(file)

    assert [*cut(file.window), *outside(file.window), *sideways(file.window)] == []
    assert (file.window.width(), file.window.height()) == size


@pytest.mark.parametrize("state", STATES)
def test_longer_words_from_right_to_left_are_not_cut(
    state: State, qapp: QApplication, qtbot: QtBot, tmp_path: Path
) -> None:
    translator = Pseudo()
    qapp.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    qapp.installTranslator(translator)
    try:
        file = importing(qtbot, tmp_path, typed_before)
        state(file)
        lost = [*cut(file.window), *outside(file.window)]
    finally:
        qapp.removeTranslator(translator)
        qapp.setLayoutDirection(Qt.LayoutDirection.LeftToRight)

    assert lost == []


def test_what_is_asked_is_in_sight_with_large_letters(
    font: QFont, qapp: QApplication, qtbot: QtBot, tmp_path: Path
) -> None:
    font.setPointSizeF(font.pointSizeF() * 2)
    qapp.setFont(font)
    file = importing(qtbot, tmp_path, typed_before)

    file.bring(MESS)

    box = file.body.box
    assert box is not None
    assert QApplication.focusWidget() is box
    seen = box.visibleRegion().boundingRect()
    assert (seen.width(), seen.height()) == (box.width(), box.height())


def test_the_import_follows_the_theme_while_it_is_open(
    qapp: QApplication, qtbot: QtBot, tmp_path: Path
) -> None:
    file = importing(qtbot, tmp_path, typed_before)
    file.bring(MESS)
    view = file.body.view.viewport()
    at = view.mapTo(file.window, view.rect().bottomLeft())
    try:
        apply_theme(qapp, DARK)
        dark = file.window.grab().toImage().pixelColor(at).lightness()
    finally:
        apply_theme(qapp, LIGHT)
    light = file.window.grab().toImage().pixelColor(at).lightness()

    assert dark < 80 < 200 < light


def test_escape_leaves_the_import_from_anywhere_in_it(qtbot: QtBot, tmp_path: Path) -> None:
    file = importing(qtbot, tmp_path, typed_before)
    for widget in ("view", "another"):
        file.bring(MESS)
        file.tab_to(getattr(file.body, widget))

        file.press(Key.Key_Escape)

        assert not file.is_open
