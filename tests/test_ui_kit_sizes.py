"""A whole kit in small windows and with large letters: nothing is cut, everything is reached."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QApplication, QDialog, QScrollArea, QWidget
from pytestqt.qtbot import QtBot

from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.ui.kit.page import KitPage
from app.ui.window import Window
from tests.commands import Terminal
from tests.households import INSTALLATION, new_diary, tilde
from tests.pseudo import Pseudo
from tests.test_ui_reach import cut, described, named, outside, sideways, stops, walked
from tests.test_ui_reach import font as font
from tests.test_ui_reach import pseudo as pseudo
from tests.test_ui_reach import rtl as rtl
from tests.windows import settle, shown_on

JULY = datetime(2026, 7, 24, 9, tzinfo=UTC)


@pytest.fixture(scope="module")
def terminal(tmp_path_factory: pytest.TempPathFactory) -> Terminal:
    """A kit with something of everything."""
    there = Terminal(tmp_path_factory.mktemp("kit"), now=JULY)
    there.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    there.ok("kit", "meter", "add", "blue", "--capacity", "250", "--range", "0.6-33.3")
    there.ok("kit", "meter", "add", "the spare one", "--unit", "mg/dL", "--keep-memory", "yes")
    for lot, day in (("A1", "2026-05-01"), ("A2", "2026-06-01"), ("A3", "2026-07-05")):
        there.ok(
            *("kit", "vial", "add", lot, "--opened", day, "--range", "5.2-7.8", "--strips", "50"),
            *("--range", "high:14-19", "--days-open", "90", "--printed", "2026-12"),
            *("--meter", "blue"),
        )
    for at, value in enumerate(("6.4", "6.6", "7.9", "6.1", "5.2", "9.5", "6.5")):
        moment = datetime(2026, 5, 2, 8, tzinfo=UTC) + timedelta(days=11 * at)
        when = f"{moment:%Y-%m-%d %H:%M}"
        there.ok("kit", "control", value, "--meter", "blue", "--at", when)
        there.ok("add", "7.1", "--meter", "blue", "--at", when)
        there.ok("note", "lab", "6.9 mmol/L", "--at", when)
    there.ok(
        *("kit", "control", "16", "--meter", "blue", "--level", "high"),
        *("--at", "2026-07-20 09:00"),
    )
    there.ok("kit", "solution", "add", "normal", "--lot", "S-9", "--opened", "2026-01-01")
    there.ok("kit", "item", "lancets", "30 G")
    there.ok("kit", "event", "dropped", "--meter", "blue", "--at", "2026-07-23 18:00")
    return there


@pytest.fixture
def diary(terminal: Terminal) -> Iterator[Diary]:
    with open_diary(terminal.diary, INSTALLATION) as opened:
        yield opened


def page_of(window: Window, qtbot: QtBot) -> KitPage:
    window.show_page("kit")
    settle(qtbot, window)
    page = window.page("kit")
    assert isinstance(page, KitPage)
    return page


def scrolled(area: QScrollArea, qapp: QApplication) -> Iterator[int]:
    """Each screenful of an area."""
    bar = area.verticalScrollBar()
    for place in range(0, bar.maximum() + bar.pageStep(), max(1, bar.pageStep())):
        bar.setValue(place)
        qapp.processEvents()
        yield place


SIZES = [((1000, 700), 1.0), ((1280, 800), 2.0)]


@pytest.mark.parametrize(("size", "text"), SIZES)
def test_nothing_of_a_whole_kit_is_cut(
    size: tuple[int, int], text: float, font: QFont, qapp: QApplication, qtbot: QtBot, diary: Diary
) -> None:
    font.setPointSizeF(font.pointSizeF() * text)
    qapp.setFont(font)
    window = shown_on(qtbot, diary, now=JULY, size=size)
    page = page_of(window, qtbot)

    lost = [each for _ in scrolled(page.area, qapp) for each in cut(window)]

    assert (window.width(), window.height()) == size
    assert lost == []
    assert outside(window) == []
    assert sideways(window) == []


def test_longer_words_from_right_to_left_are_not_cut_on_a_whole_kit(
    rtl: None, pseudo: Pseudo, qapp: QApplication, qtbot: QtBot, diary: Diary
) -> None:
    window = shown_on(qtbot, diary, now=JULY, size=(1000, 700))
    page = page_of(window, qtbot)

    lost = [each for _ in scrolled(page.area, qapp) for each in cut(window)]

    assert lost == []
    assert outside(window) == []


Act = Callable[[KitPage], object]
Form = Callable[[KitPage], QDialog | None]
FORMS: dict[str, tuple[Act, Form]] = {
    "meter": (lambda page: page.meter.click(), lambda page: page.form),
    "vial": (lambda page: page.vial.click(), lambda page: page.form),
    "test": (lambda page: page.test.click(), lambda page: page.form),
    "use": (lambda page: page.vials.use.click(), lambda page: page.vials.form),
    "strips": (lambda page: page.vials.supply.click(), lambda page: page.vials.form),
    "happened": (lambda page: page.controls.happened.click(), lambda page: page.controls.form),
    "every": (lambda page: page.controls.every.click(), lambda page: page.controls.form),
    "solution": (lambda page: page.parts.solution.click(), lambda page: page.parts.form),
    "part": (lambda page: page.parts.item.click(), lambda page: page.parts.form),
    "laboratory": (lambda page: page.asides.lab.click(), lambda page: page.asides.form),
    "note": (lambda page: page.asides.note.click(), lambda page: page.asides.form),
    "memory": (
        lambda page: page.memories.table.picked.emit(0),
        lambda page: page.memories.form,
    ),
}


@pytest.mark.parametrize(("size", "text"), SIZES)
def test_no_dialog_of_the_kit_is_larger_than_its_window_or_cut(
    size: tuple[int, int], text: float, font: QFont, qapp: QApplication, qtbot: QtBot, diary: Diary
) -> None:
    font.setPointSizeF(font.pointSizeF() * text)
    qapp.setFont(font)
    window = shown_on(qtbot, diary, now=JULY, size=size)
    page = page_of(window, qtbot)
    page.memories.table.setCurrentIndex(page.memories.table.cells.index(0, 0))
    found: list[str] = []

    for name, (act, shown) in FORMS.items():
        act(page)
        settle(qtbot, window)
        form = shown(page)
        assert form is not None, name
        if form.width() > window.width() or form.height() > window.height():
            found.append(f"{name} is {form.size()}")
        for area in form.findChildren(QScrollArea):
            found += [f"{name}: {each}" for _ in scrolled(area, qapp) for each in cut(form)]
        form.reject()
        settle(qtbot, window)

    assert found == []


def test_tab_comes_to_everything_of_a_whole_kit(qtbot: QtBot, diary: Diary) -> None:
    window = shown_on(qtbot, diary, now=JULY)
    page = page_of(window, qtbot)

    seen = walked(window)

    tops = [_top(page, each) for each in seen if page.area.isAncestorOf(each)]
    missed = [each for each in stops(window) if each not in seen and page.isAncestorOf(each)]
    assert [each.accessibleName() for each in missed] == []
    assert tops == sorted(tops)
    assert [described(each) for each in seen if not named(each).strip()] == []


def _top(page: KitPage, widget: QWidget) -> int:
    """How far down the page something stands; things in one row stand alike."""
    inside = page.area.widget()
    assert inside is not None
    return widget.mapTo(inside, widget.rect().center()).y() // 24


def test_an_empty_kit_says_what_begins_it(qtbot: QtBot, tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        tilde(diary)
        window = shown_on(qtbot, diary, now=JULY, size=(1000, 700))

        page = page_of(window, qtbot)

        assert page.empty.isVisible()
        assert [each.isVisible() for each in (page.vials, page.controls, page.meters)] == [
            False,
            False,
            False,
        ]
        assert page.asides.isVisible()
        assert cut(window) == []
        window.close()
