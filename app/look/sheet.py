"""The one style sheet: what Qt's own widgets look like in the colours of a theme.

Selectors name a class or an id, since a bare rule leaks into every child. No font size stands here:
a size in a style sheet would stay when the text of the system grows.
"""

from __future__ import annotations

from dataclasses import asdict
from string import Template

from app.look.tokens import Tokens

_SHEET = Template("""
QMainWindow, QDialog { background: $page; }
#now, #ground { background: $ground; border: none; }
#page { background: $page; border: none; }
#card { background: $page; border: 1px solid $line; border-radius: 6px; }

QMenuBar { background: $ground; color: $ink; border-bottom: 1px solid $line; padding: 2px 8px; }
QMenuBar::item { background: transparent; padding: 4px 8px; border-radius: 4px; }
QMenuBar::item:selected { background: $sel; }
QMenu { background: $page; color: $ink; border: 1px solid $edge; padding: 4px; }
QMenu::item { padding: 5px 24px 5px 24px; border-radius: 3px; }
QMenu::item:selected { background: $sel; }
QMenu::item:disabled { color: $ink3; }
QMenu::separator { height: 1px; background: $line; margin: 4px 8px; }
QToolTip { background: $page; color: $ink; border: 1px solid $edge; padding: 3px; }

QLineEdit, QPlainTextEdit, QComboBox, QAbstractSpinBox {
    background: $field; color: $ink; border: 1px solid $edge; border-radius: 4px;
    padding: 1px 9px; selection-background-color: $ink; selection-color: $page;
}
QLineEdit:focus, QPlainTextEdit:focus, QComboBox:focus, QAbstractSpinBox:focus {
    border: 2px solid $ink; padding: 0px 8px;
}
QLineEdit:disabled, QPlainTextEdit:disabled, QComboBox:disabled, QAbstractSpinBox:disabled {
    color: $ink3; border: 1px solid $line; padding: 1px 9px;
}
QAbstractSpinBox QLineEdit, QAbstractSpinBox QLineEdit:focus,
QComboBox QLineEdit, QComboBox QLineEdit:focus {
    border: none; padding: 0px; background: transparent;
}
QTableView QLineEdit { border-radius: 0px; padding: 1px 4px; }
QTableView QLineEdit:focus { padding: 0px 3px; }
QAbstractSpinBox::up-button, QAbstractSpinBox::down-button { width: 0px; border: none; }
QComboBox::drop-down { width: 24px; border: none; }
QComboBox::down-arrow { image: none; }
QComboBox QAbstractItemView {
    background: $page; color: $ink; border: 1px solid $edge; padding: 2px;
    selection-background-color: $sel; selection-color: $ink;
}

#popup {
    background: $page; color: $ink; border: 1px solid $edge; padding: 2px;
    selection-background-color: $sel; selection-color: $ink;
}

QTabBar::scroller { width: 64px; }
QTabBar QToolButton { background: $page; border: 1px solid $edge; border-radius: 4px; }
QTabBar QToolButton:disabled { border: 1px solid $line; }

QTableView, QListView, QTreeView {
    background: transparent; color: $ink; border: none; gridline-color: $grid;
    selection-background-color: $sel; selection-color: $ink;
}
QHeaderView { background: transparent; border: none; }
QHeaderView::section {
    background: $page; color: $ink3; border: none; border-bottom: 1px solid $edge;
    padding: 4px 8px;
}
QTableView QTableCornerButton::section { background: $page; border: none; }
QScrollArea { background: transparent; border: none; }
#scrolled { background: transparent; }

QScrollBar:vertical { background: transparent; width: 12px; margin: 0px; }
QScrollBar:horizontal { background: transparent; height: 12px; margin: 0px; }
QScrollBar::handle { background: $edge; border: 3px solid transparent; border-radius: 5px; }
QScrollBar::handle:vertical { min-height: 28px; }
QScrollBar::handle:horizontal { min-width: 28px; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0px; height: 0px; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QSplitter::handle { background: $line; }
QProgressBar { background: $sel; border: none; border-radius: 2px; max-height: 4px; }
QProgressBar::chunk { background: $ink; border-radius: 2px; }
""")


def style_sheet(tokens: Tokens) -> str:
    """The style sheet of the whole program in the colours of `tokens`."""
    return _SHEET.substitute({name: str(value) for name, value in asdict(tokens).items()})
