"""What a person wrote down for lows, sick days and carers: which texts, and how they are kept."""

from __future__ import annotations

from app.domain.errors import Refused

EMERGENCY_NUMBER, TEAM_PHONE = "emergency number", "team phone"
LOW_PLAN, SICK_PLAN, HAND_OVER = "low plan", "sick plan", "hand-over"
CONTACTS, TO_WATCH = "contacts", "what to watch"
CARE_KINDS = (
    EMERGENCY_NUMBER,
    TEAM_PHONE,
    SICK_PLAN,
    LOW_PLAN,
    HAND_OVER,
    CONTACTS,
    TO_WATCH,
)

_NUMBERS = (EMERGENCY_NUMBER, TEAM_PHONE)
_LONGEST_NUMBER, _LONGEST_TEXT = 80, 4000


def care_kind(text: str) -> str:
    """The kind that is meant: "sick-plan", "Team phone"; refuses any other."""
    said = " ".join(text.casefold().replace("-", " ").replace("_", " ").split())
    for kind in CARE_KINDS:
        if said == kind.replace("-", " "):
            return kind
    raise Refused(
        f'"{text}" is no text that is kept. Nothing was changed; say one of: '
        f"{', '.join(kind.replace(' ', '-') for kind in CARE_KINDS)}."
    )


def checked_text(kind: str, text: str) -> str:
    """A text as it will be kept: as typed, but for space at its ends; empty to take it out.

    Raises
    ------
    Refused
        It is too long, or a number on several lines. Nothing was changed.
    """
    kept = "\n".join(line.rstrip() for line in text.strip().splitlines())
    longest = _LONGEST_NUMBER if kind in _NUMBERS else _LONGEST_TEXT
    if len(kept) > longest or (kind in _NUMBERS and "\n" in kept):
        raise Refused(
            f"The {kind} is at most {longest} characters"
            f"{', on one line' if kind in _NUMBERS else ''}. Nothing was changed."
        )
    return kept
