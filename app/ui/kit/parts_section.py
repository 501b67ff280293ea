"""Solution, lancing device, lancets and batteries on the Kit page, and what happened to the kit."""

from __future__ import annotations

from datetime import UTC, datetime

from PySide6.QtWidgets import QWidget

from app.domain.clock import zone_named
from app.domain.kit import KitEvent, KitItem, Solution
from app.review.kit import KitShown
from app.ui.controls import TextColumn
from app.ui.figures.cells import Cell
from app.ui.kit.kit_section import KitSection, MoreButton, cells, heads
from app.ui.kit.part_forms import ItemForm, SolutionForm
from app.ui.kit.part_words import event_name, item_name
from app.ui.kit.removing import RemovingForm
from app.ui.kit.words import day_named, level_name, tr
from app.ui.session import Session
from app.ui.words import clock_words, joined

FEW = 6
_Thing = Solution | KitItem | KitEvent


class PartsSection(KitSection):
    """Enter on a line opens it."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, tr("Solution, parts and what happened"), parent)
        self._all = False
        self._things: list[_Thing] = []
        self.table = self.add_table(tr("Solution, parts and what happened"), strip_column=2)
        self.more = MoreButton(self)
        self.more.clicked.connect(self._on_more)
        self.solution = self.opener(tr("New solution…"), self._new_solution)
        self.item = self.opener(tr("New part…"), self._new_item)
        self.add_tools((self.solution, self.item, self.more))
        self.table.picked.connect(self._on_picked)

    def show_kit(self, found: KitShown) -> None:
        if self.found is not None and self.found.person != found.person:
            self._all = False
        self.found = found
        self.setVisible(bool(found.meters))
        events = sorted(found.events, key=lambda each: -each.at)
        things: list[_Thing] = [*reversed(found.solutions), *found.items, *events]
        keep = max(FEW, len(found.items) + FEW)
        self._things = things if self._all else things[:keep]
        self.table.cells.set_cells(
            heads(tr("What"), tr("Which"), tr("Until when, or when")),
            [_line(each, found) for each in self._things],
        )
        self.table.setVisible(bool(things))
        self.more.offer(len(things) - len(self._things))

    def _on_more(self) -> None:
        self._all = True
        if self.found is not None:
            self.show_kit(self.found)
            self.table.setFocus()

    def _on_picked(self, _column: int) -> None:
        if self.found is None or not self.may_write:
            return
        thing = self._things[self.table.currentIndex().row()]
        if isinstance(thing, Solution):
            self.open_form(SolutionForm(self.session, self.found, self, bottle=thing))
        else:
            self.open_form(ThingForm(self.session, thing, self.found, self))

    def _new_solution(self) -> SolutionForm:
        assert self.found is not None
        return SolutionForm(self.session, self.found, self)

    def _new_item(self) -> ItemForm:
        assert self.found is not None
        return ItemForm(self.session, self.found, self)


class ThingForm(RemovingForm):
    """A part, or something that happened: shown, and put into the bin if it is wrong."""

    def __init__(
        self, session: Session, thing: KitItem | KitEvent, found: KitShown, parent: QWidget
    ) -> None:
        what, which, when = _texts(thing, found)
        super().__init__(session, what, parent)
        self.add_field(TextColumn(joined((which, when)), self))
        table = "kit_item" if isinstance(thing, KitItem) else "kit_event"
        self.let_remove(table, thing.id, thing.uid, which or what)
        self.close_up()
        self.save.setVisible(False)
        self.leave.setDefault(True)
        self.leave.setFocus()

    def write(self, now: datetime) -> str:
        raise RuntimeError(f"nothing is typed here, at {now}")


def _line(thing: _Thing, found: KitShown) -> list[Cell]:
    return cells(*_texts(thing, found), quiet=(2,))


def _texts(thing: _Thing, found: KitShown) -> tuple[str, str, str]:
    today, person = found.today, found.person
    if isinstance(thing, KitItem):
        return item_name(thing.kind), thing.name, ""
    if isinstance(thing, KitEvent):
        wall = datetime.fromtimestamp(thing.at, UTC).astimezone(zone_named(person.zone))
        day = day_named(wall.date().toordinal(), today, person)
        when = joined((f"{day} {clock_words(wall, person)}", thing.note or ""))
        return event_name(thing.kind), _named(thing, found), when
    level = tr("control solution, {level}").format(level=level_name(thing.level))
    last = thing.last_good_day
    if last is None:
        return level, thing.name, tr("no date known")
    day = day_named(last, today, person)
    over = tr("out of date since {day}") if last < today else tr("good until {day}")
    return level, thing.name, over.format(day=day)


def _named(event: KitEvent, found: KitShown) -> str:
    names = (
        *(each.meter.name for each in found.meters if each.meter.id == event.meter),
        *(each.vial.name for each in found.vials if each.vial.id == event.vial),
        *(each.name for each in found.items if each.id == event.item),
    )
    return ", ".join(names)
