"""What a line leaves over: tags, words in quotes, and what nothing else took, kept as note."""

from __future__ import annotations

import re

from app.domain.entry.draft import Draft
from app.domain.entry.values import is_odd_number

_APART = ("quoted", "tail")
_QUOTES = '"“”„«»'
_LEAD = re.compile(r"\s*(?:--|;|[^\W\d_]+\s*:)")


def take_tags(draft: Draft, known: tuple[str, ...]) -> tuple[str, ...]:
    """Tags written with # and words that are tags of this person already, without repeats."""
    labels = {tuple(label.casefold().split()): label for label in known if label.strip()}
    found: list[str] = []
    line = draft.line
    for i, token in enumerate(line.tokens):
        if draft.taken[i]:
            continue
        if token.kind == "tag":
            typed = line.typed[token.start + 1 : token.end]
            label = labels.get((typed.casefold(),), typed)
            draft.say("tag", i, i + 1, f"tag: {label}")
            found.append(label)
            continue
        for size in range(3, 0, -1):
            said = tuple(word.casefold() for word in line.words_from(i, size))
            if len(said) == size and said in labels and not any(draft.taken[i : i + size]):
                draft.say("tag", i, i + size, f"tag: {labels[said]}")
                found.append(labels[said])
                break
    kept: dict[str, str] = {}
    for label in found:
        kept.setdefault(label.casefold(), label)
    return tuple(kept.values())


def take_note(draft: Draft) -> str | None:
    """Everything that is left, in the order typed; joining words alone are shown and not kept."""
    line = draft.line
    runs: list[list[int]] = []
    for i in draft.left():
        kind = line.tokens[i].kind
        is_apart = kind in _APART or (i > 0 and line.tokens[i - 1].kind in _APART)
        if runs and runs[-1][-1] == i - 1 and not is_apart:
            runs[-1].append(i)
        else:
            runs.append([i])
    kept: list[str] = []
    for run in runs:
        first, last = line.tokens[run[0]], line.tokens[run[-1]]
        text = " ".join(line.typed[first.start : last.end].split())
        if first.kind == "quoted":
            text = text.strip(_QUOTES + " ")
        elif first.kind == "tail":
            text = _LEAD.sub("", text, count=1).strip()
        if all(line.is_word(i, draft.words.joining) for i in run) or not text:
            draft.say("note", run[0], run[-1] + 1, "a joining word, not kept")
            continue
        draft.say("note", run[0], run[-1] + 1, "kept as a note")
        kept.append(text)
    return " ".join(kept) or None


def refuse_odd_numbers(draft: Draft, *, has_reading: bool) -> None:
    """Say what looks like a number and is none; behind a word of the note it is a part of that."""
    line = draft.line
    for i in draft.left():
        token = line.tokens[i]
        if not is_odd_number(token):
            continue
        behind_word = i > 0 and not draft.taken[i - 1] and line.tokens[i - 1].kind == "word"
        if has_reading and (behind_word or token.kind == "mixed"):
            continue
        typed = line.typed[token.start : token.end].strip()
        draft.say("unclear", i, i + 1, "not a number that can be taken")
        draft.problems.append(
            f'"{typed}" is not a number that can be taken; write it as 5.6 or 112, '
            "or in quotes if it is a part of the note."
        )
