"""The sheet on the whole screen, in parts, for the desk or a call: arrows turn, Esc goes back."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.look.type import Role
from app.report.said import Part, page_said
from app.review.visit import VisitPage
from app.ui.appointment.words import tr
from app.ui.controls import Label, TextColumn
from app.ui.controls.drawing import px


class FullScreenSheet(QWidget):
    """One part of the sheet at a time in large letters; nobody else's name, no private note."""

    def __init__(self, page: VisitPage, parent: QWidget | None = None) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName("page")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setWindowTitle(tr("The sheet"))
        self.parts = _parts(page)
        self.at = 0
        self.head = Label("", self, role=Role.TITLE, wrap=True)
        self.text = TextColumn("", self, role=Role.FIGURE)
        self.text.setTextFormat(Qt.TextFormat.RichText)
        self.foot = Label("", self, role=Role.SMALL, ink="ink3")
        column = QVBoxLayout(self)
        column.setContentsMargins(px(64), px(48), px(64), px(32))
        column.setSpacing(px(24))
        column.addWidget(self.head)
        column.addWidget(self.text, 1, Qt.AlignmentFlag.AlignTop)
        column.addWidget(self.foot)
        self._show()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {
            Qt.Key.Key_Right: 1,
            Qt.Key.Key_Down: 1,
            Qt.Key.Key_PageDown: 1,
            Qt.Key.Key_Space: 1,
            Qt.Key.Key_Left: -1,
            Qt.Key.Key_Up: -1,
            Qt.Key.Key_PageUp: -1,
        }
        step = steps.get(Qt.Key(event.key()))
        if event.key() == Qt.Key.Key_Escape:
            self.close()
        elif step is not None:
            self.at = min(max(self.at + step, 0), len(self.parts) - 1)
            self._show()
        else:
            super().keyPressEvent(event)

    def _show(self) -> None:
        part = self.parts[self.at]
        self.head.setText(" ".join(filter(None, (part.title, part.note))))
        self.text.setText("".join(f"<p>{each}</p>" for each in part.paragraphs))
        self.foot.setText(
            tr("{at} of {all} · arrow keys turn, Esc goes back").format(
                at=self.at + 1, all=len(self.parts)
            )
        )
        self.setAccessibleName(f"{self.head.text()}. {' '.join(part.paragraphs)}")


def _parts(page: VisitPage) -> tuple[Part, ...]:
    said = page_said(page)
    who = Part(f"{said.name} · {said.period}", "", tuple(filter(None, (said.subtitle, said.lab))))
    slots = tuple(
        f"<b>{each.over} {each.name}</b>: {each.median} · {each.n}".replace("<b> ", "<b>")
        for each in said.slots
    )
    rises = tuple(f"{name}: {words}" for name, words in said.rises)
    nights = tuple(f"{name}: {words}" for name, words in said.nights)
    averages = tuple(f"{name}: <b>{value}</b> · {note}" for name, value, note in said.averages)
    return tuple(
        part
        for part in (
            who,
            said.tested,
            said.lows,
            said.highs,
            Part(tr("By slot, medians"), "", slots),
            Part(tr("Rise over the meal"), "", (*rises, said.rises_note)),
            Part(tr("Night to waking"), "", (*nights, said.nights_note)),
            Part(tr("Averages, side by side"), "", (*averages, said.trust)),
            said.know,
            said.asks,
        )
        if part.paragraphs
    )
