"""The goals of a person: none yet, published ones as a place to start, or the person's own."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from app.domain.errors import Refused
from app.domain.glucose import LimitPair, Unit, converted, shown
from app.domain.numerals import plain_number
from app.domain.targets import (
    AFTER,
    ALL,
    BEDTIME,
    BEFORE,
    CARE_TEAM_LINE,
    WAKING,
    Limit,
    TargetSet,
    preset,
    presets,
)
from app.look.type import Role
from app.ui.controls import Choice, FieldNote, Label, LineField
from app.ui.controls.drawing import px

NONE, OWN, KEPT = "", "own", "kept"


class _Row(NamedTuple):
    """The two ends of one goal."""

    low: LineField
    high: LineField


class GoalsField(QWidget):
    """A choice of goals, with a small table for the person's own. Signals: changed()."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._unit = Unit.MMOL_L
        self._groups = {
            WAKING: self.tr("waking, fasting"),
            BEFORE: self.tr("before meals"),
            AFTER: self.tr("after meals"),
            BEDTIME: self.tr("bedtime"),
            ALL: self.tr("any other time"),
        }
        self.choice = Choice(
            [
                (self.tr("None yet"), NONE),
                *((each.name, each.key) for each in presets()),
                (self.tr("My own, from the care team"), OWN),
            ],
            self,
            name=self.tr("Targets"),
        )
        self._note = FieldNote(parent=self)
        self._own, self._rows = self._table()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(4))
        for part in (self.choice, self._note, self._own):
            column.addWidget(part)
        self.choice.currentIndexChanged.connect(self._on_chosen)
        self._on_chosen()

    @property
    def texts(self) -> dict[str, str]:
        """What was chosen and typed."""
        typed = {f"{name} low": row.low.text() for name, row in self._rows.items()}
        typed |= {f"{name} high": row.high.text() for name, row in self._rows.items()}
        return {"choice": str(self.choice.value()), **typed}

    def show_texts(self, texts: Mapping[str, str]) -> None:
        """Show what was chosen and typed before."""
        if self.choice.findData(texts.get("choice", NONE)) >= 0:
            self.choice.choose(texts.get("choice", NONE))
        for name, row in self._rows.items():
            row.low.setText(texts.get(f"{name} low", ""))
            row.high.setText(texts.get(f"{name} high", ""))

    def keep(self, name: str) -> None:
        """Offer to leave the goals that are in force, and choose that."""
        self.choice.insertItem(0, self.tr("As they are: {name}").format(name=name), KEPT)
        self.choice.choose(KEPT)

    def show_unit(self, unit: Unit) -> None:
        """Read own goals in this unit."""
        self._unit = unit
        self._on_chosen()

    def targets(self, from_day: int) -> TargetSet | None:
        """The goals in force from a day on; None where nothing is to change.

        Raises
        ------
        Refused
            Own goals hold something that is no limit, or nothing at all.
        """
        chosen = str(self.choice.value())
        if chosen in (NONE, KEPT):
            return None
        if chosen != OWN:
            return preset(chosen).from_day(from_day)
        limits = tuple(
            found for name, row in self._rows.items() if (found := self._limit(name, row))
        )
        if not limits:
            raise Refused(self.tr("Your own targets are empty; type at least one limit."))
        return TargetSet(from_day, self.tr("My own"), self.tr("from the care team"), limits)

    def _limit(self, name: str, row: _Row) -> Limit | None:
        low, high = self._pair(name, row.low), self._pair(name, row.high)
        if low is not None and high is not None and low.mg_dl >= high.mg_dl:
            row.low.setFocus()
            raise Refused(
                self.tr("The target for {group} ends below where it begins.").format(
                    group=self._groups[name]
                )
            )
        return None if low is None and high is None else Limit(name, low, high)

    def _pair(self, name: str, field: LineField) -> LimitPair | None:
        text = field.text().strip()
        if not text:
            return None
        plain = plain_number(text)
        number = 0.0 if plain is None else float(plain)
        mg_dl = converted(number, self._unit, Unit.MG_DL)
        if not 20 <= mg_dl <= 600:
            field.setFocus()
            raise Refused(
                self.tr('"{text}" for {group} is no limit in {unit}.').format(
                    text=text, group=self._groups[name], unit=self._unit
                )
            )
        other = float(shown(converted(number, self._unit, self._unit.other), self._unit.other))
        pair = (number, other) if self._unit is Unit.MG_DL else (other, number)
        return LimitPair(*pair)

    def _table(self) -> tuple[QWidget, dict[str, _Row]]:
        table = QWidget(self)
        grid = QGridLayout(table)
        grid.setContentsMargins(0, px(4), 0, 0)
        grid.setHorizontalSpacing(px(10))
        grid.addWidget(Label(self.tr("from"), table, role=Role.SMALL, ink="ink3"), 0, 1)
        grid.addWidget(Label(self.tr("to"), table, role=Role.SMALL, ink="ink3"), 0, 2)
        rows: dict[str, _Row] = {}
        for at, (name, words) in enumerate(self._groups.items(), 1):
            low = LineField(parent=table, name=self.tr("{group}, from").format(group=words))
            high = LineField(parent=table, name=self.tr("{group}, to").format(group=words))
            grid.addWidget(Label(words, table, ink="ink2"), at, 0)
            grid.addWidget(low, at, 1)
            grid.addWidget(high, at, 2)
            for field in (low, high):
                field.textEdited.connect(lambda _text: self.changed.emit())
            rows[name] = _Row(low, high)
        return table, rows

    def _on_chosen(self) -> None:
        chosen = str(self.choice.value())
        self._own.setVisible(chosen == OWN)
        if chosen == OWN:
            self._note.set_hint(
                self.tr("In {unit}; both ends belong to the target.").format(unit=self._unit)
            )
        elif chosen in (NONE, KEPT):
            self._note.set_hint(
                self.tr(
                    "Those of your care team come first. Until you set them nothing is called "
                    "high; below {limit} is still listed as low."
                ).format(limit="70 mg/dL" if self._unit is Unit.MG_DL else "3.9 mmol/L")
                if chosen == NONE
                else ""
            )
        else:
            self._note.set_hint(f"{preset(chosen).source}. {CARE_TEAM_LINE}")
        self.changed.emit()
