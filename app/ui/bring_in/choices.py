"""How the file is read: text, columns, dates, unit, whose and which meter; each can be changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QWidget

from app.domain.glucose import Unit
from app.domain.person import Person
from app.exchange.recipe import DELIMITERS as SIGNS
from app.ui.bring_in.words import DELIMITERS, ENCODINGS, tr
from app.ui.controls import Choice, Field, FlowRow, LineField
from app.ui.controls.drawing import px
from app.work.picked import LookedAtPicked, Wish

_ANOTHER = "\0another"  # no meter has such a name
_SIGN_NAMES = {sign: name for name, sign in SIGNS.items()}


class ColumnsChoice(Choice):
    """Says which columns are read; opened, it shows a panel instead of a list. Signals: asked()."""

    asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__([("", None)], parent, name=tr("Columns"))

    def say(self, text: str) -> None:
        """Say which columns are read."""
        self.setItemText(0, text)
        self.setAccessibleDescription(text)
        self.updateGeometry()

    def showPopup(self) -> None:
        self.asked.emit()


class Choices(FlowRow):
    """The bar of choices. Signals: wished(Wish), person_chosen(Person), columns_asked()."""

    wished = Signal(object)
    person_chosen = Signal(object)
    columns_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        self.columns = ColumnsChoice()
        self.dates = Choice(name=tr("Dates"))
        self.unit = Choice(name=tr("Unit"))
        self.person = Choice(name=tr("Whose"))
        self.meter = Choice(name=tr("Meter"))
        self.meter_name = LineField(name=tr("Name of the meter"))
        self.delimiter = Choice(name=tr("Between fields"))
        self.encoding = Choice(name=tr("Letters"))
        self.way = Choice(name=tr("Read as"))
        self._person_field = Field(tr("&Whose"), self.person)
        self._name_field = Field(tr("Its &name"), self.meter_name)
        self._way_field = Field(tr("&Read as"), self.way)
        fields = [
            Field(tr("&Columns"), self.columns),
            Field(tr("D&ates"), self.dates),
            Field(tr("&Unit"), self.unit),
            self._person_field,
            Field(tr("&Meter"), self.meter),
            self._name_field,
            Field(tr("Between &fields"), self.delimiter),
            Field(tr("&Letters"), self.encoding),
            self._way_field,
        ]
        super().__init__(fields, parent, gap=12, above=6)
        for field in fields:  # where the row goes on in a second line, that one stands apart
            field.setContentsMargins(0, 0, 0, px(6))
        self._wish = Wish()
        self._persons: dict[int, Person] = {}
        self._name_field.hide()
        self.columns.asked.connect(self.columns_asked)
        for choice in (self.dates, self.unit, self.delimiter, self.encoding):
            choice.activated.connect(self._on_chosen)
        self.meter.activated.connect(self._on_meter)
        self.meter_name.editingFinished.connect(self._on_meter_named)
        self.person.activated.connect(self._on_person)
        self.way.activated.connect(self._on_way)

    def show_file(
        self, looked: LookedAtPicked, wish: Wish, persons: Sequence[Person], person: Person
    ) -> None:
        """Show how a file is read, and what else could be chosen."""
        self._wish = wish
        recipe, read = looked.recipe, looked.read
        self.columns.say(_columns_words(looked))
        orders = {
            "dmy": tr("day, month, year"),
            "mdy": tr("month, day, year"),
            "ymd": tr("year, month, day"),
        }
        order = recipe.date_format or orders.get(read.date_order or "")
        found = order or tr("not known")
        _offer(
            self.dates,
            [(found, None), *((text, each) for each, text in orders.items())],
            wish.date_order,
        )
        found = " / ".join(looked.units)
        _offer(
            self.unit,
            [
                (found or tr("not known"), None),
                *((str(unit), unit.value) for unit in Unit),
            ],
            wish.unit,
        )
        sign = looked.peek.delimiter or read.delimiter
        name = DELIMITERS.get(sign or "", sign or tr("not found"))
        _offer(
            self.delimiter,
            [
                (name, None),
                *((words, _SIGN_NAMES[each]) for each, words in DELIMITERS.items()),
            ],
            wish.delimiter,
        )
        letters = looked.peek.encoding or read.encoding or tr("not known")
        _offer(
            self.encoding,
            [
                (letters, None),
                *((each, each) for each in ENCODINGS),
            ],
            wish.encoding,
        )
        self._offer_meters(looked.meters, wish.meter)
        kept = looked.recipe_name
        known = tr("“{name}”").format(name=kept) if kept else tr("such files before")
        _offer(self.way, [(known, False), (tr("anew"), True)], wish.forget)
        self._way_field.setVisible(bool(kept or wish.forget))
        _offer(self.person, [(each.name, each.id) for each in persons], person.id)
        self._persons = {each.id: each for each in persons}
        self._person_field.setVisible(len(persons) > 1)
        self.settle()

    def _offer_meters(self, meters: Sequence[str], chosen: str | None) -> None:
        names = list(meters)
        if chosen is not None and chosen not in names:
            names.append(chosen)
        lines: list[tuple[str, object]] = [(tr("no memory of a meter"), None)]
        lines += [(name, name) for name in names]
        _offer(self.meter, [*lines, (tr("another meter…"), _ANOTHER)], chosen)
        self._name_field.hide()

    def _on_chosen(self, _at: int) -> None:
        self.wished.emit(
            replace(
                self._wish,
                date_order=_text(self.dates),
                unit=_text(self.unit),
                delimiter=_text(self.delimiter),
                encoding=_text(self.encoding),
            )
        )

    def _on_meter(self, _at: int) -> None:
        name = _text(self.meter)
        self._name_field.setVisible(name == _ANOTHER)
        self.settle()
        if name == _ANOTHER:
            self.meter_name.clear()
            self.meter_name.setFocus()
        else:
            self.wished.emit(replace(self._wish, meter=name))

    def _on_meter_named(self) -> None:
        name = " ".join(self.meter_name.text().split())
        if name and name != self._wish.meter and _text(self.meter) == _ANOTHER:
            self.wished.emit(replace(self._wish, meter=name))

    def _on_way(self, _at: int) -> None:
        self.wished.emit(Wish(meter=self._wish.meter, forget=bool(self.way.value())))

    def _on_person(self, _at: int) -> None:
        chosen = self._persons.get(int(str(self.person.value())))
        if chosen is not None:
            self.person_chosen.emit(chosen)


def _offer(choice: Choice, lines: Sequence[tuple[str, object]], chosen: object) -> None:
    with QSignalBlocker(choice):
        choice.clear()
        for text, value in lines:
            choice.addItem(text, value)
        values = [value for _, value in lines]
        choice.setCurrentIndex(values.index(chosen) if chosen in values else 0)
    choice.updateGeometry()


def _text(choice: Choice) -> str | None:
    value = choice.value()
    return None if value is None else str(value)


def _columns_words(looked: LookedAtPicked) -> str:
    """Which columns are read: "date ; time ; value ; mark"."""
    roles = looked.read.roles or looked.peek.roles
    if not roles:
        return tr("not known yet")
    in_order = sorted(roles, key=lambda each: each[1])
    return " ; ".join(role_words(role) for role, _ in in_order)


def role_words(role: str) -> str:
    """What a column holds, in a word."""
    return {
        "date": tr("date"),
        "time": tr("time"),
        "datetime": tr("date and time"),
        "value": tr("value"),
        "unit": tr("unit"),
        "code": tr("kind"),
        "mark": tr("mark"),
        "minutes_after": tr("minutes after"),
        "note": tr("note"),
        "tags": tr("tags"),
        "site": tr("site"),
        "meter": tr("meter"),
    }.get(role, role)
