"""The window in which a file is made: choices, what will be in it, and where it goes."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QStandardPaths, Qt, QTimer
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QKeyEvent
from PySide6.QtWidgets import (
    QDialog,
    QFileDialog,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.domain.errors import DiaryError
from app.look.theme import follow_theme
from app.look.type import Role
from app.ui.controls import (
    Answer,
    Button,
    FieldNote,
    Hairline,
    Label,
    SectionTitle,
    TextColumn,
    ToAnswer,
)
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import scrolled
from app.ui.safety.band import NoteLine
from app.ui.said import Said
from app.ui.send_out.choices import Choices
from app.ui.send_out.doing import Doing, Sum
from app.ui.send_out.wish import Wish
from app.ui.send_out.words import file_name, tr
from app.ui.session import Session
from app.ui.words import count_words

_LATE_MS = 300  # common practice, no source: what is quicker needs no word
_OVER, _OTHER = "over", "other"
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class SendOutDialog(QDialog):
    """One file at a time; Escape leaves, or stops what is being written."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self._wish: Wish | None = None
        self._out = Path()
        self._summed = False
        self.doing = Doing(session, self)
        self.setWindowTitle(tr("Export"))
        self.setAccessibleName(tr("Export"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.choices = Choices(session, self)
        self.everything = NoteLine(
            tr(
                "Everybody in the diary, every day and every note; nothing can be left out. It is "
                "as much as the diary itself."
            ),
            (),
            self,
            lead=tr("Everything leaves."),
            closable=False,
        )
        self.sum = TextColumn("", self)
        self.question = ToAnswer(
            "",
            [Answer(_OVER, tr("Write over it")), Answer(_OTHER, tr("Another name…"))],
            self,
        )
        self.trouble = FieldNote(parent=self)
        self.status = Label("", self, role=Role.SMALL, ink="ink2", wrap=True)
        self.leaves = Button(tr("Cancel"), self)
        self.saves = Button(tr("&Save as…"), self, main=True)
        self._late = QTimer(self)
        self._late.setSingleShot(True)
        self._late.setInterval(_LATE_MS)
        self._late.timeout.connect(self._on_late)
        self._lay_out()
        self._connect()
        follow_theme(self._restyle)
        self._sum_up()
        self.choices.form.setFocus()

    def write_to(self, out: Path) -> None:
        """Write to a file; ask first where something lies there."""
        if self._wish is None or self.doing.writing:
            return
        ending = f".{self._wish.form.value}"
        self._out = out if out.suffix.lower() == ending else out.with_name(out.name + ending)
        if self._out.exists():
            sentence = tr("Something lies at {file} already. It stays as it is until you say so.")
            self.question.set_sentence(sentence.format(file=self._out))
            self.question.show()
            self.question.setFocus(Qt.FocusReason.ShortcutFocusReason)
        else:
            self._write(replace=False)

    def ask_where(self) -> None:
        """Ask where the file goes."""
        if self._wish is None or self.doing.writing or not self.saves.isEnabled():
            return
        self._calm_down()
        places = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
        dialog = QFileDialog(self, tr("Save the export"), places)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setDefaultSuffix(self._wish.form.value)
        dialog.setNameFilters([f"*.{self._wish.form.value}", tr("All files (*)")])
        dialog.selectFile(file_name(self._wish))
        dialog.setOption(QFileDialog.Option.DontConfirmOverwrite)  # it is asked in this window
        dialog.fileSelected.connect(lambda chosen: self.write_to(Path(chosen)))
        dialog.open()

    def reject(self) -> None:
        if self.doing.writing:
            self.doing.stop()
        elif not self.question.isHidden():
            self._calm_down()
            self.saves.setFocus()
        else:
            super().reject()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in _ENTER and not isinstance(self.focusWidget(), QPushButton):
            if self.question.isHidden():
                self.ask_where()
        else:
            super().keyPressEvent(event)

    # What is heard.

    def _sum_up(self) -> None:
        self._calm_down()
        self._wish = self.choices.wish()
        self._summed = False
        self.saves.setEnabled(False)
        self.everything.setVisible(self._wish is not None and self._wish.form.is_whole)
        if self._wish is None:
            self.sum.setText("")
            self.status.setText("")
            return
        self._late.start()
        self.doing.sum_up(self._wish)

    def _on_summed(self, found: Sum) -> None:
        if self._wish is None or self.doing.summing:
            return  # of other choices than those that stand there now
        self._late.stop()
        self.status.setText("")
        self.sum.setText("\n".join(found.lines))
        self.sum.setAccessibleName(" ".join((tr("In the file:"), *found.lines)))
        # The sum does not take the focus, so a screen reader has to be told.
        QAccessible.updateAccessibility(
            QAccessibleAnnouncementEvent(self, self.sum.accessibleName())
        )
        self._summed = True
        self.saves.setEnabled(not found.empty)

    def _on_written(self, sentence: str) -> None:
        self._session.said.emit(Said(sentence, undo=False))
        self.accept()

    def _on_failed(self, trouble: BaseException) -> None:
        if not isinstance(trouble, DiaryError):
            raise trouble
        self._late.stop()
        self.status.setText("")
        self.trouble.show_error(str(trouble))
        self.leaves.setFocus()

    def _on_answer(self, key: str) -> None:
        self.question.hide()
        if key == _OVER:
            self._write(replace=True)
        else:
            self.ask_where()

    def _write(self, *, replace: bool) -> None:
        if self._wish is not None:
            self._calm_down()
            self.doing.write(self._wish, self._out, replace=replace)

    def _on_busy(self, busy: bool) -> None:
        here = self.focusWidget()
        self.choices.setEnabled(not busy)
        self.saves.setEnabled(not busy and self._summed)
        self.leaves.setText(tr("Stop") if busy else tr("Cancel"))
        if busy:
            self._late.start()
            self.leaves.setFocus()
        else:
            self._late.stop()
            self.status.setText("")
            if here is self.leaves and self.saves.isEnabled():
                self.saves.setFocus()

    def _on_stepped(self, done: int, of: int) -> None:
        if self.doing.writing and not self._late.isActive() and of:
            percent = count_words(100 * done // of)
            self.status.setText(tr("Writing: {n} %").format(n=percent))

    def _on_late(self) -> None:
        self.status.setText(tr("Writing…") if self.doing.writing else tr("Counting…"))

    def _calm_down(self) -> None:
        self.question.hide()
        self.trouble.clear_error()

    # How it looks.

    def _connect(self) -> None:
        doing = self.doing
        doing.summed.connect(self._on_summed)
        doing.written.connect(self._on_written)
        doing.failed.connect(self._on_failed)
        doing.stepped.connect(self._on_stepped)
        doing.busy_changed.connect(self._on_busy)
        self.choices.changed.connect(self._sum_up)
        self.question.answered.connect(self._on_answer)
        self.leaves.clicked.connect(self.reject)
        self.saves.clicked.connect(self.ask_where)

    def _lay_out(self) -> None:
        self.question.hide()
        inside = QWidget(self)
        inside.setObjectName("scrolled")
        self._inner = QVBoxLayout(inside)
        self._inner.addWidget(Label(tr("Export"), inside, role=Role.TITLE))
        for part in (
            self.choices,
            Hairline(inside),
            SectionTitle(tr("In the file"), inside),
            self.everything,
            self.sum,
            TextColumn(
                tr(
                    "The file is made so that only you can read it. Nothing is sent; where it goes "
                    "from there is up to you."
                ),
                inside,
                role=Role.SMALL,
                ink="ink3",
            ),
        ):
            self._inner.addWidget(part)
        self._inner.addStretch(1)
        self._area = scrolled(inside, self)
        self._area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._foot = QVBoxLayout()  # in sight however far the rest is scrolled
        last = QHBoxLayout()
        last.setSpacing(4)
        last.addWidget(self.status, 1)
        last.addWidget(self.leaves)
        last.addWidget(self.saves)
        self._foot.addWidget(self.question)
        self._foot.addWidget(self.trouble)
        self._foot.addLayout(last)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._area, 1)
        whole.addLayout(self._foot)

    def _restyle(self) -> None:
        self._inner.setContentsMargins(px(24), px(20), px(24), px(8))
        self._inner.setSpacing(px(10))
        self._foot.setContentsMargins(px(24), px(8), px(24), px(16))
        self._foot.setSpacing(px(8))
        parent = self.parentWidget()
        room = parent.size() if parent is not None else self.size()
        self.resize(min(px(620), room.width() - 24), min(px(660), room.height() - 24))
