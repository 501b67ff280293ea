"""Long work beside the window sets back what it changed, however many of it go on."""

from __future__ import annotations

import gc
import sys
from threading import Barrier, Thread

import pytest

from app.ui.bring_in.quietly import quietly


def state() -> tuple[float, bool]:
    return sys.getswitchinterval(), gc.isenabled()


def test_other_threads_are_let_by_sooner_meanwhile() -> None:
    before = state()

    interval, collects = quietly(state)

    assert interval < before[0]
    assert not collects
    assert state() == before


def test_what_fails_sets_it_back_too() -> None:
    before = state()

    with pytest.raises(ZeroDivisionError):
        quietly(divmod, 1, 0)

    assert state() == before


def test_the_last_of_several_sets_it_back() -> None:
    before, meet, first_ended = state(), Barrier(2), Barrier(2)

    def first() -> None:
        quietly(meet.wait, 10)
        first_ended.wait(10)

    def second() -> None:
        def waits() -> tuple[float, bool]:
            meet.wait(10)
            first_ended.wait(10)
            return state()

        found.append(quietly(waits))

    found: list[tuple[float, bool]] = []
    threads = [Thread(target=first), Thread(target=second)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(20)

    ((interval, collects),) = found
    assert interval < before[0]
    assert not collects
    assert state() == before
