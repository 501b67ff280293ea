from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from PySide6.QtCore import QElapsedTimer, Qt, QTimer
from PySide6.QtGui import QAction, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QLabel, QStackedWidget
from pytestqt.qtbot import QtBot

from app.domain.errors import StoreUnavailable
from app.domain.glucose import Unit
from app.domain.pictures import Pictures
from app.domain.wishes import Wishes
from app.look.theme import Theme
from app.look.tokens import DARK, LIGHT
from app.review.hand_over import HandOverCard
from app.review.second_sheet import SecondSheet
from app.review.visit import VisitPage
from app.store.diary import Diary
from app.store.file import SCHEMA_VERSION, DiaryFile
from app.store.looking import Looking
from app.store.readings import readings_of
from app.ui.blocked import Blocked
from app.ui.day.page import DayPage
from app.ui.draw import Drawing, draw
from app.ui.fill import fill_window
from app.ui.job import Job
from app.ui.now import NowColumn, saver
from app.ui.pages import KEYS
from app.ui.readings.page import ReadingsPage
from app.ui.session import Session
from app.ui.start import draw_pages
from app.ui.window import Window
from app.work.people import add_person
from app.work.settings import change_settings
from tests.commands import Terminal
from tests.households import INSTALLATION, NOW, corwin, new_diary, tilde, written
from tests.windows import settle, shown, shown_on, three_weeks


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Window:
    return shown(qtbot, tmp_path)


def column_of(window: Window) -> NowColumn:
    return window.findChildren(NowColumn)[0]


def session_of(window: Window) -> Session:
    assert window.session is not None
    return window.session


def press(window: Window, key: Qt.Key, *, ctrl: bool = False, alt: bool = False) -> None:
    with_keys = Qt.KeyboardModifier.NoModifier
    if ctrl:
        with_keys |= Qt.KeyboardModifier.ControlModifier
    if alt:
        with_keys |= Qt.KeyboardModifier.AltModifier
    QTest.keyClick(QApplication.focusWidget() or window, key, with_keys)


def save(window: Window, text: str, bot: QtBot) -> None:
    column = column_of(window)
    QTest.keyClicks(column.line, text)
    QTest.keyClick(column.line, Qt.Key.Key_Return)
    bot.waitUntil(lambda: not column.saver.busy)


def values(window: Window) -> list[str]:
    session = session_of(window)
    return sorted(each.glucose.value or "" for each in readings_of(session.diary, session.person))


def fill(window: Window, path: Path) -> None:
    fill_window(window, path, Looking(path), path.parent, lambda: NOW, person=None)


def visible(actions: list[QAction]) -> set[str]:
    return {action.text() for action in actions if action.isVisible()}


# The shell.


def test_the_shell_is_seen_before_it_is_filled(qtbot: QtBot, tmp_path: Path) -> None:
    diary = new_diary(tmp_path)
    tilde(diary)
    diary.close()
    window = Window(remember=None)
    qtbot.addWidget(window)

    with qtbot.waitSignal(window.painted):
        window.show()
    empty = window.session
    fill(window, diary.path)

    assert empty is None
    assert window.windowTitle() == "Tilde – Thimblebook"
    assert column_of(window).line.hasFocus() or not window.isActiveWindow()


def test_a_page_is_made_when_it_is_first_seen_and_kept(window: Window, qtbot: QtBot) -> None:
    stack = window.findChildren(QStackedWidget)
    before = len(window.findChildren(ReadingsPage))

    window.show_page("readings")
    settle(qtbot, window)
    made = window.page("readings")
    window.show_page("day")
    window.show_page("readings")

    assert stack
    assert before == 0
    assert window.page("readings") is made
    assert len(window.findChildren(DayPage)) == 1


def test_page_actions_are_seen_with_their_page_alone(window: Window, qtbot: QtBot) -> None:
    actions = [each for each in window.findChildren(QAction) if each.text()]
    on_day = visible(actions)

    window.show_page("readings")
    settle(qtbot, window)
    on_readings = visible([each for each in window.findChildren(QAction) if each.text()])

    assert "Day before" in on_day
    assert "Correct…" not in on_day
    assert "Correct…" in on_readings
    assert "Day before" not in on_readings


