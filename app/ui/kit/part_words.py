"""Names of what the kit has, of what can happen to it, and of why strips come and go."""

from __future__ import annotations

from app.ui.kit.words import tr


def item_name(kind: str) -> str:
    """A kind of part; one that is not known speaks for itself."""
    known = {
        "lancing device": tr("lancing device"),
        "lancets": tr("lancets"),
        "battery": tr("battery"),
        "other": tr("other"),
    }
    return known.get(kind, kind)


def event_name(kind: str) -> str:
    """What happened; a kind that is not known speaks for itself."""
    known = {
        "battery": tr("battery changed"),
        "dropped": tr("dropped"),
        "heat": tr("lay in heat or cold"),
        "doubtful": tr("a result did not fit how it felt"),
        "unit": tr("the unit was looked at"),
        "cleaned": tr("cleaned"),
        "lancet": tr("new lancet"),
    }
    return known.get(kind, kind)


def supply_name(why: str) -> str:
    """Why pieces came or went."""
    known = {
        "bought": tr("bought"),
        "used": tr("used elsewhere"),
        "wasted": tr("wasted"),
        "counted": tr("counted: so many are left"),
    }
    return known.get(why, why)
