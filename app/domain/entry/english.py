"""The entry line's words in English: plain words and the obvious short forms of them.

Trade abbreviations (ac, pc, pp, hs: before meals, after meals, after a meal, at bedtime) are common
practice, no source. "Dinner", "supper" and "tea" are the evening meal here, a rule of this diary.
"""

from __future__ import annotations

from app.domain.entry.words import Words, named, phrases
from app.domain.glucose import Bound
from app.domain.marks import Mark

ENGLISH = Words(
    before=phrases(
        {
            "before|b4|bef|pre|prior to|ahead of": True,
            "after|aft|post|following": False,
        }
    ),
    meals=phrases(
        {
            "breakfast|brekkie|brekky|brekfast|bkfst|brkfst": "breakfast",
            "lunch|luncheon|lunchtime|midday meal": "lunch",
            "dinner|supper|tea|evening meal|dinnertime|suppertime|teatime": "evening",
            "snack|snacks|bedtime snack|afternoon snack|morning snack": "snack",
            "meal|meals|mealtime|food|eating": "meal",
        }
    ),
    marks=phrases(
        {
            "waking|waking up|on waking|upon waking|wake|wake up|wakeup|on waking up|woke up|woke"
            "|on rising|getting up|got up": Mark.WAKING,
            "fasting|fasted|on an empty stomach|empty stomach|fbg|fbs|fasting glucose"
            "|fasting blood glucose|fasting blood sugar|fasting sugar": Mark.FASTING,
            "fasting before breakfast|waking fasting|fasting on waking|fasting waking": Mark.WAKING,
            "bed|bedtime|bed time|at bedtime|before bed|before bedtime|b4 bed|pre bed|going to bed"
            "|before going to bed|before sleep|hs": Mark.BEDTIME,
            "night|at night|overnight|in the night|during the night|middle of the night"
            "|in the middle of the night|nighttime|night time|night check": Mark.NIGHT,
            "casual|random|at random|any time|anytime": Mark.CASUAL,
            "preprandial|pre prandial|ac": Mark.BEFORE_MEAL,
            "postprandial|post prandial|pc|pp": Mark.AFTER_MEAL,
        }
    ),
    glued={"pre": True, "post": False},
    adverbs=frozenset(["right", "just", "shortly", "straight", "directly", "immediately"]),
    articles=frozenset(["a", "an", "the", "my", "her", "his", "our", "your", "their", "having"]),
    ago=frozenset({"ago"}),
    hours=frozenset(["h", "hr", "hrs", "hour", "hours"]),
    minutes=frozenset(["m", "min", "mins", "minute", "minutes"]),
    days=frozenset(["d", "day", "days"]),
    counts=phrases({"half an": 0.5, "a|an|one": 1, "two|a couple of": 2, "three": 3, "four": 4}),
    amounts=frozenset(
        [
            "g",
            "gr",
            "gram",
            "grams",
            "kg",
            "mcg",
            "ml",
            "cl",
            "dl",
            "oz",
            "lb",
            "lbs",
            "u",
            "iu",
            "unit",
            "units",
            "km",
            "kcal",
            "bpm",
            "min",
            "mins",
            "minute",
            "minutes",
            "h",
            "hr",
            "hrs",
            "hour",
            "hours",
            "d",
            "day",
            "days",
            "%",
            "°",
            "°c",
            "°f",
        ]
    ),
    at=frozenset({"at", "@"}),
    on=frozenset({"on"}),
    last=frozenset({"last"}),
    relative_days=phrases({"today": 0, "yesterday": -1, "day before yesterday": -2}),
    day_parts=phrases(
        {
            "this morning": (0, 0, 11),
            "this afternoon": (0, 12, 18),
            "this evening|tonight": (0, 17, 23),
            "yesterday morning": (-1, 0, 11),
            "yesterday afternoon": (-1, 12, 18),
            "yesterday evening|last evening": (-1, 17, 23),
            "last night|yesterday night": (-1, 18, 33),  # hours from 24 on are the next day's
        }
    ),
    times=phrases({"noon|midday|12 noon": 12, "midnight": 24}),
    now=phrases({"now|right now|just now": 0}),
    weekdays=named(
        {"monday": 0, "tuesday": 1, "wednesday": 2, "thursday": 3, "friday": 4}
        | {"saturday": 5, "sunday": 6}
    ),
    short_weekdays=named(
        {"mon": 0, "tue tues": 1, "wed weds": 2, "thu thur thurs": 3, "fri": 4, "sat": 5, "sun": 6}
    ),
    months=named(
        {"jan january": 1, "feb february": 2, "mar march": 3, "apr april": 4, "may": 5}
        | {"jun june": 6, "jul july": 7, "aug august": 8, "sep sept september": 9}
        | {"oct october": 10, "nov november": 11, "dec december": 12}
    ),
    sides=named({"left l": "left", "right r": "right"}),
    fingers={
        "thumb": ("thumb", True),
        "index": ("index", True),
        "forefinger": ("index", True),
        "pointer": ("index", True),
        "pinky": ("little", True),
        "pinkie": ("little", True),
        "middle": ("middle", False),
        "ring": ("ring", False),
        "little": ("little", False),
        "small": ("little", False),
        "pointing": ("index", False),
    },
    finger=frozenset(["finger", "fingers", "fingertip"]),
    hand=frozenset({"hand"}),
    sites=phrases(
        {
            "palm": "palm",
            "forearm|fore arm|lower arm": "forearm",
            "upper arm|upperarm": "upper_arm",
            "thigh": "thigh",
            "earlobe|ear lobe": "earlobe",
        }
    ),
    site_lead=frozenset(["from", "on", "in", "the", "my", "her", "his"]),
    hands=phrases(
        {
            "unwashed|unwashed hands|unwashed fingers|hands unwashed|not washed|hands not washed"
            "|not washed hands|didn t wash|did not wash|didn t wash hands|did not wash hands"
            "|hands dirty|dirty hands|hands not clean": "not",
            "washed|washed hands|hands washed|clean hands|hands clean": "washed",
        }
    ),
    screen={"lo": Bound.BELOW, "hi": Bound.ABOVE},
    spoken={"low": Bound.BELOW, "high": Bound.ABOVE},
    bounds=phrases(
        {
            "below|under|less than": Bound.BELOW,
            "above|over|more than": Bound.ABOVE,
        }
    ),
    reading=frozenset(["bg", "glucose", "sugar", "bgl", "reading", "value"]),
    note=frozenset(["note", "notes", "comment"]),
    joining=frozenset(
        ["and", "with", "was", "is", "it", "at", "on", "in", "the", "a", "of", "then"]
    ),
)
