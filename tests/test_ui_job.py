from __future__ import annotations

import sys
import threading
from collections.abc import Iterator
from functools import partial

import pytest
from PySide6.QtCore import QObject, QThread
from pytestqt.qtbot import QtBot
from shiboken6 import delete

from app.ui.job import Job, close_all


@pytest.fixture
def job(qapp: object) -> Iterator[Job]:
    parent = QObject()
    made = Job(parent)
    yield made
    made.close()


def test_an_answer_comes_back_in_the_thread_that_asked(job: Job, qtbot: QtBot) -> None:
    threads: list[QThread] = []
    job.answered.connect(lambda _answer: threads.append(QThread.currentThread()))

    with qtbot.waitSignal(job.answered, timeout=5000) as found:
        job.start(lambda: 6 * 7)

    assert found.args == [42]
    assert threads == [job.thread()]


def test_answer_to_an_older_question_is_dropped(job: Job, qtbot: QtBot) -> None:
    gate = threading.Event()
    answers: list[object] = []
    job.answered.connect(answers.append)
    job.start(lambda: gate.wait(5) and "old")

    with qtbot.waitSignal(job.answered, timeout=5000):
        job.start(lambda: "new")
        gate.set()

    assert answers == ["new"]


def test_an_exception_is_told_and_ends_nothing(job: Job, qtbot: QtBot) -> None:
    def fails() -> None:
        raise ValueError("no such day")

    with qtbot.waitSignal(job.failed, timeout=5000) as found:
        job.start(fails)
    with qtbot.waitSignal(job.answered, timeout=5000):
        job.start(lambda: "still there")

    assert found.args is not None
    assert str(found.args[0]) == "no such day"


def test_busy_begins_with_the_first_question_and_ends_with_the_last(job: Job, qtbot: QtBot) -> None:
    told: list[bool] = []
    job.busy_changed.connect(told.append)

    with qtbot.waitSignal(job.answered, timeout=5000):
        job.start(lambda: 1)
        job.start(lambda: 2)

    assert told == [True, False]
    assert not job.busy


def test_a_closed_job_says_nothing_more(job: Job, qtbot: QtBot) -> None:
    gate = threading.Event()
    job.start(lambda: gate.wait(5))
    gate.set()

    with qtbot.assertNotEmitted(job.answered, wait=50):
        job.close()


def test_what_is_left_is_closed_before_the_program_ends(qtbot: QtBot) -> None:
    held, done, ended = threading.Event(), threading.Event(), threading.Event()
    owner = QObject()
    job = Job(owner)

    def work() -> None:
        held.set()
        done.wait(5)
        ended.set()

    job.start(work)
    held.wait(5)
    done.set()
    close_all()

    assert not job.busy
    assert ended.is_set()


def test_a_job_that_is_destroyed_while_it_works_holds_nothing_up(qtbot: QtBot) -> None:
    # Destructors run with Python's lock held: waiting for the call there, which needs that lock
    # to end, would wait for ever.
    held, done, ended = threading.Event(), threading.Event(), threading.Event()
    owner = QObject()
    job = Job(owner)
    called: list[str] = []

    def work() -> None:
        held.set()
        done.wait(5)
        ended.set()

    job.answered.connect(called.append)
    job.start(work)
    job.start(lambda: called.append("after its end"))
    held.wait(5)
    delete(owner)

    assert not ended.is_set()  # nobody waited
    done.set()
    assert ended.wait(5)
    qtbot.wait(20)
    assert called == []


@pytest.mark.parametrize("questions", [1, 40])
def test_every_question_is_asked_in_its_order(job: Job, qtbot: QtBot, questions: int) -> None:
    asked: list[int] = []

    def ask(number: int) -> int:
        asked.append(number)
        return number

    with qtbot.waitSignal(job.answered, timeout=5000) as found:
        for number in range(questions):
            job.start(partial(ask, number))

    assert asked == list(range(questions))
    assert found.args == [questions - 1]


def test_what_a_call_holds_goes_in_the_thread_that_asked(job: Job, qtbot: QtBot) -> None:
    # It may be the last to hold a widget, and those must not go in another thread.
    gone: list[int] = []

    class Held:
        def __del__(self) -> None:
            gone.append(threading.get_ident())

    def ask(held: Held, number: int) -> Held | None:
        if number % 3 == 0:
            raise ValueError(held)
        return held if number % 3 == 1 else None

    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-5)
    try:
        for number in range(300):
            job.start(partial(ask, Held(), number))
        qtbot.waitUntil(lambda: not job.busy, timeout=10_000)
    finally:
        sys.setswitchinterval(before)
    qtbot.waitUntil(lambda: len(gone) >= 299, timeout=5000)  # the last may still be held

    assert set(gone) == {threading.get_ident()}
