"""Summing up and writing an export, off the GUI thread; writing can be stopped."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path
from threading import Event

from PySide6.QtCore import QObject, Signal

from app.domain.clock import Period
from app.domain.person import today_of
from app.domain.steps import Step, Stopped
from app.review.record import record_of
from app.review.visit import VisitPage, visit_page
from app.store.diary import Diary
from app.ui.job import Job
from app.ui.plan.calendar_text import calendar_text
from app.ui.send_out.wish import Form, Wish
from app.ui.send_out.words import (
    calendar_lines,
    csv_lines,
    many,
    sheet_lines,
    tr,
    whole_lines,
    written_words,
)
from app.ui.session import Session
from app.work.send_out import csv_holds, export_calendar, export_csv, must_be_free
from app.work.whole_diary import export_lines, export_sqlite, whole_summary


@dataclass(frozen=True, slots=True)
class Sum:
    """What will be in the file, in sentences; `empty` where there is nothing to write."""

    lines: tuple[str, ...]
    empty: bool


class Doing(QObject):
    """Works on one wish.

    Signals: summed(Sum), written(str) a sentence with the path, failed(exception), stepped(done,
    of), busy_changed(bool) while a file is being written.
    """

    summed = Signal(object)
    written = Signal(object)
    failed = Signal(object)
    stepped = Signal(int, int)
    busy_changed = Signal(bool)

    def __init__(self, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._stop = Event()
        self._summing, self._writing = Job(self), Job(self)
        self._summing.answered.connect(self.summed)
        self._writing.answered.connect(self.written)
        for job in (self._summing, self._writing):
            job.failed.connect(self.failed)
        self._writing.busy_changed.connect(self.busy_changed)

    @property
    def writing(self) -> bool:
        """Whether a file is being written."""
        return self._writing.busy

    @property
    def summing(self) -> bool:
        """Whether it is being summed up."""
        return self._summing.busy

    def sum_up(self, wish: Wish) -> None:
        """Say what will be in the file; an older answer no longer matters."""
        self._summing.start(partial(summed_up, self._session.diary, wish, self._session.now()))

    def write(self, wish: Wish, out: Path, *, replace: bool) -> None:
        """Write the file."""
        self._stop.clear()
        diary, now = self._session.diary, self._session.now()
        self._writing.start(
            partial(written, diary, wish, out, now, replace=replace, step=self._step)
        )

    def stop(self) -> None:
        """Stop writing; there is no new file then, and an older one is as it was."""
        self._stop.set()

    def _step(self, done: int, of: int) -> None:
        """Heard in the thread that writes."""
        if self._stop.is_set():
            raise Stopped(tr("The export was stopped; nothing was written."))
        self.stepped.emit(done, of)


def summed_up(diary: Diary, wish: Wish, now: datetime) -> Sum:
    """Say what will be in the file; nothing is written."""
    if wish.form is Form.CSV:
        holds = csv_holds(diary, wish.person, wish.period)
        return Sum(tuple(csv_lines(holds, wish)), not holds.readings)
    if wish.form in (Form.PDF, Form.HTML):
        return Sum(tuple(sheet_lines(_page(diary, wish, now))), empty=False)
    if wish.form is Form.ICS:
        tests, _ = _calendar(diary, wish, now)
        return Sum(tuple(calendar_lines(tests, wish)), not tests)
    return Sum(tuple(whole_lines(whole_summary(diary), wish.form)), empty=False)


def written(
    diary: Diary, wish: Wish, out: Path, now: datetime, *, replace: bool, step: Step
) -> str:
    """Write the file, and say so in a sentence."""
    writes: dict[Form, Callable[[], str]] = {
        Form.CSV: lambda: _table(diary, wish, out, replace=replace, step=step),
        Form.PDF: lambda: _sheet(diary, wish, out, now, replace=replace, step=step),
        Form.HTML: lambda: _sheet(diary, wish, out, now, replace=replace, step=step),
        Form.ICS: lambda: _plan(diary, wish, out, now),
        Form.LINES: lambda: _whole(diary, wish, out, now, replace=replace, step=step),
        Form.SQLITE: lambda: _whole(diary, wish, out, now, replace=replace, step=step),
    }
    return written_words(writes[wish.form](), out)


def _table(diary: Diary, wish: Wish, out: Path, *, replace: bool, step: Step) -> str:
    count = export_csv(
        diary,
        wish.person,
        out,
        period=wish.period,
        without=wish.without,
        replace=replace,
        step=step,
    )
    return f"{many(count, '{n} reading of', '{n} readings of')} {wish.person.name}"


def _sheet(diary: Diary, wish: Wish, out: Path, now: datetime, *, replace: bool, step: Step) -> str:
    from app.report.out import write_page

    must_be_free(diary, out, replace=replace)
    page = _page(diary, wish, now)
    step(1, 2)
    write_page(page, out, wish.paper)
    return tr("the sheet of {name}").format(name=wish.person.name)


def _plan(diary: Diary, wish: Wish, out: Path, now: datetime) -> str:
    count, text = _calendar(diary, wish, now)
    export_calendar(diary, out, text)
    return many(count, "{n} planned test", "{n} planned tests")


def _whole(diary: Diary, wish: Wish, out: Path, now: datetime, *, replace: bool, step: Step) -> str:
    if wish.form is Form.SQLITE:
        sent = export_sqlite(diary, out, replace=replace, step=step)
    else:
        sent = export_lines(diary, out, now=now, replace=replace, step=step)
    who = many(len(sent.persons), "{n} person", "{n} people")
    rows = many(sent.count, "{n} row", "{n} rows")
    return tr("the whole diary, {who}, {rows}").format(who=who, rows=rows)


def _page(diary: Diary, wish: Wish, now: datetime) -> VisitPage:
    record = record_of(diary, wish.person)
    period: Period = wish.period or record.all_days(today_of(wish.person, now))
    return visit_page(diary, record, period, now=now)


def _calendar(diary: Diary, wish: Wish, now: datetime) -> tuple[int, str]:
    return calendar_text(diary, wish.person, now, quiet=wish.quiet, zoned=wish.zoned)
