"""Choosing a plan of the trade or changing the running one, test by test."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from PySide6.QtCore import QDate, Qt
from PySide6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from app.domain.errors import DiaryError
from app.domain.plan_files import OWN, TradePlan, trade_plans
from app.domain.plan_rows import RuleRow, row_of, rule_of
from app.domain.plans import Plan, PlanRule
from app.look.type import Role
from app.ui.controls import (
    Button,
    CheckBox,
    Choice,
    DateField,
    Field,
    FieldNote,
    FlowRow,
    Hairline,
    Label,
    LineField,
    SectionTitle,
    TextColumn,
)
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import scrolled
from app.ui.plan.rule_form import RuleForm, fresh_row
from app.ui.plan.words import many, tr
from app.ui.said import Said
from app.ui.session import Session
from app.ui.words import date_format, day_words
from app.work.plan import change_plan, set_plan


class PlanDialog(QDialog):
    """A plan as a form; Esc leaves everything as it was, and what was saved can be undone.

    Parameters
    ----------
    changing : Plan, optional
        The version that another takes the place of; without it a plan is chosen.
    running : sequence of Plan
        What is in force: a chosen plan ends it, or goes beside it.
    """

    def __init__(
        self,
        session: Session,
        parent: QWidget,
        *,
        changing: Plan | None = None,
        running: Sequence[Plan] = (),
    ) -> None:
        super().__init__(parent)
        self._session, self._changing, self._running = session, changing, tuple(running)
        self._person, self._today = session.person, session.today()
        self._trade: dict[str, TradePlan] = {each.key: each for each in trade_plans()}
        self.tests: list[RuleForm] = []
        title = tr("Change the plan") if changing else tr("Choose a plan")
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._build(title)
        self._connect()
        if changing is not None:
            self.name.setText(changing.name)
            self._show_tests([row_of(rule) for rule in changing.rules])
            if changing.to_day is not None:
                self._show_end(date.fromordinal(changing.to_day))
        else:
            self._on_kind()
        self.resize(px(720), min(px(720), parent.height()))
        (self.kind if changing is None else self.tests[0].mark).setFocus()

    def plan(self) -> Plan:
        """The plan as the form says it now.

        Raises
        ------
        Refused
            A test makes no sense.
        """
        first, last = _day(self.first), _day(self.last) if self.ends.isChecked() else None
        rules = tuple(self._rule(form, first) for form in self.tests)
        kind, source = self._kind_and_source(rules)
        return Plan(
            name=" ".join(self.name.text().split()) or tr("Own plan"),
            kind=kind,
            source=source,
            from_day=first.toordinal(),
            to_day=None if last is None else last.toordinal(),
            rules=rules,
        )

    def _rule(self, form: RuleForm, first: date) -> PlanRule:
        """The rule of a form; a chosen plan takes its turns from its own first day."""
        row = form.row()
        rule = rule_of(row, first)
        if self._changing is None and row.kept is not None:
            away = first - self._today
            return replace(rule, start=datetime.combine(row.kept.start + away, rule.start.time()))
        return rule

    def _build(self, title: str) -> None:
        self.kind = Choice(
            [*((tr(each.name), each.key) for each in self._trade.values()), (tr("My own"), OWN)],
            name=tr("Plan to begin with"),
        )
        self._source = TextColumn("", role=Role.SMALL, ink="ink2")
        self.name = LineField(name=tr("Name of the plan"))
        order = date_format(self._person.date_order)
        today = QDate(self._today.year, self._today.month, self._today.day)
        self.first = DateField(today, order=order, name=tr("In force from"))
        self.ends = CheckBox(tr("to"))
        self.last = DateField(today, order=order, name=tr("Last day of the plan"))
        self.beside = CheckBox(tr("beside the running plan"))
        self.add = Button(tr("Add a test"), size="bar")
        self._effect = TextColumn("", role=Role.SMALL, ink="ink2")
        self._trouble = FieldNote(parent=self)
        self.saves = Button(tr("&Save"), self, main=True)
        self.leaves = Button(tr("Cancel"), self)
        inner = QWidget(self)
        inner.setObjectName("scrolled")
        column = QVBoxLayout(inner)
        column.setContentsMargins(px(24), px(20), px(24), px(8))
        column.setSpacing(px(10))
        column.addWidget(Label(title, inner, role=Role.TITLE))
        if self._changing is None:
            column.addWidget(Field(tr("Plan to begin with"), self.kind))
            column.addWidget(self._source)
        column.addWidget(Field(tr("Name"), self.name))
        column.addWidget(SectionTitle(tr("Tests"), inner))
        self._tests = QVBoxLayout()
        self._tests.setSpacing(px(8))
        column.addLayout(self._tests)
        self._when = FlowRow(
            [Label(tr("In force from"), ink="ink2"), self.first, self.ends, self.last, self.beside],
            inner,
        )
        column.addWidget(FlowRow([self.add], inner))
        column.addWidget(Hairline(inner))
        column.addWidget(self._when)
        column.addWidget(self._effect)
        column.addStretch(1)
        area = scrolled(inner, self)
        self._area, self._inner = area, inner
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(area)
        row = QHBoxLayout()
        row.setContentsMargins(px(24), 0, px(24), 0)
        row.addWidget(self._trouble)
        whole.addLayout(row)
        last = QHBoxLayout()
        last.setContentsMargins(px(24), px(8), px(24), px(16))
        last.addStretch(1)
        last.addWidget(self.leaves)
        last.addWidget(self.saves)
        whole.addLayout(last)

    def _connect(self) -> None:
        self.kind.activated.connect(self._on_kind)
        self.add.clicked.connect(self._on_add)
        self.saves.clicked.connect(self._on_save)
        self.leaves.clicked.connect(self.reject)
        self.first.dateChanged.connect(self._on_changed)
        self.last.dateChanged.connect(self._on_changed)
        self.ends.toggled.connect(self._on_changed)
        self.beside.toggled.connect(self._on_changed)

    def _on_kind(self) -> None:
        """Fill the form from a plan of the trade, or with one test to begin one's own with."""
        trade = self._trade.get(str(self.kind.value()))
        if trade is None:
            self._source.setText("")
            self.name.setText(tr("Own plan"))
            self._show_tests([fresh_row()])
            self._show_end(None)
            return
        plan = trade.in_force(self._today)
        self._source.setText(
            tr("{source}. What your own care team agreed with you comes first.").format(
                source=trade.source
            )
        )
        self.name.setText(tr(trade.name))
        self._show_tests([row_of(rule) for rule in plan.rules])
        self._show_end(None if plan.to_day is None else date.fromordinal(plan.to_day))

    def _kind_and_source(self, rules: Sequence[object]) -> tuple[str, str | None]:
        """A plan that somebody changed no longer is that of its source."""
        if self._changing is not None:
            same = tuple(self._changing.rules) == tuple(rules)
            return (self._changing.kind, self._changing.source) if same else (OWN, None)
        trade = self._trade.get(str(self.kind.value()))
        same = trade is not None and tuple(trade.in_force(_day(self.first)).rules) == tuple(rules)
        return (trade.key, trade.source) if trade is not None and same else (OWN, None)

    def _show_end(self, last: date | None) -> None:
        self.ends.setChecked(last is not None)
        if last is not None:
            self.last.setDate(QDate(last.year, last.month, last.day))
            self.beside.setChecked(bool(self._running))
        self._on_changed()

    def _show_tests(self, rows: Sequence[RuleRow]) -> None:
        for form in self.tests:
            self._tests.removeWidget(form)
            form.hide()
            form.deleteLater()
        self.tests = []
        for row in rows:
            self._add_test(row)
        self._on_changed()

    def _add_test(self, row: RuleRow) -> RuleForm:
        form = RuleForm(row, self._person, self._today, self)
        form.changed.connect(self._on_changed)
        form.removed.connect(lambda form=form: self._on_removed(form))
        self._tests.addWidget(form)
        self.tests.append(form)
        before = self.tests[-2].remove if len(self.tests) > 1 else self.name
        self.setTabOrder(before, form.mark)
        return form

    def _on_add(self) -> None:
        form = self._add_test(fresh_row())
        form.take_focus()
        self._on_changed()
        self._inner.adjustSize()
        self._area.ensureWidgetVisible(form)

    def _on_removed(self, form: RuleForm) -> None:
        at = self.tests.index(form)
        self.tests.remove(form)
        self._tests.removeWidget(form)
        form.hide()
        form.deleteLater()
        if self.tests:
            self.tests[min(at, len(self.tests) - 1)].take_focus()
        else:
            self.add.setFocus()
        self._on_changed()

    def _on_changed(self) -> None:
        self._trouble.clear_error()
        self.last.setVisible(self.ends.isChecked())
        self.beside.setVisible(self._changing is None and bool(self._running))
        self._when.settle()
        self._effect.setText(self._effect_words())

    def _effect_words(self) -> str:
        """What saving does, before it is done."""
        first = day_words(_day(self.first), self._person.date_order)
        n = many(len(self.tests), "{n} test", "{n} tests")
        said = [tr("{tests} in force from {day}.").format(tests=n, day=first)]
        ending = [self._changing] if self._changing else list(self._running)
        if self._changing is None and self.beside.isChecked():
            ending = []
        before = day_words(_day(self.first) - timedelta(days=1), self._person.date_order)
        said += [
            tr("“{plan}” ends on {day}; what it planned until then stays.").format(
                plan=plan.name, day=before
            )
            for plan in ending
            if plan.from_day < _day(self.first).toordinal()
        ]
        said.append(tr("Undo takes it back."))
        return " ".join(said)

    def _on_save(self) -> None:
        session, now = self._session, self._session.now()
        try:
            plan = self.plan()
            if self._changing is not None:
                done = change_plan(session.diary, self._person, self._changing, plan, now=now)
            else:
                beside = self.beside.isChecked() and bool(self._running)
                done = set_plan(session.diary, self._person, plan, now=now, beside=beside)
        except DiaryError as trouble:
            self._trouble.show_error(str(trouble))
            return
        session.changed(Said(done.sentence))
        self.accept()


def _day(field: DateField) -> date:
    day = field.date()
    return date(day.year(), day.month(), day.day())
