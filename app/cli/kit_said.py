"""What the verbs of the kit share: typed moments, and saying what was done."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from app.work.kit_things import KitDone
from app.work.note_down import moment_typed

if TYPE_CHECKING:
    from app.cli.surroundings import Asked
    from app.domain.clock import Moment
    from app.domain.person import Person


def given(**fields: Any) -> dict[str, Any]:
    """The columns that were said."""
    return {name: value for name, value in fields.items() if value is not None}


def done_json(done: KitDone) -> dict[str, Any]:
    """What was done, for JSON."""
    return {"uid": str(done.uid), "number": f"#{done.id}", "sentence": done.sentence}


def say(asked: Asked, done: KitDone) -> int:
    """Say what was done to the kit, in a sentence or as JSON."""
    if asked.options.json:
        asked.around.say_json(done_json(done))
    else:
        asked.around.say(done.sentence)
    return 0


def say_sentence(asked: Asked, sentence: str) -> int:
    """Say what was done, where no row of the kit was."""
    if asked.options.json:
        asked.around.say_json({"sentence": sentence})
    else:
        asked.around.say(sentence)
    return 0


def moment_said(asked: Asked, person: Person) -> Moment:
    """The moment that --at names; now where it was not said."""
    return moment_of(asked, person, asked.options.at)


def moment_of(asked: Asked, person: Person, text: str | None) -> Moment:
    """The moment of a typed time, in the zone that was said."""
    options = asked.options
    return moment_typed(text, person, now=asked.around.now, zone=options.zone, sure=options.sure)
