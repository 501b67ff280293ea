"""What of the kit wants to be seen to: now, or by a day that is told before a weekend."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from app.review.kit import KitShown
from app.review.kit_warnings import KitWarning
from app.ui.controls import FlowRow, Label
from app.ui.controls.drawing import px
from app.ui.controls.wrapping import WrapLabel
from app.ui.kit.kit_section import KitSection
from app.ui.kit.words import day_named, tr
from app.ui.session import Session


class WarningsSection(KitSection):
    """A line each, what holds now first; it is gone where there is nothing."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("To see to"), parent)
        self.lines: list[str] = []
        self._body: QWidget | None = None

    def show_kit(self, found: KitShown) -> None:
        self.found = found
        self.setVisible(bool(found.warnings))
        if self._body is not None:
            self._body.hide()
            self._body.deleteLater()
        self._body = QWidget(self)
        grid = QGridLayout(self._body)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(px(14))
        grid.setVerticalSpacing(px(5))
        grid.setColumnStretch(1, 1)
        self.lines = []
        for row, each in enumerate(found.warnings):
            when = _when(each, found)
            self.lines.append(f"{when}: {each.what} ({each.more})" if each.more else each.what)
            at = Label(when, self._body, ink="brass" if each.now else "ink2")
            said = FlowRow(
                (WrapLabel(each.what), WrapLabel(each.more, ink="ink2")), self._body, gap=12
            )
            grid.addWidget(at, row, 0, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(said, row, 1)
        self._body.setAccessibleName("\n".join(self.lines))
        self.column.addWidget(self._body)


def _when(warning: KitWarning, found: KitShown) -> str:
    return tr("now") if warning.now else day_named(warning.day, found.today, found.person)
