"""Which meter, vial or bottle a person means by a name: asked where it could be several."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import TypeVar

from app.domain.errors import NeedsAnswer, Question, Refused
from app.domain.kit import Kit, KitItem, Meter, Solution, Vial
from app.domain.person import Person, same_name
from app.domain.vials_used import stretches_of, vial_at

_Thing = TypeVar("_Thing", Meter, Vial, Solution, KitItem)


def own_kit(kit: Kit, person: Person) -> Kit:
    """The meters, vials and parts that are the person's or everybody's."""
    return Kit(
        meters=tuple(each for each in kit.meters if each.person_id in (None, person.id)),
        vials=tuple(each for each in kit.vials if each.person_id in (None, person.id)),
        uses=kit.uses,
        solutions=kit.solutions,
        tests=kit.tests,
        items=tuple(each for each in kit.items if each.person_id in (None, person.id)),
        events=kit.events,
        supplies=tuple(each for each in kit.supplies if each.person_id in (None, person.id)),
        narrowed=kit.narrowed,
        clocks=kit.clocks,
        rev=kit.rev,
    )


def meter_meant(kit: Kit, name: str | None) -> Meter:
    """The meter of a name or a number "#2"; without one the only meter that is in use.

    Raises
    ------
    NeedsAnswer
        No name was said and there are several.
    Refused
        There is none, or none of that name.
    """
    if name is not None:
        return _named("meter", kit.meters, name, lambda each: each.name)
    running = [each for each in kit.meters if each.last_day is None]
    if len(running) == 1:
        return running[0]
    if not running:
        raise Refused("There is no meter yet; add one with: kit meter add NAME --unit mmol/L")
    answers = tuple(f"--meter {_quoted(each.name)}" for each in running)
    raise NeedsAnswer((Question("meter", "Which meter?", answers),))


def vial_meant(kit: Kit, name: str) -> Vial:
    """The vial of a lot or a number "#5"; several vials of one lot are asked about."""
    return _named("vial", kit.vials, name, lambda each: each.lot or "", _vial_words)


def vial_then(kit: Kit, meter: Meter, at: int) -> Vial | None:
    """The vial that a meter used at an instant; None where it is not known."""
    return kit.vial(vial_at(stretches_of(kit.uses), meter.id, at) or None)


def solution_meant(kit: Kit, name: str | None, level: str | None) -> Solution | None:
    """The bottle of a lot or a number; without one the only one of that level, else None."""
    if name is not None:
        return _named("bottle of solution", kit.solutions, name, lambda each: each.lot or "")
    found = [each for each in kit.solutions if level in (None, each.level)]
    return found[0] if len(found) == 1 else None


def item_meant(kit: Kit, name: str) -> KitItem:
    """The part of a name or a number."""
    return _named("part", kit.items, name, lambda each: each.name)


def _named(
    what: str,
    things: Sequence[_Thing],
    name: str,
    called: Callable[[_Thing], str],
    words: Callable[[_Thing], str] | None = None,
) -> _Thing:
    number = name.removeprefix("#")
    if name.startswith("#") and number.isdecimal():
        found = [each for each in things if each.id == int(number)]
    else:
        found = [each for each in things if same_name(called(each), name)]
    if len(found) == 1:
        return found[0]
    if not found:
        there = ", ".join(filter(None, (called(each) for each in things)))
        known = f" There is: {there}." if there else ""
        raise Refused(f'No {what} here is called "{name}"; nothing was changed.{known}')
    listed = "; ".join(f"#{each.id} {words(each) if words else called(each)}" for each in found)
    raise NeedsAnswer(
        (
            Question(
                what,
                f'Several are called "{name}": {listed}. Which one?',
                tuple(f"#{each.id}" for each in found),
            ),
        )
    )


def _vial_words(vial: Vial) -> str:
    if vial.opened_day is None:
        return "not opened yet"
    return f"opened {date.fromordinal(vial.opened_day).isoformat()}"


def _quoted(name: str) -> str:
    return f'"{name}"' if " " in name else name
