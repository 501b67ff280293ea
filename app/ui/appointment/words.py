"""What the Appointment page says."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication


def tr(text: str) -> str:
    """Translate a text of the Appointment page."""
    return QCoreApplication.translate("Appointment", text)
