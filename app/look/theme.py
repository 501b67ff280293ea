"""The theme in force: sets style, palette and style sheet, and tells everybody who paints."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QFont, QPalette
from PySide6.QtWidgets import QApplication

from app.look.sheet import style_sheet
from app.look.tokens import DARK, LIGHT, Tokens

Choice = Literal["light", "dark", "system"]
_NAME = "thimblebook-theme"
_IN_FUSION = "thimblebook-in-fusion"

_ROLES: dict[QPalette.ColorRole, str] = {
    QPalette.ColorRole.Window: "page",
    QPalette.ColorRole.WindowText: "ink",
    QPalette.ColorRole.Base: "field",
    QPalette.ColorRole.AlternateBase: "hover",
    QPalette.ColorRole.Text: "ink",
    QPalette.ColorRole.PlaceholderText: "ink3",
    QPalette.ColorRole.Button: "page",
    QPalette.ColorRole.ButtonText: "ink",
    QPalette.ColorRole.BrightText: "ink",
    QPalette.ColorRole.Highlight: "sel",
    QPalette.ColorRole.HighlightedText: "ink",
    QPalette.ColorRole.Accent: "ink",
    QPalette.ColorRole.Link: "ink",
    QPalette.ColorRole.LinkVisited: "ink2",
    QPalette.ColorRole.ToolTipBase: "page",
    QPalette.ColorRole.ToolTipText: "ink",
    QPalette.ColorRole.Light: "page",
    QPalette.ColorRole.Midlight: "hover",
    QPalette.ColorRole.Mid: "line",
    QPalette.ColorRole.Dark: "edge",
    QPalette.ColorRole.Shadow: "edge",
}
_TEXT_ROLES = (
    QPalette.ColorRole.WindowText,
    QPalette.ColorRole.Text,
    QPalette.ColorRole.ButtonText,
    QPalette.ColorRole.HighlightedText,
)


class Theme(QObject):
    """The holder of the tokens; one for an application. Signals: changed().

    `changed` also comes when the text size changes: whoever keeps a pen, a font or a size made from
    them makes it anew.
    """

    changed = Signal()

    def __init__(self, app: QApplication) -> None:
        super().__init__(app)
        self.setObjectName(_NAME)
        self._app = app
        self._tokens = LIGHT
        self._choice: Choice = "system"
        app.styleHints().colorSchemeChanged.connect(self._on_scheme_changed)
        app.fontChanged.connect(self._on_font_changed)

    @classmethod
    def current(cls) -> Theme:
        """The theme of the running application; light until `apply_theme` or `choose` said more.

        Raises
        ------
        RuntimeError
            If there is no QApplication yet.
        """
        app = QApplication.instance()
        if not isinstance(app, QApplication):
            raise RuntimeError("a theme needs a QApplication: make one first")
        found = app.findChild(Theme, _NAME, Qt.FindChildOption.FindDirectChildrenOnly)
        return found if isinstance(found, Theme) else cls(app)

    @property
    def tokens(self) -> Tokens:
        """The colours in force."""
        return self._tokens

    @property
    def choice(self) -> Choice:
        """What was chosen: light, dark, or as the system says."""
        return self._choice

    def choose(self, choice: Choice) -> None:
        """Use the light or the dark theme, or follow the system where it tells (else light)."""
        self._choice = choice
        self._dress(self._wanted())

    def put_on(self, tokens: Tokens) -> None:
        """Use `tokens` from now on, whatever the system says."""
        self._choice = "dark" if tokens.dark else "light"
        self._dress(tokens)

    def _dress(self, tokens: Tokens) -> None:
        self._tokens = tokens
        if self._app.property(_IN_FUSION) is None:
            self._app.setStyle("Fusion")
            self._app.setProperty(_IN_FUSION, True)
        self._app.setPalette(palette_of(tokens))
        sheet = style_sheet(tokens)
        if self._app.styleSheet() != sheet:  # Qt dresses every widget anew, also in the same one
            self._app.setStyleSheet(sheet)
        self.changed.emit()

    def _wanted(self) -> Tokens:
        if self._choice == "system":
            return DARK if self._app.styleHints().colorScheme() is Qt.ColorScheme.Dark else LIGHT
        return DARK if self._choice == "dark" else LIGHT

    def _on_scheme_changed(self, _scheme: Qt.ColorScheme) -> None:
        if self._choice == "system" and self._wanted() is not self._tokens:
            self._dress(self._wanted())

    def _on_font_changed(self, _font: QFont) -> None:
        self.changed.emit()


def application(words: Sequence[str]) -> QApplication:
    """Make the application, in Fusion from the start.

    To set or ask a style later takes a twentieth of what a bare window takes: PySide6 then makes
    the type QStyle with all its enumerations.
    """
    made = QApplication([*words, "-style", "Fusion"])
    made.setProperty(_IN_FUSION, True)
    return made


def apply_theme(app: QApplication, tokens: Tokens) -> Theme:
    """Dress `app` in `tokens`, whatever the system says, and give its theme.

    Raises
    ------
    ValueError
        If `app` is not the running application.
    """
    if app is not QApplication.instance():
        raise ValueError(f"only the running application can be dressed: app={app!r}")
    theme = Theme.current()
    theme.put_on(tokens)
    return theme


def tokens_now() -> Tokens:
    """The colours in force, for whoever paints."""
    return Theme.current().tokens


def follow_theme(restyle: Callable[[], None]) -> None:
    """Call `restyle`, a bound method of a QObject, now and whenever theme or text size changes.

    The connection ends with the object. The method sets fonts, palette and sizes anew; Qt repaints.
    """
    Theme.current().changed.connect(restyle)
    restyle()


def palette_of(tokens: Tokens) -> QPalette:
    """The palette of a theme, for Fusion and for text that the style sheet does not touch."""
    palette = QPalette()
    for role, name in _ROLES.items():
        palette.setColor(role, QColor(getattr(tokens, name)))
    for role in _TEXT_ROLES:
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor(tokens.ink3))
    return palette