def test_every_page_has_its_key(window: Window, qtbot: QtBot) -> None:
    seen = []
    for at in range(len(KEYS)):
        press(window, Qt.Key(Qt.Key.Key_0 + (at + 1) % 10), alt=True)
        settle(qtbot, window)
        seen.append(KEYS[window.tabs.currentIndex()])
    press(window, Qt.Key.Key_PageDown, ctrl=True)
    after_last = window.tabs.currentIndex()
    press(window, Qt.Key.Key_PageUp, ctrl=True)

    assert seen == list(KEYS)
    assert after_last == 0
    assert window.tabs.currentIndex() == len(KEYS) - 1


def test_f6_goes_to_the_page_and_escape_twice_comes_back(window: Window) -> None:
    column = column_of(window)
    column.take_focus()

    press(window, Qt.Key.Key_F6)
    there = QApplication.focusWidget()
    press(window, Qt.Key.Key_Escape)
    press(window, Qt.Key.Key_Escape)

    assert there is not None
    assert window.stack.isAncestorOf(there)
    assert column.line.hasFocus()


def test_the_focus_goes_along_to_the_next_page(window: Window, qtbot: QtBot) -> None:
    press(window, Qt.Key.Key_F6)

    press(window, Qt.Key.Key_2, alt=True)
    settle(qtbot, window)

    here = QApplication.focusWidget()
    assert here is not None
    assert window.page("readings").isAncestorOf(here)


def test_typing_goes_on_while_pages_change(window: Window, qtbot: QtBot) -> None:
    column = column_of(window)
    column.take_focus()
    QTest.keyClicks(column.line, "7.")

    press(window, Qt.Key.Key_4, alt=True)
    settle(qtbot, window)
    here = QApplication.focusWidget()
    assert here is not None
    QTest.keyClicks(here, "2")

    assert column.line.text() == "7.2"


def test_a_reading_chosen_on_a_chart_is_selected_in_readings(window: Window, qtbot: QtBot) -> None:
    row_id = int(session_of(window).record.columns.id[5])

    session_of(window).reading_chosen.emit(row_id)
    settle(qtbot, window)

    page = window.page("readings")
    assert isinstance(page, ReadingsPage)
    assert KEYS[window.tabs.currentIndex()] == "readings"
    assert page.view.selected_ids() == [row_id]
    assert page.view.hasFocus()


def test_size_page_and_theme_are_as_they_were_left(qtbot: QtBot, tmp_path: Path) -> None:
    kept = tmp_path / "window.ini"
    first = shown(qtbot, tmp_path, remember=kept, size=(1100, 760))
    first.show_page("figures")
    Theme.current().choose("dark")
    first.close()

    second = Window(remember=kept)
    qtbot.addWidget(second)

    assert (second.width(), second.height()) == (1100, 760)
    assert KEYS[second.tabs.currentIndex()] == "figures"
    assert Theme.current().tokens is DARK
    Theme.current().put_on(LIGHT)


# What is written, and taken back.


def test_undo_in_the_edit_menu_takes_back_what_was_saved(window: Window, qtbot: QtBot) -> None:
    before = values(window)
    save(window, "9.9 bedtime", qtbot)
    saved = values(window)

    window.menus.undo.trigger()
    qtbot.waitUntil(lambda: values(window) == before)
    settle(qtbot, window)

    assert saved == sorted([*before, "9.9"])
    assert "Taken back" in window.notice.sentence
    assert column_of(window).notice.isHidden()  # its Undo would take back something else now


def test_ctrl_z_in_the_empty_line_takes_back_the_saved_reading(
    window: Window, qtbot: QtBot
) -> None:
    before = values(window)
    column_of(window).take_focus()
    save(window, "9.9 bedtime", qtbot)

    press(window, Qt.Key.Key_Z, ctrl=True)

    qtbot.waitUntil(lambda: values(window) == before)


def test_ctrl_z_in_a_line_with_text_takes_back_what_was_typed(window: Window, qtbot: QtBot) -> None:
    column = column_of(window)
    column.take_focus()
    save(window, "9.9 bedtime", qtbot)
    saved = values(window)
    QTest.keyClicks(column.line, "5.5")

    press(window, Qt.Key.Key_Z, ctrl=True)

    assert column.line.text() == ""
    assert values(window) == saved


