"""The first start: what is asked before there is a diary; left half way, it is taken up again."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QFileDialog,
    QFrame,
    QHBoxLayout,
    QVBoxLayout,
    QWidget,
)

from app.domain.errors import DiaryError
from app.look.icons import program_icon
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role
from app.store.diary import Diary
from app.ui.controls import Button, FieldNote, FlatButton, FlowRow, Hairline, Label
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import card_in_the_middle
from app.ui.first_start.form import PersonForm
from app.work.people import ALWAYS
from app.work.settings import begin_diary, begin_person

Clock = Callable[[], datetime]
CARD = 690


class FirstStart(QWidget):
    """The card with the questions.

    Signals: begun(Diary) when a person is in a diary on the disk, brought() when a whole diary was
    brought in from a file and lies there, to be opened.

    Parameters
    ----------
    path : Path
        Where the diary will lie.
    diary : Diary or None
        A diary that is there already and has nobody in it.
    left : Path
        The file that keeps what was answered while nothing is begun.
    """

    begun = Signal(object)
    brought = Signal()

    def __init__(
        self,
        path: Path,
        diary: Diary | None,
        installation: UUID,
        clock: Clock,
        left: Path,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._path, self._diary, self._installation = path, diary, installation
        self._clock, self._left = clock, left
        self.form = PersonForm(self)
        self._trouble = FieldNote(parent=self)
        self._start = Button(self.tr("&Start the diary"), self, main=True, size="form")
        self.brings = FlatButton(self.tr("&Bring in a whole diary…"), self, underlined=True)
        self._build()
        self._take_up()
        self.brings.clicked.connect(self._on_bring)
        self._start.clicked.connect(self.begin)
        self.form.changed.connect(self._keep)
        self.form.name.returnPressed.connect(self.begin)

    def take_focus(self) -> None:
        """Put the focus on the first question."""
        self.form.name.setFocus()

    def begin(self) -> None:
        """Make the diary with this person in it, or say what is missing."""
        now = self._clock()
        try:
            wishes = self.form.wishes(targets_from=ALWAYS)
            if self._diary is None:
                self._diary = begin_diary(self._path, self._installation, wishes, now=now)
            else:
                begin_person(self._diary, wishes, now=now)
        except DiaryError as trouble:
            self._trouble.show_error(str(trouble))
            return
        self._left.unlink(missing_ok=True)
        self.begun.emit(self._diary)

    def bring_whole(self, file: Path) -> None:
        """Look at a whole diary in a file, and bring it in here."""
        from app.ui.bring_in.whole_ways import first_whole

        dialog = first_whole(file, self._path, self._diary, self._installation, self._clock(), self)
        dialog.made.connect(self._on_brought)

    def _on_bring(self) -> None:
        dialog = QFileDialog(self, self.tr("Bring in a whole diary"), str(Path.home()))
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.setNameFilters(
            [self.tr("Whole diaries as text (*.jsonl)"), self.tr("All files (*)")]
        )
        dialog.fileSelected.connect(lambda name: self.bring_whole(Path(name)))
        dialog.open()

    def _on_brought(self, _path: Path) -> None:
        self._left.unlink(missing_ok=True)
        if self._diary is not None:
            self._diary.close()
        self.brought.emit()

    def _build(self) -> None:
        self.setObjectName("ground")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        card = QFrame(self)
        card.setObjectName("card")
        card.setFixedWidth(px(CARD))
        column = QVBoxLayout(card)
        column.setContentsMargins(px(48), px(36), px(48), px(30))
        column.setSpacing(px(14))
        column.addLayout(self._head(card))
        column.addWidget(Hairline(card))
        column.addWidget(self.form)
        column.addWidget(self._trouble)
        column.addWidget(FlowRow([self.brings, self._start], card, last_far=True))
        QWidget.setTabOrder(self.brings, self._start)
        card_in_the_middle(card, self)

    def _head(self, card: QWidget) -> QHBoxLayout:
        head = QHBoxLayout()
        head.setSpacing(px(16))
        head.addWidget(_Sign(card))
        words = QVBoxLayout()
        words.setSpacing(px(2))
        words.addWidget(Label(self.tr("A new diary"), card, role=Role.TITLE))
        words.addWidget(
            Label(
                self.tr("Kept in one file on this computer. No account, no network."),
                card,
                ink="ink2",
                wrap=True,
            )
        )
        head.addLayout(words, 1)
        return head

    def _take_up(self) -> None:
        try:
            found = json.loads(self._left.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return
        if isinstance(found, dict):
            self.form.show_answers(found)

    def _keep(self) -> None:
        self._trouble.clear_error()
        try:
            self._left.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._left.touch(mode=0o600)
            self._left.write_text(json.dumps(self.form.answers()), encoding="utf-8")
        except OSError:
            return  # answers that can't be kept are asked again; nothing else is lost


class _Sign(QWidget):
    """The thimble."""

    _SIDE = 44

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        follow_theme(self._restyle)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        program_icon(tokens_now()).paint(painter, self.rect())
        painter.end()

    def _restyle(self) -> None:
        self.setFixedSize(px(self._SIDE), px(self._SIDE))
        self.update()
