"""What the Hand-over page says."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from app.domain.care import CONTACTS, EMERGENCY_NUMBER, HAND_OVER, LOW_PLAN, SICK_PLAN, TEAM_PHONE
from app.domain.care import TO_WATCH as WHAT_TO_WATCH
from app.review.hand_over import CardPart


def tr(text: str) -> str:
    """Translate a text of the Hand-over page."""
    return QCoreApplication.translate("HandOver", text)


def part_words(part: CardPart) -> str:
    """A part of the card, as its check box calls it."""
    return {
        CardPart.LIMITS: tr("limits and goals"),
        CardPart.LOW_PLAN: tr("what to do in a low"),
        CardPart.TO_WATCH: tr("what to watch"),
        CardPart.CONTACTS: tr("contacts"),
        CardPart.HAND_OVER: tr("at the hand-over"),
        CardPart.SICK_PLAN: tr("sick-day plan"),
        CardPart.LAST: tr("the last reading"),
    }[part]


def kind_words(kind: str) -> str:
    """A text of the family or the care team, as its field calls it."""
    return {
        CONTACTS: tr("Contacts: names and numbers, one a line"),
        EMERGENCY_NUMBER: tr("Emergency number"),
        TEAM_PHONE: tr("Telephone of the care team"),
        LOW_PLAN: tr("What to do in a low"),
        WHAT_TO_WATCH: tr("What to watch"),
        HAND_OVER: tr("At the hand-over"),
        SICK_PLAN: tr("Sick-day plan"),
    }[kind]
