"""Thin commands over the same calls that the window makes."""

from app.cli.main import main

__all__ = ["main"]
