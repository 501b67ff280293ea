"""The Figures page: trust first, then the figures it speaks of, shares, marks, other periods."""

from __future__ import annotations

from datetime import datetime
from functools import partial

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFrame, QScrollArea, QVBoxLayout, QWidget

from app.domain.clock import Period
from app.look.theme import follow_theme
from app.look.type import Role
from app.review.figures_shown import FiguresShown, figures_shown, takes_long
from app.review.record import Record
from app.ui.controls import Button, Hairline, SectionTitle, TextColumn
from app.ui.controls.drawing import px
from app.ui.figures.bands_section import BandsSection
from app.ui.figures.empty import EmptyFigures
from app.ui.figures.figure_tiles import FigureTiles
from app.ui.figures.folded import Folded
from app.ui.figures.head import FiguresHead
from app.ui.figures.lab_section import LabSection
from app.ui.figures.lows_section import LowsSection
from app.ui.figures.marks_table import MarksTable
from app.ui.figures.meals_table import MealsTable
from app.ui.figures.periods_table import PeriodsTable
from app.ui.figures.sentences import (
    beside_words,
    level_shares,
    set_aside_words,
    shares_finding,
    subtitle,
    trust_words,
    without_rechecks,
)
from app.ui.figures.share_bar import ShareBar
from app.ui.figures.spread_section import SpreadSection
from app.ui.figures.trust_box import TrustBox
from app.ui.figures.words import tr
from app.ui.job import Job
from app.ui.page import Page
from app.ui.session import Session
from app.ui.words import period_words

_BUSY_MS = 300  # common practice, no source: sooner, a busy sign only flickers
_SIDE_BY_SIDE_PX = 860


