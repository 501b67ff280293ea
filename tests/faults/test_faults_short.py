"""The short form: every suite on every command, far between, and every control."""

from __future__ import annotations

from itertools import chain

import pytest

from tests.faults.report import Found
from tests.faults.run import COMMANDS, Task, control_tasks, long_tasks, ran, short_tasks

TASKS = list(chain(short_tasks(), control_tasks()))


@pytest.fixture(scope="module")
def found() -> list[Found]:
    return list(ran(TASKS))


@pytest.mark.parametrize("suite", sorted({task.suite for task in short_tasks()}))
def test_nothing_that_was_promised_breaks(found: list[Found], suite: str) -> None:
    mine = _of(found, suite, controls=False)
    _skip_if_none_ran(mine)

    assert [each.line for each in mine if not each.good] == []
    assert all(each.tried for each in mine)


@pytest.mark.parametrize("suite", sorted({task.suite for task in control_tasks()}))
def test_a_wrong_setting_is_found_out(found: list[Found], suite: str) -> None:
    mine = _of(found, suite, controls=True)
    _skip_if_none_ran(mine)

    assert [each.line for each in mine if not each.broken] == []


def test_every_suite_has_its_control() -> None:
    with_control = {task.suite for task in control_tasks()}

    assert {task.suite for task in chain(short_tasks(), long_tasks())} <= with_control


@pytest.mark.parametrize("suite", ["kill", "enospc", "eio", "power"])
def test_every_command_is_disturbed_in_each_way(suite: str) -> None:
    for tasks in (short_tasks(), long_tasks()):
        assert {task.command for task in tasks if task.suite == suite} == set(COMMANDS)


def test_the_long_form_kills_five_hundred_times_a_command() -> None:
    kills = [task for task in long_tasks() if task.suite == "kill"]

    assert all("rounds=500" in task.words for task in kills)


def _of(found: list[Found], suite: str, *, controls: bool) -> list[Found]:
    tasks = [task for task in _in_order() if task.suite == suite and bool(task.control) == controls]
    assert tasks
    return [each for each, task in zip(found, _in_order(), strict=True) if task in tasks]


def _in_order() -> list[Task]:
    return sorted(TASKS, key=lambda task: task.rank)


def _skip_if_none_ran(found: list[Found]) -> None:
    why = {each.not_run for each in found}
    if "" not in why:
        pytest.skip("; ".join(sorted(why)))
