"""One slot as a column of text: broken into lines once, painted as often as it is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter

from app.domain.glucose import Unit
from app.domain.levels import Level
from app.look.marks import MarkLook, paint_mark
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.review.modal_day_slots import SlotBox
from app.ui.controls.drawing import px
from app.ui.controls.wrapping import lines_of
from app.ui.modal_day.words import goal_text, range_text, tr
from app.ui.reading_words import slot_name
from app.ui.words import count_words, figure_text

_SIGN = 14
_SPILL = 10  # px that the last word of a column may reach into the gap


@dataclass(frozen=True, slots=True)
class SlotTexts:
    """What stands in a column. `few` stands in place of the number; signs are counts by level."""

    head: str
    name: str
    number: str
    half: str
    few: str
    n: str
    goal: str
    signs: tuple[tuple[Level, str], ...]


@dataclass(frozen=True, slots=True)
class Broken:
    """A column broken into lines for one width, with the height of each of its parts."""

    texts: SlotTexts
    name: tuple[str, ...]
    few: tuple[str, ...]
    goal: tuple[str, ...]
    half_below: bool
    signs_below: bool
    heights: tuple[float, ...]


def slot_texts(slot: SlotBox, unit: Unit) -> SlotTexts:
    """The texts of a slot."""
    head, name = slot_name(slot.mark)
    few = "" if slot.has_box else tr("never tested") if not slot.n else tr("too few")
    low = Level.VERY_LOW if slot.lows == slot.far_lows else Level.LOW
    high = Level.VERY_HIGH if slot.highs == slot.far_highs else Level.HIGH
    return SlotTexts(
        head=head,
        name=name,
        number="" if few else figure_text(slot.median, unit),
        half="" if few else range_text(slot, unit),
        few=few,
        n=tr("n {n}").format(n=count_words(slot.n)),
        goal=goal_text(slot),
        signs=tuple(
            (level, count_words(count))
            for level, count in ((low, slot.lows), (high, slot.highs))
            if count
        ),
    )


class Letters:
    """The fonts of the columns and their metrics, made once for a text size."""

    def __init__(self) -> None:
        roles = (Role.SMALL, Role.SMALL_STRONG, Role.STRONG, Role.BODY, Role.SLOT)
        self._fonts = {role: font(role) for role in roles}
        self._metrics = {role: QFontMetricsF(made) for role, made in self._fonts.items()}

    def font(self, role: Role) -> QFont:
        """The font of a role."""
        return self._fonts[role]

    def metrics(self, role: Role) -> QFontMetricsF:
        """Its metrics."""
        return self._metrics[role]

    def tall(self, role: Role) -> float:
        """The height of its line."""
        return self._metrics[role].height()

    def wide(self, text: str, role: Role) -> float:
        """The width of a text in it."""
        return self._metrics[role].horizontalAdvance(text)

    def lines(self, text: str, role: Role, width: float) -> tuple[str, ...]:
        """A text broken between its words."""
        return lines_of(text, self._metrics[role].horizontalAdvance, width)

    def longest_word(self, texts: SlotTexts, name: Role) -> float:
        """The least width of a column in which nothing is cut."""
        words = [self.wide(word, name) for word in texts.name.split()]
        return max([*words, self.wide(texts.number, Role.SLOT)])


def broken(texts: SlotTexts, letters: Letters, width: float, name: Role) -> Broken:
    """Break a column into lines; where it is narrow, hits against the goal are left out."""
    beside = letters.wide(texts.number, Role.SLOT) + px(8) + letters.wide(texts.half, Role.SMALL)
    half_below = bool(texts.half) and beside > width
    signs = sum(px(_SIGN + 10) + letters.wide(text, Role.SMALL_STRONG) for _, text in texts.signs)
    signs_below = bool(texts.signs) and letters.wide(texts.n, Role.SMALL) + signs > width
    names = letters.lines(texts.name, name, width)
    few = letters.lines(texts.few, Role.BODY, width)
    goal = letters.lines(texts.goal, Role.SMALL, width) if name is Role.STRONG else ()
    small = letters.tall(Role.SMALL)
    heights = (
        px(6),
        small,
        letters.tall(name) * len(names),
        px(3),
        max(
            letters.tall(Role.SLOT) + small * half_below,
            letters.tall(Role.BODY) * len(few),
        ),
        small * (1 + signs_below) + px(2),
        small * len(goal),
    )
    return Broken(texts, names, few, goal, half_below, signs_below, heights)


class ColumnPainter:
    """Paints broken columns."""

    def __init__(
        self, painter: QPainter, tokens: Tokens, letters: Letters, width: float, name: Role
    ) -> None:
        self._painter, self._tokens, self._letters = painter, tokens, letters
        self._width, self._name = width, name

    def paint(self, column: Broken, at: QPointF, heights: Sequence[float]) -> None:
        """Paint one from its upper left corner on, its parts as high as its neighbours'."""
        tops = [at.y()]
        for height in heights:
            tops.append(tops[-1] + height)
        texts, inks, letters, left = column.texts, self._tokens, self._letters, at.x()
        self._text(texts.head, Role.SMALL, inks.ink3, left, tops[1])
        self._texts(column.name, self._name, inks.ink, left, tops[2])
        if texts.few:
            spare = letters.tall(Role.SLOT) - letters.tall(Role.BODY)
            drop = max(spare, 0) * 0.7 if len(column.few) == 1 else 0.0
            self._texts(column.few, Role.BODY, inks.ink2, left, tops[4] + drop)
        else:
            self._text(texts.number, Role.SLOT, inks.ink, left, tops[4])
            if column.half_below:
                below = tops[4] + letters.tall(Role.SLOT)
                self._text(texts.half, Role.SMALL, inks.ink2, left, below)
            else:
                beside = left + letters.wide(texts.number, Role.SLOT) + px(8)
                deep = letters.metrics(Role.SLOT).ascent() - letters.metrics(Role.SMALL).ascent()
                self._text(texts.half, Role.SMALL, inks.ink2, beside, tops[4] + deep)
        self._text(texts.n, Role.SMALL, inks.ink3, left, tops[5])
        self._signs(column, left, tops[5])
        self._texts(column.goal, Role.SMALL, inks.ink3, left, tops[6])

    def _signs(self, column: Broken, left: float, top: float) -> None:
        letters, tall = self._letters, self._letters.tall(Role.SMALL)
        if column.signs_below:
            top += tall
        else:
            left += letters.wide(column.texts.n, Role.SMALL) + px(10)
        for level, text in column.texts.signs:
            middle = QPointF(left + px(_SIGN) / 2, top + tall / 2)
            paint_mark(self._painter, middle, MarkLook(level), self._tokens, text_scale() * 0.9)
            left += px(_SIGN) + px(2)
            self._text(text, Role.SMALL_STRONG, self._tokens.level_text(level), left, top)
            left += letters.wide(text, Role.SMALL_STRONG) + px(8)

    def _texts(self, lines: Sequence[str], role: Role, ink: str, left: float, top: float) -> None:
        for row, line in enumerate(lines):
            self._text(line, role, ink, left, top + row * self._letters.tall(role))

    def _text(self, text: str, role: Role, ink: str, left: float, top: float) -> None:
        if not text:
            return
        metrics = self._letters.metrics(role)
        self._painter.setFont(self._letters.font(role))
        self._painter.setPen(QColor(ink))
        if metrics.horizontalAdvance(text) > self._width + px(_SPILL):
            room = self._width + px(_SPILL)
            text = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room)
        self._painter.drawText(QPointF(left, top + metrics.ascent()), text)
