"""The list of what is written beside the readings of a year, in full; a change opens its sides."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from app.look.type import Role
from app.review.year import YearMark
from app.ui.controls import Button, WrapLabel
from app.ui.controls.drawing import px
from app.ui.year.words import mark_days, tr


class BesideList(QWidget):
    """Signals: chosen(YearMark), a change whose before and after is wanted."""

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows = QGridLayout(self)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setHorizontalSpacing(px(12))
        self._rows.setVerticalSpacing(px(2))
        self._rows.setColumnStretch(3, 1)
        self.buttons: list[Button] = []

    def show_marks(self, marks: Sequence[YearMark], date_order: str) -> None:
        """List these."""
        while (item := self._rows.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self.buttons = []
        for row, mark in enumerate(marks):
            days = WrapLabel(mark_days(mark, date_order), self, role=Role.SMALL, ink="ink3")
            self._rows.addWidget(days, row, 0, Qt.AlignmentFlag.AlignVCenter)
            words = WrapLabel(mark.other.words, self)
            self._rows.addWidget(words, row, 1, Qt.AlignmentFlag.AlignVCenter)
            if mark.change is None:
                continue
            button = Button(
                tr("Before and after"),
                self,
                size="bar",
                name=tr("Before and after: {what}").format(what=mark.change.what),
            )
            button.clicked.connect(partial(self._on_clicked, mark))
            self._rows.addWidget(button, row, 2, Qt.AlignmentFlag.AlignVCenter)
            self.buttons.append(button)
        self.setVisible(bool(marks))
        self.updateGeometry()

    def _on_clicked(self, mark: YearMark, _checked: bool = False) -> None:
        self.chosen.emit(mark)
