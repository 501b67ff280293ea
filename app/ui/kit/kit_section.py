"""A part of the Kit page: a title over what it shows, and the forms that it opens."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Iterable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from app.review.kit import KitShown
from app.ui.controls import Button, FlowRow, Hairline, SectionTitle
from app.ui.controls.drawing import px
from app.ui.figures.cells import Cell, Head
from app.ui.figures.table import FigureTable
from app.ui.gate import writes
from app.ui.kit.forms import KitForm
from app.ui.kit.words import many
from app.ui.session import Session


class KitSection(QWidget):
    """Signals: done_with(str), the sentence of what was saved."""

    done_with = Signal(str)

    def __init__(self, session: Session, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.found: KitShown | None = None
        self.form: QDialog | None = None
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(px(10))
        self.column.addWidget(Hairline(self))
        self.title = SectionTitle(title, self)
        self.column.addWidget(self.title)

    @abstractmethod
    def show_kit(self, found: KitShown) -> None:
        """Show this part of a person's kit."""

    def add_table(self, name: str, *, strip_column: int, may_go: Sequence[int] = ()) -> FigureTable:
        """Add a table whose lines Enter opens."""
        table = FigureTable(
            self, name=name, strip_column=strip_column, may_shorten=True, may_go=may_go
        )
        self.column.addWidget(table)
        return table

    def add_tools(self, tools: Iterable[Button]) -> FlowRow:
        """Add a row of buttons below."""
        row = FlowRow(tuple(tools), gap=8)
        self.column.addWidget(row)
        return row

    def opener(self, text: str, form: Callable[[], KitForm]) -> Button:
        """A button that opens a form."""
        button = writes(Button(text, self, size="bar"))
        button.clicked.connect(lambda _on=False: self.open_form(form()))
        return button

    def open_form(self, form: KitForm) -> None:
        """Let a form be filled in."""
        form.done_with.connect(self.done_with)
        self.open(form)

    def open(self, dialog: QDialog) -> None:
        """Open a dialog; it goes when it is closed."""
        self.form = dialog
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    @property
    def may_write(self) -> bool:
        """Whether the diary can be changed just now."""
        return not self.session.why_not


class MoreButton(Button):
    """Offers the lines that are not shown yet."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__("", parent, size="bar")
        self.setVisible(False)

    def offer(self, more: int) -> None:
        """Say how many more there are; with none it goes."""
        self.setText(many(more, "{n} earlier one", "{n} earlier ones"))
        self.setAccessibleName(self.text())
        self.setVisible(more > 0)


def heads(*texts: str, at_end: Sequence[int] = ()) -> list[Head]:
    """The heads of a table; those of numbers stand at the end of their column."""
    return [Head(text, at_end=at in at_end) for at, text in enumerate(texts)]


def cells(*texts: str, at_end: Sequence[int] = (), quiet: Sequence[int] = ()) -> list[Cell]:
    """A line of a table; each cell says its whole text where it is cut short."""
    return [
        Cell(text, said=text, at_end=at in at_end, ink="ink2" if at in quiet else "ink")
        for at, text in enumerate(texts)
    ]
