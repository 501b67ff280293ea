"""Who is in the diary and how they want it: the first start, another person, the settings."""

from app.ui.first_start.dialogs import ask_for_person, ask_for_settings
from app.ui.first_start.start import FirstStart

__all__ = ["FirstStart", "ask_for_person", "ask_for_settings"]
