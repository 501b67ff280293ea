"""The pages in the order of their tabs, each made when it is first seen.

Their titles are translated in the context "Window".
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from app.ui.page import Page
    from app.ui.session import Session


class PageKind(NamedTuple):
    """A page before it is made: its key, its word on the tab, and where its class is."""

    key: str
    title: str
    module: str
    name: str

    def make(self, session: Session, parent: QWidget) -> Page:
        """Make the page; this is when its charts are imported."""
        kind: type[Page] = getattr(import_module(self.module), self.name)
        return kind(session, parent)


PAGES = (
    PageKind("day", "Day", "app.ui.day.page", "DayPage"),
    PageKind(
        "readings",
        "Readings",
        "app.ui.readings.page",
        "ReadingsPage",
    ),
    PageKind(
        "modal-day",
        "Modal day",
        "app.ui.modal_day.page",
        "ModalDayPage",
    ),
    PageKind("figures", "Figures", "app.ui.figures.page", "FiguresPage"),
    PageKind("patterns", "Patterns", "app.ui.patterns.page", "PatternsPage"),
    PageKind("year", "Year", "app.ui.year.page", "YearPage"),
    PageKind("kit", "Kit", "app.ui.kit.page", "KitPage"),
    PageKind("plan", "Plan", "app.ui.plan.page", "PlanPage"),
    PageKind("hand-over", "Hand-over", "app.ui.hand_over.page", "HandOverPage"),
    PageKind("appointment", "Appointment", "app.ui.appointment.page", "AppointmentPage"),
)
KEYS = tuple(kind.key for kind in PAGES)
