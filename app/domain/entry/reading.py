"""The reading of a line: a number, or the LO or HI that a meter shows instead of one."""

from __future__ import annotations

from app.domain.entry.clocks import Clock, When
from app.domain.entry.draft import Draft
from app.domain.entry.found import Found, rewritten
from app.domain.entry.sense import fits, odd_value, refusal
from app.domain.entry.values import Number, Share, is_only_a_time, number_at, share_out, unit_of
from app.domain.errors import Question
from app.domain.glucose import Bound, Glucose, Unit

GREETINGS = frozenset(("hi", "Hi"))  # a word of English too, where other words stand beside it
NOT_NUMBERS = frozenset(("nan", "inf", "infinity"))


def take_reading(
    draft: Draft, usual: Unit, *, sure: bool, wants_time: bool
) -> tuple[Glucose | None, Found[When] | None]:
    """Find the reading, say it, doubt it; and the time that was typed as a bare number."""
    line = draft.line
    numbers = [
        number
        for i in range(len(line.tokens))
        if not draft.taken[i] and (number := number_at(line, i, draft.taken, draft.words))
    ]
    screen = _screen_word(draft)
    if screen is not None:
        return _off_scale(draft, screen, numbers, usual, sure=sure, wants_time=wants_time)
    share = share_out(line, numbers, usual, wants_time=wants_time)
    if share.reading is None and share.question is None and not numbers:
        return _spoken(draft, usual), None
    return _number(draft, share, numbers, usual, sure=sure)


def _number(
    draft: Draft, share: Share, numbers: list[Number], usual: Unit, *, sure: bool
) -> tuple[Glucose | None, Found[When] | None]:
    if share.question:
        draft.questions.append(share.question)
        for one in numbers:
            if not (one.is_amount and one.behind_word):
                draft.say("unclear", one.first, one.stop, "a number: the reading or not is asked")
        return None, None
    bare_time = _bare_time(draft, share.clock)
    if share.reading is None:
        return None, bare_time
    reading = share.reading
    typed = reading.unit or _loose_unit(draft)
    glucose = Glucose(reading.plain, typed or usual, reading.bound)
    _say_number(draft, reading, glucose, is_unit_typed=typed is not None)
    refused = refusal(reading.plain, typed, usual, sure=sure)
    if refused:
        draft.problems.append(refused)
        return None, bare_time
    asked = None if sure else odd_value(glucose, typed)
    if asked:
        draft.questions.append(asked)
    return glucose, bare_time


def _off_scale(
    draft: Draft, screen: int, numbers: list[Number], usual: Unit, *, sure: bool, wants_time: bool
) -> tuple[Glucose | None, Found[When] | None]:
    """LO or HI; beside it a number may be its limit, a time, a part of the note, or unclear."""
    words, line = draft.words, draft.line
    bound = words.screen[line.tokens[screen].text]
    rivals = [one for one in numbers if not one.is_amount and (not one.behind_word or one.unit)]
    if len(rivals) == 1 and rivals[0].bound is bound:
        draft.say("value", screen, screen + 1, words_of(Glucose(None, usual, bound)))
        return _number(draft, Share(rivals[0]), numbers, usual, sure=sure)
    clock = rivals[0] if rivals else None
    is_time = clock is not None and wants_time and clock.clock and not clock.unit
    if clock and len(rivals) == 1 and is_time:
        may_be_limit = fits(clock.plain, bound, None, usual) and not is_only_a_time(line, clock)
        rivals = rivals if may_be_limit else []
    if rivals:
        draft.questions.append(
            _screen_or_number(draft, screen, rivals, usual, wants_time=wants_time)
        )
        for one in rivals:
            draft.say("unclear", one.first, one.stop, "a number beside LO or HI: asked about")
        draft.say("unclear", screen, screen + 1, "LO or HI beside a number: asked about")
        return None, None
    token = line.tokens[screen]
    if line.typed[token.start : token.end] in GREETINGS and _has_words(draft, but=screen):
        draft.questions.append(_asked_off_scale(draft, screen, bound))
        return None, None
    unit = _loose_unit(draft) or usual
    glucose = Glucose(None, unit, bound)
    draft.say("value", screen, screen + 1, words_of(glucose))
    return glucose, _bare_time(draft, clock if is_time else None)


