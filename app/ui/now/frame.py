"""How the Now column is laid out: person and line stand, everything below them scrolls."""

from __future__ import annotations

from itertools import pairwise

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QPushButton, QVBoxLayout, QWidget

from app.look.theme import follow_theme
from app.look.type import Role
from app.ui.controls import Hairline, Label, Notice
from app.ui.controls.drawing import RESERVE, px
from app.ui.controls.scrolled import scrolled
from app.ui.controls.wrapping import WrapLabel
from app.ui.gate import writes
from app.ui.now.caution_box import CautionBox
from app.ui.now.entry_line import EntryLine
from app.ui.now.person_button import PersonButton
from app.ui.now.slip import Slip
from app.ui.now.trouble import Trouble
from app.ui.words import joined


class NowFrame(QFrame):
    """The parts in their places, told by `NowColumn` what to show."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("now")
        self.setAccessibleName(self.tr("Now"))
        self.person = PersonButton(self)
        self._sub = WrapLabel("", self, role=Role.SMALL, ink="ink2")
        self._label = Label(self.tr("Type a reading"), self, ink="ink2")
        self.line = writes(EntryLine(self))
        self._label.setBuddy(self.line)
        self.trouble = Trouble()
        self.notice = Notice()
        self.slip = Slip()
        self._due_box: QWidget | None = None
        self.caution = CautionBox()
        self._foot = WrapLabel("", self, role=Role.SMALL, ink="ink3")
        self._rule = Hairline(self)
        self._inside = QWidget()
        self._inside.setObjectName("scrolled")
        self._scrolled = QVBoxLayout()
        self._below: list[QWidget] = []
        self._sections = QVBoxLayout()  # as wide as the column: what is late is washed to its edge
        for part in (self.trouble, self.notice, self.slip, self.caution):
            self._scrolled.addWidget(part)
        below = QVBoxLayout(self._inside)
        below.setContentsMargins(0, 0, 0, 0)
        below.setSpacing(0)
        below.addLayout(self._scrolled)
        below.addLayout(self._sections)
        below.addStretch(1)
        self._area = scrolled(self._inside, self)
        self._area.verticalScrollBar().rangeChanged.connect(self._on_range_changed)
        self._area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._column = QVBoxLayout(self)
        self._lay_out()
        self._saved_words = self._backup_words = ""
        self._show_foot()
        self.order_tabs()
        follow_theme(self._restyle)

    def add_follow(self, box: QWidget) -> None:
        """Add above the slip what is to be tested again, where the eye is."""
        self._due_box = box
        self._scrolled.insertWidget(self._scrolled.indexOf(self.notice) + 1, box)

    def add_section(self, section: QWidget) -> None:
        """Add something below the slip: what is due, to be followed up, or wrong with the kit."""
        self._sections.addWidget(section)
        self._below.append(section)

    def show_sub(self, sentence: str) -> None:
        """Change the quiet line under the name."""
        self._sub.setText(sentence)
        self._sub.setVisible(bool(sentence))

    def show_saved(self, words: str) -> None:
        """Change the first half of the last line: when something was saved last."""
        self._saved_words = words
        self._show_foot()

    def show_backup_age(self, words: str, *, is_old: bool) -> None:
        """Change its second half; a backup that is too old is told in brass."""
        self._backup_words = words
        self._foot.set_ink("brass" if is_old else "ink3")
        self._show_foot()

    @property
    def foot(self) -> str:
        """The last line; an empty one takes no room."""
        return self._foot.text()

    def _show_foot(self) -> None:
        words = joined((self._saved_words, self._backup_words))
        words = words[:1].upper() + words[1:]
        self._foot.setText(words)
        self._foot.setVisible(bool(words))
        self._rule.setVisible(bool(words))

    def tell_line(self) -> None:
        """Let a screen reader read beside the line what stands below it."""
        said = self.trouble.sentence or self.slip.sentence
        self.line.setAccessibleDescription(said)
        self.slip.setAccessibleName(self.slip.sentence)

    def order_tabs(self) -> None:
        """Entry line, the slip's answers, what was just saved, person: as the eye goes."""
        order: list[QWidget] = [self.line]
        for part in (self._due_box, self.slip, self.notice, self.caution):
            order += part.findChildren(QPushButton) if part is not None else []
        order.append(self.person)
        for section in self._below:
            order += [each for each in section.findChildren(QWidget) if _is_stop(each)]
        for before, after in pairwise(order):
            QWidget.setTabOrder(before, after)

    def give_way(self, *, to_caution: bool) -> None:
        """Let the caution stand above the slip, or below it while something is typed."""
        above = self._scrolled.indexOf(self.caution) < self._scrolled.indexOf(self.slip)
        if above is not to_caution:
            self._scrolled.removeWidget(self.caution)
            self._scrolled.insertWidget(
                self._scrolled.indexOf(self.slip) + (0 if to_caution else 1), self.caution
            )

    def show_top(self) -> None:
        """Bring what stands right below the line into sight."""
        self._area.verticalScrollBar().setValue(0)

    def _lay_out(self) -> None:
        self._column.setSpacing(0)
        self._top = QVBoxLayout()
        self._top.addWidget(self.person)
        self._column.addLayout(self._top)
        self._upper = QVBoxLayout()
        self._upper.setSpacing(0)
        self._upper.addWidget(self._sub)
        self._upper.addSpacing(px(12))
        self._upper.addWidget(self._label)
        self._upper.addSpacing(px(4))
        self._upper.addWidget(self.line)
        self._upper.addSpacing(px(8))
        self._column.addLayout(self._upper)
        self._middle = QVBoxLayout()
        self._middle.addWidget(self._area)
        self._column.addLayout(self._middle, 1)
        self._lower = QVBoxLayout()
        self._lower.setSpacing(px(8))
        self._lower.addWidget(self._rule)
        self._lower.addWidget(self._foot)
        self._column.addLayout(self._lower)

    def _on_range_changed(self, _least: int, most: int) -> None:
        """Give the scroll bar its place in the margin, so that nothing is laid out anew for it."""
        side = px(16)
        self._inset(self._scrolled, side, side - (self._bar_width() if most > 0 else 0))

    def _restyle(self) -> None:
        side = px(16)
        self._column.setContentsMargins(0, px(12), 0, px(8))
        # The name keeps room for its focus ring: moved out by that, it stands over the line.
        self._inset(self._top, side - RESERVE, side - RESERVE)
        self._inset(self._upper, side, side)
        self._inset(self._middle, 0, 0)
        self._sections.setContentsMargins(0, px(12), 0, px(8))
        self._inset(self._lower, side, side)
        self._scrolled.setSpacing(px(8))
        self._on_range_changed(0, self._area.verticalScrollBar().maximum())

    def _inset(self, layout: QVBoxLayout, near: int, far: int) -> None:
        """Margins by where lines begin and end: Qt does not turn them round by itself."""
        is_rtl = self.layoutDirection() is Qt.LayoutDirection.RightToLeft
        left, right = (far, near) if is_rtl else (near, far)
        layout.setContentsMargins(left, 0, right, 0)

    def _bar_width(self) -> int:
        return min(px(16), self._area.verticalScrollBar().sizeHint().width())


def _is_stop(widget: QWidget) -> bool:
    return bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus)
