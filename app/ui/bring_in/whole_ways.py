"""The ways to a diary made from a whole one in a file: beside the open one, or at first start."""

from __future__ import annotations

from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from app.domain.errors import Refused
from app.domain.steps import Step
from app.exchange.json_lines import Lines
from app.store.diary import Diary
from app.store.whole_in import is_empty
from app.ui.bring_in.whole import WholeDialog
from app.ui.bring_in.whole_doing import begins_as_whole
from app.ui.bring_in.words import tr
from app.work.whole_diary import bring_whole, bring_whole_anew

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from app.ui.window import Window


def took_whole(window: Window, file: Path) -> bool:
    """Where a file is a whole diary, say what that means, and make a new one beside the open one.

    Returns
    -------
    bool
        Whether it is one.
    """
    session = window.session
    if session is None or not begins_as_whole(file):
        return False
    state = window.guard.state if window.guard is not None else None
    make = partial(_anew, session.diary.installation, session.now(), state)

    def opens(path: Path) -> None:
        if window.guard is not None:
            window.guard.open_asked.emit(path)

    dialog = WholeDialog(file, make, window)
    dialog.made.connect(opens)
    dialog.open()
    return True


def first_whole(
    file: Path,
    target: Path,
    diary: Diary | None,
    installation: UUID,
    now: datetime,
    parent: QWidget,
) -> WholeDialog:
    """Bring a whole diary in where the first start would make one; `diary` has nobody in it."""
    make = partial(_anew, installation, now, None)
    if diary is not None:
        make = partial(_into, diary, now)
    dialog = WholeDialog(file, make, parent, target=target)
    dialog.open()
    return dialog


def _anew(
    installation: UUID,
    now: datetime,
    state: Path | None,
    path: Path,
    lines: Lines,
    name: str,
    step: Step,
) -> int:
    return bring_whole_anew(path, installation, lines, name=name, now=now, state=state, step=step)


def _into(diary: Diary, now: datetime, _path: Path, lines: Lines, name: str, step: Step) -> int:
    if not is_empty(diary):
        raise Refused(
            tr(
                "Something was written in this diary before, be it in its bin, so that no whole "
                "diary comes into it. Nothing was changed; begin here, then choose Import."
            )
        )
    return bring_whole(diary, lines, name=name, now=now, step=step)