def _screen_or_number(
    draft: Draft, screen: int, rivals: list[Number], usual: Unit, *, wants_time: bool
) -> Question:
    line = draft.line
    token = line.tokens[screen]
    shown = line.typed[token.start : token.end]
    sign = "<" if draft.words.screen[token.text] is Bound.BELOW else ">"
    quoted = [(*one.span(line), f'"{one.typed(line)}"') for one in rivals]
    answers = [rewritten(line, quoted)]
    for i, one in enumerate(rivals):
        rest = quoted[:i] + quoted[i + 1 :]
        start, end = one.span(line)
        answers.append(rewritten(line, [*rest, (token.start, token.end, f'"{shown}"')]))
        bound = draft.words.screen[token.text]
        if one.bound is Bound.EXACT and fits(one.plain, bound, one.unit, usual):
            limit = (start, end, f"{sign}{one.typed(line)}")
            answers.append(rewritten(line, [*rest, limit]))
        if one.clock and wants_time:
            time = (start, end, f"{one.clock.hour:02d}:{one.clock.minute:02d}")
            answers.append(rewritten(line, [*rest, time]))
    asks = f"{shown} and a number stand side by side. Which of the two is the reading?"
    return Question("reading", asks, tuple(dict.fromkeys(answers)))


def _spoken(draft: Draft, usual: Unit) -> Glucose | None:
    """Take "low" or "high" with nothing else said as the meter's word; else ask: a feeling?."""
    words, line, left = draft.words, draft.line, draft.left()
    said = [i for i in left if line.is_word(i, words.spoken)]
    if len(said) == 1:
        bound = words.spoken[line.tokens[said[0]].text]
        if not _has_words(draft, but=said[0]):
            glucose = Glucose(None, _loose_unit(draft) or usual, bound)
            draft.say("value", said[0], said[0] + 1, words_of(glucose))
            return glucose
        draft.questions.append(_asked_off_scale(draft, said[0], bound))
        return None
    for i in left:
        if line.is_word(i, NOT_NUMBERS):
            typed = line.typed[line.tokens[i].start : line.tokens[i].end]
            draft.problems.append(f'"{typed}" is not a number; type what the meter showed.')
    return None


def _has_words(draft: Draft, *, but: int) -> bool:
    """Whether words are left over beside the one that may be the meter's."""
    kinds = {draft.line.tokens[i].kind for i in draft.left() if i != but}
    return bool(kinds & {"word", "mixed"})


def _asked_off_scale(draft: Draft, at: int, bound: Bound) -> Question:
    token = draft.line.tokens[at]
    shown = "LO" if bound is Bound.BELOW else "HI"
    answer = rewritten(draft.line, [(token.start, token.end, shown)])
    asks = f"There is no number in the line. Did the meter show {shown}? Then type {shown}."
    return Question("reading", asks, (answer,))


def words_of(glucose: Glucose, *, is_unit_typed: bool = True) -> str:
    """A value in plain words: "below 20 mg/dL, the meter's limit"."""
    side = {Bound.BELOW: "below", Bound.ABOVE: "above"}.get(glucose.bound)
    if glucose.value is None:
        return f"{side} what the meter can show; its limit is not given"
    unit = f"{glucose.unit}" if is_unit_typed else f"{glucose.unit}, the unit of this diary"
    return (
        f"{side} {glucose.value} {unit}, a limit of the meter"
        if side
        else (f"{glucose.value} {unit}")
    )


def _say_number(draft: Draft, reading: Number, glucose: Glucose, *, is_unit_typed: bool) -> None:
    line = draft.line
    first = reading.first
    while line.is_word(first - 1, draft.words.reading) and not draft.taken[first - 1]:
        first -= 1
    stop = reading.at + 1
    draft.say("value", first, stop, words_of(glucose, is_unit_typed=is_unit_typed))
    if reading.stop > stop:
        draft.say("unit", stop, reading.stop, str(glucose.unit))


def bare_time(draft: Draft, number: Number, clock: Clock) -> Found[When]:
    """Take a bare number, and the "at" before it, as a time."""
    first = number.first - number.behind_at
    draft.taken[first : number.stop] = [True] * (number.stop - first)
    return Found("time", first, number.stop, When(clock=clock))


def _bare_time(draft: Draft, number: Number | None) -> Found[When] | None:
    if number is None or number.clock is None:
        return None
    return bare_time(draft, number, number.clock)


def _screen_word(draft: Draft) -> int | None:
    line = draft.line
    found = [i for i in draft.left() if line.is_word(i, draft.words.screen)]
    return found[0] if len(found) == 1 else None


def _loose_unit(draft: Draft) -> Unit | None:
    """A unit that stands apart from its number, where there is exactly one."""
    line = draft.line
    loose = [i for i in draft.left() if line.tokens[i].kind == "unit"]
    units = [i for i in loose if unit_of(line.tokens[i].text)[1] or not _behind_word(draft, i)]
    if len(units) != 1:
        return None
    unit, _ = unit_of(line.tokens[units[0]].text)
    draft.say("unit", units[0], units[0] + 1, str(unit))
    return unit


def _behind_word(draft: Draft, at: int) -> bool:
    """Whether it stands behind a word or number of the note: the "mg" of a medicine."""
    if at == 0 or draft.taken[at - 1]:
        return False
    return draft.line.tokens[at - 1].kind in ("word", "number", "mixed")
