"""Running text that asks for the height of the width that it really gets."""

from __future__ import annotations

from app.ui.controls import TextColumn


class Prose(TextColumn):
    """Text that stops at 90 characters a line, also where a layout offers more room."""

    def heightForWidth(self, width: int) -> int:
        return super().heightForWidth(min(width, self.maximumWidth()))
