"""All parts of the Figures page in their order: trust, lows, averages, shares, slots, the rest."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from app.look.theme import follow_theme
from app.look.type import Role
from app.review.figures_shown import FiguresShown
from app.ui.controls import Hairline, TextColumn
from app.ui.controls.drawing import px
from app.ui.figures.bands_section import BandsSection
from app.ui.figures.figure_tiles import FigureTiles
from app.ui.figures.folded import Folded
from app.ui.figures.helped import HelpedTitle
from app.ui.figures.lab_section import LabSection
from app.ui.figures.lows_section import LowsSection
from app.ui.figures.marks_table import MarksTable
from app.ui.figures.meals_table import MealsTable
from app.ui.figures.periods_table import PeriodsTable
from app.ui.figures.sentences import level_shares, shares_finding, trust_words, without_rechecks
from app.ui.figures.share_bar import ShareBar
from app.ui.figures.spread_section import SpreadSection
from app.ui.figures.trust_box import TrustBox
from app.ui.figures.without_table import WithoutTable
from app.ui.figures.words import tr
from app.ui.session import Session

_SIDE_BY_SIDE_PX = 860


class FiguresBody(QWidget):
    """Signals: help_asked(str) with the key of a figure."""

    help_asked = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.trust = TrustBox(self)
        self.lows = LowsSection(session, self)
        self.averages = HelpedTitle(tr("Averages and spread"), "trust", self)
        self.tiles = FigureTiles(self)
        self.without = WithoutTable(self)
        self.shares_title = HelpedTitle("", "shares", self)
        self.shares = ShareBar(self)
        self.rechecks = TextColumn("", self, role=Role.SMALL, ink="ink2")
        self.marks = MarksTable(self)
        self.periods = PeriodsTable(self)
        self.meals = MealsTable(self)
        self.bands = BandsSection(session, self)
        self.spread = SpreadSection(session, self)
        self.labs = LabSection(session, self)
        self.folded: tuple[Folded, ...] = (self.bands, self.spread, self.labs)
        self._lay_out()
        for part in (
            self.lows,
            self.averages,
            self.tiles,
            self.without,
            self.shares_title,
            self.marks,
            self.periods,
            self.meals,
            *self.folded,
        ):
            part.help_asked.connect(self.help_asked)
        follow_theme(self._restyle)

    def show_figures(self, shown: FiguresShown) -> None:
        """Show the figures of a period; what is folded or takes long follows."""
        found = shown.figures
        some = bool(found.n)
        for part in (
            self.trust,
            self.averages,
            self.tiles,
            self.shares_title,
            self.shares,
            self.marks,
            self.meals,
            *self._rules,
        ):
            part.setVisible(some)
        self.trust.say(*trust_words(shown))
        self.tiles.show_figures(shown)
        self.without.show_figures(shown)
        self.shares_title.title.set_text(tr("Share of readings, {unit}").format(unit=found.unit))
        self.shares_title.title.set_note(tr("count of n · 95 % Wilson interval"))
        missing = found.shares[0].missing
        self.shares.show_shares(
            level_shares(found),
            missing="" if missing is None else missing.why,
            finding=shares_finding(found),
        )
        text = without_rechecks(found)
        self.rechecks.setText(text)
        self.rechecks.setVisible(bool(text))
        self.marks.show_rows(shown.marks, found.unit)
        self.periods.show_periods(shown.periods, found.period, self._session.person)
        self.meals.show_meals(shown.meals, found.unit)
        nearby = some or any(each.n for each in shown.periods)
        for other in (self.periods, self.bands, self.spread):
            other.setVisible(nearby)
        self.lows.stay_away(unless_tested=not nearby)
        for section in self.folded:
            section.ask(found.period)
        self.setVisible(True)

    def fold(self, room: int) -> None:
        """Two tables side by side where both have room, else one below the other."""
        gap = px(24)
        wide = room >= px(_SIDE_BY_SIDE_PX)
        self._lower.setDirection(
            QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        )
        self._lower.setSpacing(gap if wide else px(16))
        tables = (self.periods.table, self.meals.table)
        wanted = max(table.sizeHint().width() for table in tables)
        wanted = max(wanted, self._right_column.minimumSize().width())
        left = self.marks.table.minimumSizeHint().width()
        self._right.setMinimumWidth(min(wanted, room - gap - left) if wide else 0)

    def _lay_out(self) -> None:
        self._rules = tuple(Hairline(self) for _ in range(4))
        self._lower = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._right = QWidget(self)
        self._right_column = QVBoxLayout(self._right)
        self._right_column.setContentsMargins(0, 0, 0, 0)
        self._right_column.addWidget(self.periods)
        self._right_column.addWidget(self.meals)
        self._right_column.addStretch(1)
        self._lower.addWidget(self.marks, 3)
        self._lower.addWidget(self._right, 2)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        above: tuple[QWidget, ...] = (
            self.trust,
            self.lows,
            self._rules[0],
            self.averages,
            self.tiles,
            self.without,
            self._rules[1],
            self.shares_title,
            self.shares,
            self.rechecks,
            self._rules[2],
        )
        for part in above:
            self._column.addWidget(part)
        self._column.addLayout(self._lower)
        for part in (self._rules[3], *self.folded):
            self._column.addWidget(part)
        self._column.addStretch(1)
        self._column.setAlignment(Qt.AlignmentFlag.AlignTop)

    def _restyle(self) -> None:
        self._column.setSpacing(px(12))
        self._right_column.setSpacing(px(16))