class FiguresPage(Page):
    """All figures of the chosen period, with the readings in doubt or without them."""

    key = "figures"
    title = "Figures"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self._uid: object = None
        self._asked = 0
        self.job = Job(self)
        self._busy = QTimer(self)
        self._busy.setSingleShot(True)
        self._busy.setInterval(_BUSY_MS)
        self._build()
        session.period_changed.connect(self.mark_stale)
        self.job.answered.connect(self._on_answered)
        self.job.failed.connect(self._on_failed)
        self._busy.timeout.connect(self._on_busy)
        self.head.doubt_chosen.connect(self.mark_stale)
        self.periods.days_picked.connect(self._on_days)
        self.lows.reading_picked.connect(session.reading_chosen)
        self.spread.help_asked.connect(self._on_help)
        self.explain.clicked.connect(self._on_help)
        self.empty.period_asked.connect(self._on_last_days)
        follow_theme(self._restyle)

    def take_focus(self) -> None:
        self.head.take_focus()

    def refresh(self) -> None:
        session = self.session
        period = session.period
        self.head.period.show_chosen()
        if session.person.uid != self._uid:  # never somebody else's figures, not for a moment
            self._uid = session.person.uid
            self._body.setVisible(False)
            self.empty.setVisible(False)
            self.head.set_subtitle(period_words(period, session.person.date_order))
        self._asked += 1
        ask = partial(
            _answer,
            self._asked,
            session.record,
            period,
            now=session.now(),
            doubtful=self.head.with_doubt,
        )
        if takes_long(session.record, period):
            self._busy.start()
            self.job.start(ask)
        else:
            self._on_answered(ask())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        bar = self.area.verticalScrollBar()
        step = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}.get(Qt.Key(event.key()), 0)
        if step:
            bar.setValue(bar.value() + step * (bar.pageStep() - px(40)))
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fold()

    def _build(self) -> None:
        self.head = FiguresHead(self.session, self)
        self.empty = EmptyFigures(self)
        self.trust = TrustBox(self)
        self.lows = LowsSection(self.session, self)
        self._beside = TextColumn("", self, role=Role.SMALL, ink="ink2")
        self.explain = Button(tr("What these figures mean"), self, size="bar")
        self.tiles = FigureTiles(self)
        self._shares_title = SectionTitle("", self)
        self.shares = ShareBar(self)
        self._rechecks = TextColumn("", self, role=Role.SMALL, ink="ink2")
        self.marks = MarksTable(self)
        self.periods = PeriodsTable(self)
        self.meals = MealsTable(self)
        self.bands = BandsSection(self.session, self)
        self.spread = SpreadSection(self.session, self)
        self.labs = LabSection(self.session, self)
        self.folded: tuple[Folded, ...] = (self.bands, self.spread, self.labs)
        self._lower = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._right = QWidget(self)
        right = QVBoxLayout(self._right)
        right.setContentsMargins(0, 0, 0, 0)
        right.setSpacing(px(16))
        right.addWidget(self.periods)
        right.addWidget(self.meals)
        right.addStretch(1)
        self._lower.addWidget(self.marks, 3)
        self._lower.addWidget(self._right, 2)
        self._body = QWidget(self)
        body = QVBoxLayout(self._body)
        body.setContentsMargins(0, 0, 0, 0)
        parts: tuple[QWidget, ...] = (
            self.trust,
            self.lows,
            Hairline(self),
            self.tiles,
            self._beside,
            self.explain,
            Hairline(self),
            self._shares_title,
            self.shares,
            self._rechecks,
            Hairline(self),
        )
        for part in parts:
            body.addWidget(part)
        body.addLayout(self._lower)
        for part in (Hairline(self), *self.folded):
            body.addWidget(part)
        body.addStretch(1)
        self._body_column = body
        inside = QWidget()
        inside.setObjectName("scrolled")
        self._inside = QVBoxLayout(inside)
        for whole in (self.head, self.empty, self._body):
            self._inside.addWidget(whole)
        self._inside.addStretch(1)
        self.area = QScrollArea(self)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setWidgetResizable(True)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setWidget(inside)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self.area)
        self._body.setVisible(False)
        self.empty.setVisible(False)

    def _on_answered(self, answer: tuple[int, FiguresShown]) -> None:
        number, shown = answer
        if number == self._asked:  # else a later question was answered at once
            self._busy.stop()
            self._show(shown)

    def _show(self, shown: FiguresShown) -> None:
        found, person = shown.figures, self.session.person
        self.head.set_subtitle(subtitle(shown))
        self.head.show_doubt(shown.whole)
        self.empty.show_state(shown)
        self.empty.setVisible(not found.n)
        parts = (self.trust, self.tiles, self._shares_title, self.shares, self.marks, self.explain)
        for part in parts:
            part.setVisible(bool(found.n))
        self.meals.setVisible(bool(found.n))
        for line in self._hairlines():
            line.setVisible(bool(found.n))
        self.trust.say(*trust_words(shown))
        said = (beside_words(shown), set_aside_words(shown))
        _say(self._beside, "\n".join(filter(None, said)))
        self.tiles.show_figures(shown)
        self._shares_title.set_text(tr("Share of readings, {unit}").format(unit=found.unit))
        self._shares_title.set_note(tr("count of n · 95 % Wilson interval"))
        missing = found.shares[0].missing
        self.shares.show_shares(
            level_shares(found),
            missing="" if missing is None else missing.why,
            finding=shares_finding(found),
        )
        _say(self._rechecks, without_rechecks(found))
        self.marks.show_rows(shown.marks, found.unit)
        self.periods.show_periods(shown.periods, found.period, person)
        self.meals.show_meals(shown.meals, found.unit)
        self.lows.ask(found.period)
        for section in self.folded:
            section.ask(found.period)
        self._body.setVisible(bool(found.n) or any(each.n for each in shown.periods))
        self._fold()

    def _hairlines(self) -> list[Hairline]:
        return self._body.findChildren(Hairline, options=Qt.FindChildOption.FindDirectChildrenOnly)

    def _on_days(self, days: int) -> None:
        ending = self.session.period.last
        self.session.show_days(days, None if ending == self.session.today() else ending)

    def _on_last_days(self, period: Period) -> None:
        self.session.show_days(period.days, period.last)

    def _on_help(self, key: object = "mean") -> None:
        from app.ui.figures.help_window import FigureHelpWindow

        window = FigureHelpWindow(self, key if isinstance(key, str) else "mean")
        window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        window.open()

    def _on_busy(self) -> None:
        self.head.set_subtitle(
            tr("{period} · working out the figures").format(
                period=period_words(self.session.period, self.session.person.date_order)
            )
        )

    def _on_failed(self, problem: BaseException) -> None:
        self._busy.stop()
        self.session.tell_trouble(problem)

    def _fold(self) -> None:
        """Two tables side by side where both have room, else one below the other."""
        room, gap = self.area.viewport().width() - 2 * px(24), px(24)
        wide = room >= px(_SIDE_BY_SIDE_PX)
        self._lower.setDirection(
            QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        )
        self._lower.setSpacing(gap if wide else px(16))
        tables = (self.periods.table, self.meals.table)
        wanted = max(table.sizeHint().width() for table in tables)
        left = self.marks.table.minimumSizeHint().width()
        self._right.setMinimumWidth(min(wanted, room - gap - left) if wide else 0)

    def _restyle(self) -> None:
        self._inside.setContentsMargins(px(24), px(16), px(24), px(16))
        self._inside.setSpacing(px(12))
        self._body_column.setSpacing(px(12))
        self._fold()


def _answer(
    number: int, record: Record, period: Period, *, now: datetime, doubtful: bool
) -> tuple[int, FiguresShown]:
    return number, figures_shown(record, period, now=now, doubtful=doubtful)


def _say(label: TextColumn, text: str) -> None:
    label.setText(text)
    label.setVisible(bool(text))
