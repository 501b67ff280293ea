"""The evidence for what was picked: how sure it is, what went before, and every reading of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from app.domain.glucose import Bound, Unit
from app.domain.levels import Level
from app.look.icons import Icon
from app.look.marks import MarkLook
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role
from app.review.at_once import AtOnce
from app.review.pattern_words import before_words, sure_words, tell_words
from app.review.patterns import Pattern, PatternsFound
from app.review.seen import Seen
from app.ui.controls import FlatButton, Label, WrapLabel
from app.ui.controls.drawing import px
from app.ui.patterns import words
from app.ui.patterns.evidence_list import EvidenceList, Item
from app.ui.patterns.prose import Prose
from app.ui.patterns.words import tr
from app.ui.reading_words import mark_name
from app.ui.session import Session
from app.ui.words import count_words, joined, number_words, short_moment_words


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the panel shows: a title, sentences, and readings the oldest first."""

    title: str
    sentences: tuple[str, ...]
    items: tuple[Item, ...]


class EvidencePanel(QFrame):
    """Signals: day_asked(date), closed()."""

    day_asked = Signal(object)
    closed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title = WrapLabel("", self, role=Role.STRONG)
        self._close = FlatButton(
            "", self, size="bar", icon=Icon.CROSS, name=tr("Close the evidence")
        )
        self._sentences = Prose("", self, role=Role.SMALL, ink="ink2")
        self.list = EvidenceList(self)
        self._hint = Label(tr("Enter opens the day"), self, role=Role.SMALL, ink="ink3")
        head = QHBoxLayout()
        head.setContentsMargins(0, 0, 0, 0)
        head.addWidget(self._title, 1, Qt.AlignmentFlag.AlignVCenter)
        head.addWidget(self._hint)
        head.addWidget(self._close)
        self._column = QVBoxLayout(self)
        self._column.addLayout(head)
        self._column.addWidget(self._sentences)
        self._column.addWidget(self.list)
        self.list.day_asked.connect(self.day_asked)
        self.list.left.connect(self.closed)
        self._close.clicked.connect(self.closed)
        follow_theme(self._restyle)

    def show_evidence(self, evidence: Evidence) -> None:
        """Show other evidence, with the focus on its first reading."""
        self._title.setText(evidence.title)
        self._sentences.setText("\n".join(evidence.sentences))
        self._sentences.setVisible(bool(evidence.sentences))
        self.list.show_items(evidence.items, name=evidence.title)
        self.list.setVisible(bool(evidence.items))
        self._hint.setVisible(bool(evidence.items))
        self.setAccessibleName(joined([evidence.title, *evidence.sentences]))
        self.setVisible(True)

    def take_focus(self) -> None:
        """Go to the first reading, or to the way out where there is none."""
        first = self.list if self.list.items else self._close
        first.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.closed.emit()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        painter.fillRect(self.rect(), QColor(tokens.hover))
        painter.fillRect(0, 0, self.width(), 1, QColor(tokens.line))
        painter.fillRect(0, self.height() - 1, self.width(), 1, QColor(tokens.line))
        painter.end()

    def _restyle(self) -> None:
        self._column.setContentsMargins(px(12), px(6), px(8), px(8))
        self._column.setSpacing(px(4))
        self.update()


def of_patterns(patterns: Sequence[Pattern], found: PatternsFound, session: Session) -> Evidence:
    """The evidence for one pattern, or for several of them together."""
    unit = found.unit
    hits = sorted(
        ((hit, pattern) for pattern in patterns for hit in pattern.hits),
        key=lambda each: (each[0].wall, each[0].id),
    )
    several = len(patterns) > 1
    items = tuple(_item(hit, pattern, session, slot=several) for hit, pattern in hits)
    if several:
        title = tr("{step}: every reading").format(step=words.step_name(patterns[0].step))
        return Evidence(title, tuple(_in_a_line(each) for each in patterns), items)
    pattern = patterns[0]
    title = tr("{name}: {count} days").format(name=words.name(pattern), count=words.count(pattern))
    said = [
        f"{words.what(pattern, unit)}; {sure_words(pattern)}; {tell_words(pattern)}",
        *_looked_left(pattern),
    ]
    return Evidence(title, tuple(said), items)


def of_what_is_first(listed: Sequence[AtOnce], title: str, session: Session) -> Evidence:
    """Everything that is listed before any counting, the newest first."""
    return Evidence(title, (), tuple(item_at_once(each, session) for each in listed))


def item_at_once(each: AtOnce, session: Session) -> Item:
    """A reading far below, or help that was needed."""
    person = session.person
    notes = []
    if each.reading is None:
        wall = each.help.at.local if each.help else session.now().replace(tzinfo=None)
        look, value, day = None, "", wall.date()
    else:
        reading = each.reading
        wall, look = reading.wall, look_of(reading)
        value, day = _value(reading, person.unit), wall.fromordinal(reading.day).date()
        notes += [tr("in doubt")] if reading.in_doubt else []
    notes += [tr("set aside")] if each.set_aside else []
    notes += [tr("recheck")] if each.recheck else []
    if each.help is not None:
        notes.append(each.help.what or tr("help was needed"))
    when = short_moment_words(wall, session.today(), person)
    return Item(look, value, ", ".join([when, *notes]), day)


def look_of(reading: Seen) -> MarkLook:
    """The sign of a reading."""
    bound = reading.glucose.bound
    off = bound if bound in (Bound.BELOW, Bound.ABOVE) else Bound.EXACT
    return MarkLook(reading.level, doubt=reading.in_doubt, off_scale=off)


def _item(hit: Seen, pattern: Pattern, session: Session, *, slot: bool) -> Item:
    look = look_of(hit)
    if look.level is Level.IN_RANGE:  # beyond the goal of its slot, within the published levels
        look = replace(look, level=words.sign_of(pattern).level)
    when = short_moment_words(hit.wall, session.today(), session.person)
    if slot:
        when = f"{when}, {mark_name(hit.mark)}"
    value = _value(hit, session.person.unit)
    return Item(look, value, when, hit.wall.fromordinal(hit.day).date())


def _value(reading: Seen, unit: Unit) -> str:
    """Its value, with as many decimals as all of them; "LO" and "HI" speak for themselves."""
    text = number_words(reading.glucose.shown(unit))
    return text if reading.glucose.number is None else f"{text} {unit}"


def _in_a_line(pattern: Pattern) -> str:
    return f"{words.name(pattern)} {words.count(pattern)}: {tell_words(pattern)}"


def _looked_left(pattern: Pattern) -> Iterator[str]:
    before = before_words(pattern)
    hours = count_words(pattern.before.hours)
    if not pattern.hits:
        return
    if not before:
        yield tr("Written in the {hours} h before: nothing more than once.").format(hours=hours)
    for line in before:
        yield tr("Written in the {hours} h {line}").format(hours=hours, line=line)
