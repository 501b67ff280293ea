"""`kit cards`: how a test is done well, with the sources."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from app.domain.cards import technique_cards

if TYPE_CHECKING:
    from app.cli.surroundings import Asked


def say_cards(asked: Asked) -> int:
    """Print every card; it needs no diary."""
    cards, around = technique_cards(), asked.around
    if asked.options.json:
        around.say_json([asdict(each) for each in cards])
        return 0
    for each in cards:
        around.say(each.title)
        around.say(f"   {each.says}")
        around.say(f"   Source: {each.source_line}")
    around.say("The leaflets of your own meter, strips and lancing device come first.")
    return 0
