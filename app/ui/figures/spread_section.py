"""Spread and risk in full, folded away: each figure, what it says, what it needs, its help text."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from PySide6.QtWidgets import QWidget

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.numerals import half_up
from app.look.type import Role
from app.review.figure import Figure, Missing
from app.review.figures import Figures, figures
from app.review.rarer import Rarer, rarer_figures
from app.review.record import Record
from app.ui.controls import TextColumn
from app.ui.figures.folded import Folded
from app.ui.figures.spread_list import SpreadList, Told
from app.ui.figures.words import many, percent_text, tr
from app.ui.session import Session
from app.ui.words import count_words, figure_text, number_words

KEYS = (
    *("sd", "cv", "within_day_cv", "iqr", "mage", "modd"),
    *("lbgi", "hbgi", "j_index", "m_value", "grade"),
)
# Made for continuous recording, for readings at fixed hours, or for many tests a day.
WARNED = ("mage", "modd", "j_index", "m_value", "lbgi", "hbgi", "grade")


@dataclass(frozen=True, slots=True)
class SpreadFound:
    """The usual and the rarer figures of one period."""

    figures: Figures
    rarer: Rarer


class SpreadSection(Folded):
    """Signals: help_asked(str) with the key of a figure, by Enter or a click on its "?"."""

    help_key = "sd"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("Spread and risk in full"), parent)
        self.title.set_count(
            tr("{n} figures, some made for other kinds of data").format(n=len(KEYS))
        )
        self.list = SpreadList(KEYS, WARNED, self.body)
        self.note = TextColumn("", self.body, role=Role.SMALL, ink="ink3")
        self.column.addWidget(self.list)
        self.column.addWidget(self.note)
        self.list.help_asked.connect(self.help_asked)

    def ask_for(self, period: Period) -> Callable[[], Any]:
        record, now = self.session.record, self.session.now()
        return lambda: _found(record, period, now)

    def show_found(self, found: Any) -> None:
        assert isinstance(found, SpreadFound)
        self.list.show_told([Told(*each) for each in _shown(found)])
        said = [tr("n {n}.").format(n=count_words(found.rarer.n))]
        if found.rarer.off_scale_left_out:
            said.append(
                many(
                    found.rarer.off_scale_left_out,
                    "{n} off the scale left out of SD, CV, J-index and M-value.",
                    "{n} off the scale left out of SD, CV, J-index and M-value.",
                )
            )
        said.append(tr("Up and Down walk the figures, Enter explains one."))
        self.note.setText(" ".join(said))


def _found(record: Record, period: Period, now: datetime) -> SpreadFound:
    return SpreadFound(figures(record, period, now=now), rarer_figures(record, period, now=now))


def _shown(found: SpreadFound) -> Iterator[tuple[str, str, str]]:
    """By figure: its text, the quiet words after it, and why there is none."""
    whole, rarer, unit = found.figures, found.rarer, found.figures.unit
    spread = whole.spread
    yield _glucose(spread.sd, unit)
    yield _percent(spread.cv)
    yield _percent(spread.within_day_cv)
    yield _glucose(rarer.iqr, unit)
    days = many(whole.excursions.days, "mean of {n} day", "mean of {n} days")
    yield _glucose(whole.excursions.value, unit, days)
    yield _glucose(rarer.modd.value, unit, many(rarer.modd.pairs, "{n} pair", "{n} pairs"))
    yield _plain(rarer.lbgi)
    yield _plain(rarer.hbgi)
    yield _plain(rarer.j_index)
    yield _plain(
        rarer.m_value.value,
        tr("against {n} mg/dL").format(n=count_words(round(rarer.m_value.reference_mg_dl))),
    )
    yield _plain(rarer.grade.value)


def _glucose(figure: Figure, unit: Unit, beside: str = "") -> tuple[str, str, str]:
    if isinstance(figure, Missing):
        return "", "", figure.why
    return figure_text(figure, unit), " · ".join(filter(None, (str(unit), beside))), ""


def _percent(figure: Figure) -> tuple[str, str, str]:
    return ("", "", figure.why) if isinstance(figure, Missing) else (percent_text(figure), "", "")


def _plain(figure: Figure, beside: str = "") -> tuple[str, str, str]:
    if isinstance(figure, Missing):
        return "", "", figure.why
    assert isinstance(figure, float)  # an index is never off the scale
    return number_words(str(half_up(figure, 1))), beside, ""