def test_a_new_reading_brings_an_old_diary_to_today(qtbot: QtBot, tmp_path: Path) -> None:
    diary = new_diary(tmp_path)
    written(diary, tilde(diary), "2025-08-31 07:05", "7.6")
    window = shown_on(qtbot, diary)
    session = session_of(window)
    opened_on = session.day

    save(window, "6.1", qtbot)

    assert opened_on.isoformat() == "2025-08-31"
    assert session.day == session.today()
    assert session.period.last == session.today()


def test_readings_keep_their_wall_time_when_a_person_moves(window: Window, qtbot: QtBot) -> None:
    session = session_of(window)
    before = session.record.columns
    wishes = Wishes("Tilde", Unit.MMOL_L, "America/Chicago")

    change_settings(session.diary, session.person, wishes, now=NOW)
    session.changed()
    settle(qtbot, window)

    after = session.record.columns
    assert session.person.zone == "America/Chicago"
    assert after.day.tolist() == before.day.tolist()
    assert after.minute.tolist() == before.minute.tolist()
    labels = [each.text() for each in column_of(window).findChildren(QLabel) if each.isVisible()]
    assert "mmol/L · America/Chicago" in labels


def test_a_save_that_fails_keeps_what_was_typed_on_every_page(
    window: Window, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise StoreUnavailable("Not saved: the disk is full.")

    column = column_of(window)
    with monkeypatch.context() as patched:
        patched.setattr(saver, "save", full)
        save(window, "7.2 lunch", qtbot)
    press(window, Qt.Key.Key_3, alt=True)
    settle(qtbot, window)
    told, kept = column.trouble.sentence, column.line.text()

    save(window, "", qtbot)

    assert told == "Not saved: the disk is full."
    assert kept == "7.2 lunch"
    assert "7.2" in values(window)


# Other programs, and files that are not as they should be.


@contextmanager
def locked(path: Path, how: str) -> Iterator[None]:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute(f"BEGIN {how}")
        yield
        connection.execute("ROLLBACK")


class Pulse:
    """Beats in the event loop of the window; knows the longest time between two beats."""

    def __init__(self) -> None:
        self._since = QElapsedTimer()
        self._since.start()
        self.longest = 0
        self.beats = 0
        self._timer = QTimer()
        self._timer.setInterval(10)
        self._timer.timeout.connect(self._on_beat)
        self._timer.start()

    def _on_beat(self) -> None:
        self.longest = max(self.longest, self._since.restart())
        self.beats += 1

    def stop(self) -> None:
        self._timer.stop()


def test_what_a_command_writes_is_seen(window: Window, qtbot: QtBot) -> None:
    terminal = Terminal(session_of(window).diary.path.parent)
    terminal.ok("add", "2.9 night")

    qtbot.waitUntil(lambda: 2.9 in session_of(window).record.columns.entered, timeout=10_000)


def test_a_lock_of_another_program_does_not_freeze_the_window(window: Window, qtbot: QtBot) -> None:
    session = session_of(window)
    terminal = Terminal(session.diary.path.parent)
    terminal.ok("add", "2.9 night")
    pulse = Pulse()

    with locked(session.diary.path, "EXCLUSIVE"):
        session.follow()
        session.changed()  # a page that has just written asks on the spot
        qtbot.waitUntil(lambda: pulse.beats > 20)
        seen_while_locked = 2.9 in session.record.columns.entered
        asking = any(job.busy for job in session.findChildren(Job))
    pulse.stop()

    assert not seen_while_locked
    assert asking
    qtbot.waitUntil(lambda: 2.9 in session.record.columns.entered, timeout=10_000)


def test_the_thread_that_paints_waits_a_quarter_of_a_second_for_a_lock(
    window: Window,
) -> None:
    session = session_of(window)

    with session.diary.reading() as connection:
        painting = connection.exec_driver_sql("PRAGMA busy_timeout").scalar()
    found: list[object] = []

    def elsewhere() -> None:
        with session.diary.reading() as connection:
            found.append(connection.exec_driver_sql("PRAGMA busy_timeout").scalar())

    thread = threading.Thread(target=elsewhere)
    thread.start()
    thread.join()

    assert painting == 250
    assert found == [5000]


def test_a_person_that_cannot_be_read_just_now_is_told_and_nothing_changes(
    qtbot: QtBot, tmp_path: Path
) -> None:
    diary = new_diary(tmp_path)
    three_weeks(diary)
    adult = corwin(diary)
    window = shown_on(qtbot, diary)

    with locked(diary.path, "EXCLUSIVE"):
        column_of(window).person.person_chosen.emit(adult)

    assert session_of(window).person.name == "Tilde"
    assert "Another program" in column_of(window).trouble.sentence


def test_settings_that_cannot_be_read_just_now_are_told(window: Window) -> None:
    with locked(session_of(window).diary.path, "EXCLUSIVE"):
        window.menus.settings.trigger()

    assert "Another program" in window.notice.sentence
    assert not window.findChildren(QDialog)


def test_a_diary_that_vanishes_is_told_once_and_the_window_lives(
    window: Window, qtbot: QtBot
) -> None:
    session = session_of(window)
    said: list[object] = []
    session.said.connect(said.append)
    session.diary.close()
    session.diary.path.rename(session.diary.path.with_suffix(".away"))

    qtbot.waitUntil(lambda: len(said) == 1, timeout=20_000)
    for _ in range(3):
        session.follow()
        settle(qtbot, window)

    assert len(said) == 1
    assert window.isVisible()
    assert len(session.record.columns.id) == 80


def test_a_diary_that_can_only_be_read_opens_and_says_so(qtbot: QtBot, tmp_path: Path) -> None:
    made = new_diary(tmp_path)
    three_weeks(made)
    made.close()
    file = DiaryFile(made.path, writable=False, version=SCHEMA_VERSION)
    window = shown_on(qtbot, Diary(file, INSTALLATION))
    column = column_of(window)

    save(window, "7.2 lunch", qtbot)

    feet = [label.text() for label in column.findChildren(QLabel) if label.isVisible()]
    assert any("only be read here" in text for text in feet)
    assert "only be read here" in column.trouble.sentence
    assert column.line.text() == "7.2 lunch"


def test_closing_while_something_is_asked_waits_for_it_and_leaves_nothing(
    qtbot: QtBot, tmp_path: Path
) -> None:
    window = shown(qtbot, tmp_path)
    gate, ended = threading.Event(), threading.Event()
    job = Job(window)

    def slow() -> None:
        gate.wait(5)
        ended.set()

    job.start(slow)
    threading.Timer(0.05, gate.set).start()

    window.close()

    assert ended.is_set()
    assert not any(each.busy for each in window.findChildren(Job))


def test_persons_with_names_alike_are_told_apart_where_it_is_saved(
    qtbot: QtBot, tmp_path: Path
) -> None:
    diary = new_diary(tmp_path)
    tilde(diary)
    add_person(diary, "Tilda", unit="mmol/L", zone="Europe/Lisbon", now=NOW)
    window = shown_on(qtbot, diary)

    save(window, "7.2 lunch", qtbot)

    assert "Tilde" in column_of(window).notice.sentence
    assert window.windowTitle().startswith("Tilde")
    names = [each.text() for each in window.findChildren(QAction)]
    assert {"Tilde", "Tilda"} <= set(names)


def test_a_diary_nobody_is_in_asks_who_begins(qtbot: QtBot, tmp_path: Path) -> None:
    new_diary(tmp_path).close()
    window = Window(remember=None)
    qtbot.addWidget(window)

    fill(window, tmp_path / "diary.thimblebook")

    assert window.session is None
    assert any(label.text() == "A new diary" for label in window.findChildren(QLabel))


def test_something_that_is_no_diary_is_told_and_left_alone(qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "diary.thimblebook"
    path.write_bytes(b"not a diary at all, but somebody's letter" * 20)
    before = path.read_bytes()
    window = Window(remember=None)
    qtbot.addWidget(window)
    window.show()

    fill(window, path)

    (card,) = window.findChildren(Blocked)
    assert "not a Thimblebook diary" in card.sentence
    assert path.read_bytes() == before


# Pictures.


def drawn(folder: Path, page: str, **how: object) -> QImage:
    diary = new_diary(folder)
    three_weeks(diary)
    out = folder / "out.png"
    draw(Session(diary, lambda: NOW, None), Drawing(page, out, **how))  # type: ignore[arg-type]
    return QImage(str(out))


@pytest.mark.parametrize(("page", "size"), [("day", (1000, 700)), ("readings", (1920, 1080))])
def test_a_picture_has_the_size_that_was_asked_for(
    page: str, size: tuple[int, int], tmp_path: Path, qapp: object
) -> None:
    image = drawn(tmp_path, page, width=size[0], height=size[1])

    assert (image.width(), image.height()) == size


def test_the_dark_picture_is_dark_and_of_the_same_page(tmp_path: Path, qapp: object) -> None:
    (tmp_path / "light").mkdir()
    (tmp_path / "dark").mkdir()
    light = drawn(tmp_path / "light", "figures")
    dark = drawn(tmp_path / "dark", "figures", dark=True)
    Theme.current().put_on(LIGHT)

    corner = light.width() - 3, light.height() - 3
    assert light.pixelColor(*corner).name().upper() == LIGHT.page
    assert dark.pixelColor(*corner).name().upper() == DARK.page


class Offscreen:
    """Nothing to show a window on; pictures can be drawn."""

    def __init__(self) -> None:
        self.asked: list[Pictures] = []

    def is_there(self) -> bool:
        return False

    def open(self, diary: Path, person: str | None) -> int:
        raise AssertionError((diary, person))

    def draw(self, pictures: Pictures) -> list[Path]:
        self.asked.append(pictures)
        return draw_pages(pictures, INSTALLATION, lambda: NOW)

    def write_page(
        self, page: VisitPage, out: Path, paper: str, second: SecondSheet | None = None
    ) -> None:
        raise AssertionError((page, out, paper, second))

    def write_card(self, card: HandOverCard, out: Path, paper: str) -> None:
        raise AssertionError((card, out, paper))


def test_open_with_no_screen_prints_a_picture_of_every_page(tmp_path: Path, qapp: object) -> None:
    terminal = Terminal(tmp_path, screen=Offscreen())
    terminal.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")

    done = terminal.ok("open", "--out", str(tmp_path / "pages"))

    paths = [Path(line) for line in done.out.splitlines()]
    assert [path.name for path in paths] == [*(f"{key}.png" for key in KEYS), "appointment.pdf"]
    assert all(path.is_absolute() and path.read_bytes()[1:4] in (b"PNG", b"PDF") for path in paths)
    assert "no screen" in done.err


def test_a_page_that_is_not_there_is_refused(tmp_path: Path, qapp: object) -> None:
    terminal = Terminal(tmp_path, screen=Offscreen())
    terminal.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")

    done = terminal.type("draw", "moon", str(tmp_path / "moon.png"))

    assert done.code == 1
    assert 'There is no page "moon"' in done.err
    assert not (tmp_path / "moon.png").exists()


@pytest.mark.parametrize(
    "wrong",
    [
        ("--size", "big"),
        ("--size", "100x90"),
        ("--size", "9000x900"),
        ("--scale", "0.5"),
        ("--days", "0"),
        ("--days", "-4"),
        ("--days", "99999999999"),
    ],
)
def test_a_size_scale_or_number_of_days_that_cannot_be_is_wrong_usage(
    wrong: tuple[str, str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    screen = Offscreen()

    done = Terminal(tmp_path, screen=screen).type("draw", "day", "day.png", *wrong)

    assert done.code == 2
    assert f"argument {wrong[0]}" in capsys.readouterr().err
    assert not screen.asked


def test_the_program_draws_every_page_of_the_sample_with_no_screen(tmp_path: Path) -> None:
    process = subprocess.run(
        (sys.executable, "-m", "app", "open", "--sample", "--out", str(tmp_path / "pages")),
        capture_output=True,
        text=True,
        check=False,
        env=os.environ | {"QT_QPA_PLATFORM": "offscreen"},
    )

    paths = [Path(line) for line in process.stdout.splitlines()]
    assert process.returncode == 0, process.stderr
    assert [path.name for path in paths] == [*(f"{key}.png" for key in KEYS), "appointment.pdf"]
    assert all(path.is_absolute() and path.stat().st_size > 10_000 for path in paths)
