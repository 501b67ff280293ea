"""What is written beside readings, as what stands between two readings of one meal."""

from __future__ import annotations

from collections.abc import Iterable

from app.domain.written import Dose, Event
from app.statistics.pair_rules import Noted

# Exercise whose level says that it was no harder than on other days; with no level written it may
# have been hard. Words are the person's or the file's own: a rule of this diary.
_NOT_HARD = frozenset({"less", "light", "easy", "gentle", "usual", "moderate"})
# Doses that are no answer to a high, by their kind; one without a kind may be.
_NO_ANSWER = frozenset({"basal", "background", "long-acting", "long acting", "tablet", "tablets"})
_CORRECTION = "correct"


def noted_from(events: Iterable[Event], doses: Iterable[Dose]) -> Noted:
    """Sort what was written into meals, other food, doses and hard exercise.

    Anything else with carbohydrate counts as a snack.
    """
    meals, snacks, exercise = [], [], []
    for event in events:
        begun = event.start.instant
        if event.kind == "meal":
            meals.append(begun)
        elif event.kind == "snack" or event.carb_g:
            snacks.append(begun)
        elif event.kind == "exercise" and _said(event.level) not in _NOT_HARD:
            exercise.append((begun, max(begun, event.end or begun)))
    taken = [(dose.at.instant, _said(dose.kind)) for dose in doses]
    return Noted(
        meals=sorted(meals),
        snacks=sorted(snacks),
        doses=sorted(at for at, kind in taken if kind not in _NO_ANSWER),
        corrections=sorted(at for at, kind in taken if _CORRECTION in kind),
        exercise=sorted(exercise),
    )


def _said(words: str | None) -> str:
    return (words or "").strip().casefold()
