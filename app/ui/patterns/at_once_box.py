"""What is listed before anything is counted: help that was needed, and readings far below."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app.domain.levels import VERY_LOW_BELOW, Level
from app.look.marks import MarkLook, paint_mark
from app.look.shapes import SYMBOL_PX
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, text_scale
from app.review.at_once import AtOnce
from app.review.words import figure_words
from app.ui.controls import FlatButton, FlowRow, Label, WrapLabel
from app.ui.controls.drawing import mirrored, paint_box, px
from app.ui.controls.labels import align_baselines
from app.ui.patterns.evidence import item_at_once
from app.ui.patterns.words import many, tr
from app.ui.session import Session
from app.ui.words import count_words, number_words

_BAR, _SHOWN = 3, 3
_SIGN = 1.15


class AtOnceBox(QFrame):
    """Signals: all_asked() when all of them are to be listed."""

    all_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._row = QHBoxLayout(self)
        self._column = QVBoxLayout()
        self._row.addLayout(self._column, 1)
        self._lines: list[QWidget] = []
        self.button = FlatButton("", self, size="bar", underlined=True)
        self._row.addWidget(self.button, 0, Qt.AlignmentFlag.AlignVCenter)
        self.button.clicked.connect(self.all_asked)
        self.listed: tuple[AtOnce, ...] = ()
        self.title = ""
        follow_theme(self._restyle)

    def show_listed(self, listed: Sequence[AtOnce], session: Session) -> None:
        """Show the newest three; help comes first of all."""
        for line in self._lines:
            self._column.removeWidget(line)
            line.hide()
            line.deleteLater()
        self._lines = []
        helps = [each for each in listed if each.help is not None]
        far = [each for each in listed if each.help is None]
        self.listed = (*helps, *far)
        self.setVisible(bool(listed))
        if not listed:
            return
        unit = session.person.unit
        limit = number_words(figure_words(VERY_LOW_BELOW.in_unit(unit), unit))
        self.title = tr("Listed first, without counting: {n}").format(n=count_words(len(listed)))
        every = tr("all {n}").format(n=count_words(len(listed)))
        self.button.setText(every if len(listed) > _SHOWN else tr("list"))
        self.button.setAccessibleName(self.title)
        if helps:
            head = many(len(helps), "Help was needed: {n}", "Help was needed: {n}")
            self._add(head, helps, session)
        if far:
            rechecks = sum(each.recheck for each in far)
            head = tr("Below {line}, listed first: {n}").format(line=limit, n=count_words(len(far)))
            if rechecks:
                head += many(rechecks, " ({n} a recheck)", " ({n} rechecks)")
            self._add(head, far, session)
        self.setAccessibleName(self.title)
        self._restyle()

    def _add(self, head: str, listed: Sequence[AtOnce], session: Session) -> None:
        items: list[QWidget] = [Label(head, self, role=Role.STRONG)]
        if listed[0].help is None:
            items.insert(0, _Sign(self))
        for each in [one for one in listed if not one.again][:_SHOWN]:
            told = item_at_once(each, session)
            if each.help is None:
                items.append(_Told(told.value, told.when, self))
            else:  # what help was like is in somebody's own words, and may be long
                items.append(WrapLabel(told.words, self))
        line = FlowRow(items, self, gap=14)
        self._column.addWidget(line)
        self._lines.append(line)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        paint_box(painter, self.rect(), fill=tokens.page, edge=tokens.line, radius=0)
        bar = mirrored(self, QRect(0, 0, _BAR, self.height()))
        painter.fillRect(bar, QColor(tokens.very_low))
        painter.end()

    def _restyle(self) -> None:
        self._row.setContentsMargins(px(16), px(5), px(12), px(5))
        self._column.setSpacing(px(2))
        self.update()


class _Sign(QWidget):
    """The sign of a reading far below; the words beside it say so."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        side = round(SYMBOL_PX * text_scale() * _SIGN)
        return QSize(side, side)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        middle = QPointF(self.rect().center()) + QPointF(0.5, 0.5)
        look = MarkLook(Level.VERY_LOW)
        paint_mark(painter, middle, look, tokens_now(), text_scale() * _SIGN)
        painter.end()


class _Told(QWidget):
    """One reading: its value, the unit in small letters, and when it was."""

    def __init__(self, value: str, when: str, parent: QWidget) -> None:
        super().__init__(parent)
        number, _, unit = value.partition(" ")
        labels = [
            Label(number, self, role=Role.STRONG),
            Label(unit, self, role=Role.SMALL, ink="ink2"),
            Label(when, self),
        ]
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(px(5))
        for label in labels:
            label.setVisible(bool(label.text()))
            row.addWidget(label, 0, Qt.AlignmentFlag.AlignBottom)
        align_baselines(labels)
