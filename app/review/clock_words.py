"""What looks wrong with a meter's clock, why, and what would settle it, in plain sentences."""

from __future__ import annotations

from datetime import datetime

from app.domain.clock_anchors import Fit
from app.review.clocks import Proposal
from app.review.memories import Record

_FOUND = {
    "factory": "the clock began anew at a date of the maker's",
    "future": "the stamps were in the future when the memory was copied",
    "half_day": "morning and evening look exchanged: twelve hours off",
    "summer_time": "an hour off since the clocks were changed",
    "home_time": "the meter stayed on home time during a journey",
    "local_time": "the meter showed the time of the place during a journey",
    "jump": "the stamps step back while the order goes on",
}


def found_words(proposal: Proposal) -> str:
    """What was found, as the head of a proposal."""
    return _FOUND[proposal.kind]


def shift_words(seconds: int) -> str:
    """A shift as people say it: "1 h later", "12 h earlier", "691 days 9 h 40 min later".

    >>> shift_words(-43200), shift_words(0), shift_words(90000)
    ('12 h earlier', 'not at all', '1 day 1 h later')
    """
    if not seconds:
        return "not at all"
    return f"{length_words(abs(seconds))} {'later' if seconds > 0 else 'earlier'}"


def length_words(seconds: int) -> str:
    """A length of time: days, hours and minutes, seconds only where there is nothing else.

    >>> length_words(2400), length_words(86400 * 2 + 60), length_words(45)
    ('40 min', '2 days 1 min', '45 s')
    """
    days, rest = divmod(seconds, 86_400)
    hours, rest = divmod(rest, 3600)
    parts = []
    if days:
        parts.append(f"{days} day" + ("s" if days > 1 else ""))
    if hours:
        parts.append(f"{hours} h")
    if rest // 60:
        parts.append(f"{rest // 60} min")
    return " ".join(parts) or f"{rest} s"


def wall_words(wall: datetime | None) -> str:
    """A wall time as it is typed: "2026-11-14 18:40"."""
    return "no readable stamp" if wall is None else f"{wall:%Y-%m-%d %H:%M}"


def why_words(proposal: Proposal) -> str:
    """Why it looks wrong, in one or two sentences."""
    n = proposal.n
    match proposal.kind:
        case "factory":
            return _neighbours(proposal) or (
                "The stamps begin in the first week of a year, long before the memory was copied."
            )
        case "future":
            return "No test can have a time that had not come yet."
        case "half_day":
            return (
                f"{_tests(n)} the usual times of day far better with twelve hours more or less "
                "than as stamped."
            )
        case "summer_time":
            weak = " One test alone is weak evidence." if n == 1 else ""
            return (
                f"Since the change of the clocks {_tests(n)} the usual times of day better "
                f"{shift_words(proposal.shift_s or 0)}.{weak}"
            )
        case "home_time" if proposal.zone is None:
            return (
                f"During the journey {_tests(n)} the usual times of day best "
                f"{shift_words(proposal.shift_s or 0)}; which zone it was is not written."
            )
        case "home_time":
            return (
                f"A stay in {proposal.zone} is written, and these stamps are those of home: the "
                f"wall time there was {shift_words(proposal.shift_s or 0)}."
            )
        case "local_time":
            return f"A stay in {proposal.zone} is written, and the stamps fit that place's time."
        case _:
            return _neighbours(proposal) or "A later record cannot have an earlier time."


def settles_words(proposal: Proposal) -> str:
    """What would settle it."""
    first = proposal.records[0]
    if proposal.kind == "home_time" and proposal.zone is None:
        return (
            "Say where it was: thimblebook clocks journey --zone REGION/CITY --from WALL --to WALL"
        )
    if proposal.zone is not None:
        return "Your word; the raw stamps stay."
    if proposal.anchor is not None:
        return (
            f"A setting is written: {wall_words(proposal.anchor.shown)} was truly "
            f"{proposal.anchor.true.wall.replace('T', ' ')}. A second known moment would check it."
        )
    if proposal.shift_s is not None:
        return "One known moment would make it sure, for instance a meal of one of these days."
    return (
        f'One known moment: --anchor "{wall_words(first.shown)} = TRUE TIME", or when the clock '
        f"was set. {room_words(proposal)}".rstrip()
    )


def room_words(proposal: Proposal) -> str:
    """What the records before and after leave open; empty where they leave open everything."""
    low, high = proposal.room_s
    if low is None or high is None or low >= high:
        return ""
    return (
        f"By the records before and after, the stamps have to go between {shift_words(low)} "
        f"and {shift_words(high)}."
    )


def fit_words(fit: Fit) -> str:
    """How the known moments go together."""
    match fit.state:
        case "one":
            return "One known moment; a second one would show whether the clock ran evenly."
        case "same":
            return "The known moments agree to within two minutes."
        case "drift":
            return (
                f"The known moments fit one rate: the clock was off by {abs(fit.drift_ppm)} "
                f"millionths, {length_words(abs(fit.apart_s))} over the whole stretch."
            )
        case _:
            return (
                f"The known moments disagree by {length_words(abs(fit.apart_s))}. "
                "Nothing is chosen; both versions are shown."
            )


def record_words(record: Record) -> str:
    """A record by what the diary holds: "7.7 mmol/L, 2026-11-21 18:05"."""
    held = "undated" if record.held is None else record.held.wall.replace("T", " ")
    return f"{record.value}, {held}"


def _tests(n: int) -> str:
    return "1 test fits" if n == 1 else f"{n} tests fit"


def _neighbours(proposal: Proposal) -> str:
    if proposal.before is None or proposal.before.held is None:
        return ""
    return (
        f"In the memory they follow {proposal.before.held.wall.replace('T', ' ')}, and are stamped "
        f"{wall_words(proposal.records[0].shown)}."
    )
