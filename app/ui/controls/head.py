"""The head of a page: its title, one line of what is shown and how much, tools at the far end."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.look.type import Role
from app.ui.controls.folding import FoldingRow
from app.ui.controls.labels import Label


class PageHead(QWidget):
    """Title, sub-title and tools; the tools drop below the title where the page is narrow."""

    def __init__(
        self,
        title: str,
        subtitle: str = "",
        parent: QWidget | None = None,
        *,
        tools: Sequence[QWidget] = (),
    ) -> None:
        super().__init__(parent)
        self._title = Label(title, role=Role.TITLE, wrap=True)
        self._subtitle = Label(subtitle, self, ink="ink2", wrap=True)
        self._tools = QWidget()
        self._tool_row = QHBoxLayout(self._tools)
        self._tool_row.setContentsMargins(0, 0, 0, 0)
        self._tool_row.setSpacing(4)
        self._row = FoldingRow(self._title, self._tools, self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self._row)
        column.addWidget(self._subtitle)
        for tool in tools:
            self.add_tool(tool)
        self.set_title(title)
        self.set_subtitle(subtitle)

    def add_tool(self, tool: QWidget) -> None:
        """Add a tool at the far end."""
        self._tool_row.addWidget(tool)

    def set_title(self, title: str) -> None:
        """Change the title."""
        self._title.setText(title)
        self.setAccessibleName(title)

    def set_subtitle(self, subtitle: str) -> None:
        """Change the line below: period, n, what is left out."""
        self._subtitle.setText(subtitle)
        self._subtitle.setVisible(bool(subtitle))
        self.setAccessibleDescription(subtitle)
