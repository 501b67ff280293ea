"""What each column of the file is, to be chosen beside what it holds."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.exchange.recipe import ROLES
from app.look.type import Role
from app.ui.bring_in.choices import role_words
from app.ui.bring_in.words import tr
from app.ui.controls import Button, Choice, Field, FlowRow, Label
from app.ui.controls.drawing import px
from app.work.picked import LookedAtPicked

MOST = 14  # columns that are offered; files of meters have fewer
_LONGEST = 18


class ColumnsPanel(QWidget):
    """A choice for each column. Signals: tried(roles) as one changes, chosen(roles) by the button.

    `roles` is a dict of each role to its place.
    """

    tried = Signal(object)
    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.choices: list[Choice] = []
        self._shape: tuple[str, ...] = ()
        self._row: FlowRow | None = None
        self.use = Button(tr("Read it this way"), self)
        self.use.clicked.connect(self._on_use)
        self._words = Label("", self, role=Role.SMALL, ink="ink3", wrap=True)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(px(6))
        self._column.addWidget(self._words)
        self._column.addWidget(self.use)
        self.hide()

    def show_file(self, looked: LookedAtPicked, wished: Mapping[str, int] | None) -> None:
        """Offer the columns of a file; what is known of them is chosen."""
        titles = looked.peek.titles
        if titles != self._shape:
            self._build(titles)
        known = dict(wished or looked.read.roles or looked.peek.roles)
        by_place = {place: role for role, place in known.items()}
        for place, choice in enumerate(self.choices):
            with QSignalBlocker(choice):
                choice.choose(by_place.get(place, ""))
        self._say()

    def take_focus(self) -> None:
        """To the button where all is said, else to the first column."""
        (self.use if self.use.isEnabled() else self.choices[0]).setFocus()

    def roles(self) -> dict[str, int]:
        """What was chosen: each role with its column, from 0."""
        return {str(c.value()): place for place, c in enumerate(self.choices) if c.value()}

    def _build(self, titles: tuple[str, ...]) -> None:
        if self._row is not None:
            self._column.removeWidget(self._row)
            self._row.deleteLater()
        self._shape, self.choices = titles, []
        lines = [(tr("not read"), ""), *((role_words(role), role) for role in ROLES)]
        fields = []
        for place, title in enumerate(titles[:MOST], 1):
            name = title.strip()[:_LONGEST] or tr("column {n}").format(n=place)
            choice = Choice(lines, self, name=name)
            choice.activated.connect(self._on_activated)
            self.choices.append(choice)
            fields.append(Field(name.replace("&", "&&"), choice, self))
        self._row = FlowRow(fields, self, gap=8)
        self._column.insertWidget(0, self._row)
        self._row.show()

    def _on_activated(self, _at: int) -> None:
        self._say()
        if self.use.isEnabled():
            self.tried.emit(self.roles())

    def _on_use(self) -> None:
        self.chosen.emit(self.roles())

    def _say(self) -> None:
        roles = self.roles()
        said = [str(choice.value()) for choice in self.choices if choice.value()]
        twice = sorted({role for role in said if said.count(role) > 1})
        if twice:
            self._words.setText(
                tr("Two columns are both “{role}”; a row can have one.").format(
                    role=role_words(twice[0])
                )
            )
        elif "value" not in roles or not {"date", "datetime"} & roles.keys():
            self._words.setText(tr("A reading needs at least a date and a value."))
        else:
            self._words.setText(tr("Which column is what? Look whether this is right."))
        self.use.setEnabled(
            not twice and "value" in roles and bool({"date", "datetime"} & roles.keys())
        )
