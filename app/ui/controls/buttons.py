"""Buttons: outlined, the one ink-filled main button of a page, and flat ones for side ways."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from app.look.icons import Icon, paint_icon
from app.look.theme import follow_theme, tokens_now
from app.look.tokens import Tokens
from app.look.type import Role, font
from app.ui.controls.drawing import (
    RESERVE,
    leading,
    mirrored,
    mnemonic_flag,
    paint_box,
    paint_ring,
    px,
    text_size,
    trailing,
)

_GAP = 8
_ICON = 14
_ARROWS = (Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Down)


class Button(QPushButton):
    """A button with an outline; `main` fills it with ink, at most once a page. Signals: clicked.

    Parameters
    ----------
    text : str
        With "&" before its mnemonic. Empty for an icon alone, which then needs `name`.
    main : bool
        The one button that a page is there for.
    size : {"bar", "normal", "form"}
        26, 30 or 34 px high at a text size of 13 px.
    icon : Icon, optional
        Before the text.
    hint : str
        Quiet words at the far end: a key, or what the choice means.
    wide : bool
        Text at the leading side and as wide as there is room, for lists of answers.
    name : str
        What a screen reader says, where that is not the text.
    """

    _PADDING = 12

    def __init__(
        self,
        text: str = "",
        parent: QWidget | None = None,
        *,
        main: bool = False,
        size: str = "normal",
        icon: Icon | None = None,
        hint: str = "",
        wide: bool = False,
        name: str = "",
    ) -> None:
        super().__init__(text, parent)
        self._main, self._icon, self._hint, self._wide = main, icon, hint, wide
        self._around = {"bar": 10, "normal": 14, "form": 18}[size]
        self.setAutoDefault(False)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setSizePolicy(
            QSizePolicy.Policy.MinimumExpanding if wide else QSizePolicy.Policy.Fixed,
            QSizePolicy.Policy.Fixed,
        )
        plain = text.replace("&", "")
        self.setAccessibleName(name or (f"{plain}, {hint}" if hint else plain))
        if name and not text:
            self.setToolTip(name)
        follow_theme(self._restyle)

    def set_hint(self, hint: str) -> None:
        """Change the quiet words."""
        self._hint = hint
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        metrics = QFontMetrics(self._text_font())
        width = metrics.height() if not self.text() else text_size(metrics, self.text()).width()
        if self._icon is not None and self.text():
            width += px(_ICON) + px(_GAP)
        if self.menu() is not None:
            width += px(_ICON) + px(_GAP)
        if self._hint:
            width += text_size(QFontMetrics(font(Role.SMALL)), self._hint).width() + px(2 * _GAP)
        return QSize(
            width + 2 * px(self._PADDING) + 2 * RESERVE,
            metrics.height() + px(self._around) + 2 * RESERVE,
        )

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        # Enter presses the button that has the focus, not a default one somewhere else.
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.isEnabled():
            self.click()
        elif event.key() in _ARROWS:
            # Qt would walk to some other widget; the box or page head around knows better.
            event.ignore()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        tokens, painter = tokens_now(), QPainter(self)
        box = self.rect().adjusted(RESERVE, RESERVE, -RESERVE, -RESERVE)
        ink = self._paint_ground(painter, box, tokens)
        if self.hasFocus():
            ring = box.adjusted(-RESERVE, -RESERVE, RESERVE, RESERVE)
            paint_ring(painter, ring, self._ring_colour(tokens), radius=6)
        self._paint_content(painter, box, ink, tokens)
        painter.end()

    def _paint_ground(self, painter: QPainter, box: QRect, tokens: Tokens) -> str:
        if self._main and self.isEnabled():
            paint_box(
                painter, box, fill=tokens.ink2 if self._is_touched() else tokens.ink, edge=None
            )
            return tokens.page
        if not self.isEnabled():
            paint_box(painter, box, fill=tokens.page, edge=tokens.line)
            return tokens.ink3
        paint_box(painter, box, fill=self._touched_fill(tokens) or tokens.page, edge=tokens.edge)
        return tokens.ink

    def _touched_fill(self, tokens: Tokens) -> str | None:
        if self.isDown() or self.isChecked():
            return tokens.sel
        return tokens.hover if self.underMouse() and self.isEnabled() else None

    def _is_touched(self) -> bool:
        return self.isDown() or self.underMouse()

    def _ring_colour(self, tokens: Tokens) -> str:
        return tokens.ink

    def _text_font(self) -> QFont:
        return font(Role.STRONG if self._main else Role.BODY)

    def _paint_content(self, painter: QPainter, box: QRect, ink: str, tokens: Tokens) -> None:
        side, gap = px(_ICON), px(_GAP)
        room = box.adjusted(px(self._PADDING), 0, -px(self._PADDING), 0)
        if self.menu() is not None:
            self._paint_icon(painter, Icon.DOWN, room.right() + 1 - side, ink)
            room.setRight(room.right() - side - gap)
        if self._hint:
            painter.setFont(font(Role.SMALL))
            painter.setPen(QColor(tokens.ink3 if ink == tokens.ink else ink))
            across = trailing(self) | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(mirrored(self, room), across, self._hint)
            hint = text_size(painter.fontMetrics(), self._hint)
            room.setRight(room.right() - hint.width() - 2 * gap)
        if self._icon is not None and not self.text():
            self._paint_icon(painter, self._icon, box.center().x() - (side - 1) // 2, ink)
            return
        if self._icon is not None:
            self._paint_icon(painter, self._icon, room.left(), ink)
            room.setLeft(room.left() + side + gap)
        painter.setFont(self._text_font())
        painter.setPen(QColor(ink))
        spread = self._wide or bool(self._hint) or self._icon is not None or self.menu() is not None
        across = leading(self) if spread else Qt.AlignmentFlag.AlignHCenter
        painter.drawText(
            mirrored(self, room),
            int(across | Qt.AlignmentFlag.AlignVCenter) | mnemonic_flag(self),
            self.text(),
        )

    def _paint_icon(self, painter: QPainter, icon: Icon, left: int, colour: str) -> None:
        side = px(_ICON)
        at = mirrored(self, QRect(left, (self.height() - side) // 2, side, side))
        turned = self.layoutDirection() is Qt.LayoutDirection.RightToLeft
        if turned and icon in (Icon.LEFT, Icon.RIGHT):
            icon = Icon.RIGHT if icon is Icon.LEFT else Icon.LEFT
        paint_icon(painter, icon, QRectF(at), colour)

    def _restyle(self) -> None:
        self.setFont(self._text_font())
        self.updateGeometry()
        self.update()


class FlatButton(Button):
    """A button without outline, for side ways. Signals: clicked.

    Parameters
    ----------
    text, parent, size, icon, hint, name
        As for `Button`.
    underlined : bool
        For a way out in the middle of words: "all 5", "Undo".
    strong : bool
        In the heavier weight.
    on_ink : bool
        It stands on an ink bar: page-coloured.
    """

    _PADDING = 8

    def __init__(
        self,
        text: str = "",
        parent: QWidget | None = None,
        *,
        size: str = "normal",
        icon: Icon | None = None,
        hint: str = "",
        name: str = "",
        underlined: bool = False,
        strong: bool = False,
        on_ink: bool = False,
    ) -> None:
        self._underlined, self._strong, self._on_ink = underlined, strong, on_ink
        super().__init__(text, parent, size=size, icon=icon, hint=hint, name=name)

    def _paint_ground(self, painter: QPainter, box: QRect, tokens: Tokens) -> str:
        if self._on_ink:
            if self._is_touched():
                paint_box(painter, box, fill=tokens.ink2, edge=None)
            return tokens.page
        fill = self._touched_fill(tokens)
        if fill is not None:
            paint_box(painter, box, fill=fill, edge=None)
        return tokens.ink if self.isEnabled() else tokens.ink3

    def _ring_colour(self, tokens: Tokens) -> str:
        return tokens.page if self._on_ink else tokens.ink

    def _text_font(self) -> QFont:
        made = font(Role.STRONG if self._strong else Role.BODY)
        made.setUnderline(self._underlined)
        return made
