"""What was written down beside readings, in sentences for the history."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

Words = Mapping[str, Any]  # without what was emptied from the bin; none is named "kind"


def kind_words(kind: str) -> str:
    """A code of an open list as a person reads it: "set aside"."""
    return kind.replace("_", " ")


def _on(words: Words, key: str = "at") -> str:
    return f", {words[key]}" if words.get(key) else ""


def _quoted(words: Words, key: str) -> str:
    return f" “{words[key]}”" if words.get(key) else ""


def _help(words: Words) -> str:
    what = f": {words['what']}" if words.get("what") else ""
    return f"Help from another person was written down{_on(words)}{what}."


def _ketones(words: Words) -> str:
    result = f": {words['result']}" if words.get("result") else ""
    return f"A ketone test was written down{result}{_on(words)}."


def _lab(words: Words) -> str:
    result = f": {words['result']}" if words.get("result") else ""
    return f"A laboratory's result was written down{result}{_on(words)}."


def _event(words: Words) -> str:
    kind = f": {kind_words(words['sort'])}" if words.get("sort") else ""
    return f"An event was written down{kind}{_quoted(words, 'text')}{_on(words)}."


def _change(words: Words) -> str:
    what = f": {words['what']}" if words.get("what") else ""
    since = f" from {words['day']} on" if words.get("day") else ""
    return f"A change{since} was written down{what}."


def _days(words: Words) -> str:
    kind = f": {kind_words(words['sort'])}" if words.get("sort") else ""
    since = f", from {words['first']}" if words.get("first") else ""
    last = f" to {words['last']}" if words.get("last") else " on" if since else ""
    aside = "; they can be left out of averages" if words.get("set_aside") else ""
    return f"Days were written down{kind}{_quoted(words, 'text')}{since}{last}{aside}."


def _tag(words: Words) -> str:
    return f"The tag{_quoted(words, 'tag')} was put on what is written{_on(words)}."


def _safety_line(words: Words) -> str:
    low = f" at {words['low']}" if words.get("low") else ""
    since = f" from {words['day']} on" if words.get("day") else ""
    return f"The person's own low line was put{low}{since}."


def _plan_set(words: Words) -> str:
    name = f" “{words['plan']}”" if words.get("plan") else ""
    since = f" from {words['from']} on" if words.get("from") else ""
    until = f", until {words['to']}" if words.get("to") else ""
    return f"The plan{name} was put in force{since}{until}."


def _plan_end(words: Words) -> str:
    names = ", ".join(f"“{each}”" for each in words.get("plans") or ())
    last = f" with {words['last']}" if words.get("last") else ""
    return f"The plan{' ' + names if names else ''} ends{last}."


def _plan_pause(words: Words) -> str:
    first = f" from {words['first']}" if words.get("first") else ""
    last = f" to {words['last']}" if words.get("last") else " on" if first else ""
    return f"The plan was paused{first}{last}: no test is expected."


def _plan_resume(words: Words) -> str:
    first = f" from {words['first']} on" if words.get("first") else ""
    return f"The plan goes on{first}."


_DONE_WITH = {"skip": "put aside", "elsewhere": "done elsewhere", "move": "moved"}


def _plan_test(words: Words) -> str:
    done = _DONE_WITH.get(str(words.get("what")), "changed")
    to = f" to {words['to']}" if words.get("to") else ""
    return f"The planned test{_quoted(words, 'test')}{_on(words)}, was {done}{to}."


def _plan_test_back(words: Words) -> str:
    return f"The planned test{_quoted(words, 'test')}{_on(words)}, is expected again."


def _meal_begun(words: Words) -> str:
    meal = f": {words['meal']}" if words.get("meal") else ""
    return f"A meal has begun{meal}{_on(words)}; the test two hours after it is planned."


def _ask_item(words: Words) -> str:
    return f"A question for the next visit was written down:{_quoted(words, 'text')}."


def _ask_done(words: Words) -> str:
    return f"A question for the visit was ticked off:{_quoted(words, 'text')}."


def _visit(words: Words) -> str:
    outcome = f": {words['outcome']}" if words.get("outcome") else ""
    return f"The visit of {words.get('day', 'a day')} was written down{outcome}."


def _due_shown(words: Words) -> str:
    n = int(words.get("count", 0))
    return f"{n} reminder{' was' if n == 1 else 's were'} shown."


def _due_snoozed(words: Words) -> str:
    minutes = f" in {words['minutes']} minutes" if words.get("minutes") else " later"
    return f"A reminder is to come again{minutes}{_quoted(words, 'what')}."


def _due_closed(words: Words) -> str:
    how = "said to be done elsewhere" if words.get("how") == "elsewhere" else "put away"
    return f"A reminder was {how}{_quoted(words, 'what')}."


def _due_opened(words: Words) -> str:
    return f"A reminder is due again{_quoted(words, 'what')}."


def _follow_set(words: Words) -> str:
    after = f", {words['minutes']} minutes" if words.get("minutes") else ""
    state = "switched on" if words.get("on") else "switched off"
    return f"The follow-up{_quoted(words, 'what')} was {state}{after}."


def _reminders_set(_words: Words) -> str:
    return "How reminders come was changed."


def _care_text(words: Words) -> str:
    which = f" “{words['which']}”" if words.get("which") else ""
    return (
        f"The text{which} from the care team was {'taken out' if words.get('gone') else 'written'}."
    )


def _care_texts(words: Words) -> str:
    which = [f"“{each}”" for each in words.get("which", ())]
    if len(which) < 2:
        return f"The text {which[0] if which else ''} was changed.".replace("  ", " ")
    return f"The texts {', '.join(which[:-1])} and {which[-1]} were changed."


def _sick_start(words: Words) -> str:
    return f"Sick days began{_on(words)}."


def _sick_stop(words: Words) -> str:
    return f"Sick days ended{_on(words)}."


def _driving_set(words: Words) -> str:
    rule = words.get("rule")
    return f"Journeys are held against the rule “{rule}”." if rule else "Journeys have no rule."


def _return_sheet(words: Words) -> str:
    new, one = int(words.get("count", 0)), int(words.get("one", 0))
    where = f" ({words['place']})" if words.get("place") else ""
    by = f" of {words['keeper']}{where}" if words.get("keeper") else ""
    saved = f"{new:,} reading{'' if new == 1 else 's'} {'was' if new == 1 else 'were'} saved"
    same = f", {one:,} {'was' if one == 1 else 'were'} one with what was there" if one else ""
    return f"From the sheet{by} {saved}{same}."


TOLD_NOTES: dict[str, Callable[[Words], str]] = {
    "note_help": _help,
    "note_ketones": _ketones,
    "note_lab": _lab,
    "note_event": _event,
    "note_change": _change,
    "note_days": _days,
    "note_tag": _tag,
    "safety_line": _safety_line,
    "plan_set": _plan_set,
    "plan_end": _plan_end,
    "plan_pause": _plan_pause,
    "plan_resume": _plan_resume,
    "plan_test": _plan_test,
    "plan_test_back": _plan_test_back,
    "meal_begun": _meal_begun,
    "ask_item": _ask_item,
    "ask_done": _ask_done,
    "visit": _visit,
    "due_shown": _due_shown,
    "due_snoozed": _due_snoozed,
    "due_closed": _due_closed,
    "due_opened": _due_opened,
    "follow_set": _follow_set,
    "reminders_set": _reminders_set,
    "care_text": _care_text,
    "care_texts": _care_texts,
    "sick_start": _sick_start,
    "sick_stop": _sick_stop,
    "driving_set": _driving_set,
    "return_sheet": _return_sheet,
}
