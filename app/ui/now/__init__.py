"""The Now column: who, the line to type a reading into, and what will be or was saved."""

from app.ui.now.column import NowColumn

__all__ = ["NowColumn"]
