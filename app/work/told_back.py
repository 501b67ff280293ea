"""What taking a change back did, in sentences."""

from __future__ import annotations

from collections.abc import Callable

from app.work.told import Words, count, n_of, quoted, told, verb


def taken_back(kind: str, words: Words, *, rows: int, kept: int = 0, beside: int = 0) -> str:
    """What taking a change back did.

    Parameters
    ----------
    rows : int
        How many rows it touched.
    kept : int
        Rows of an import that were edited since, and stay.
    beside : int
        Rows of an import that had been kept only for this change, and went with it.
    """
    says = _TAKEN_BACK.get(kind)
    done = quoted(told(kind, words)) if says is None else says(words, rows)
    sentence = f"Taken back: {done}"
    if kept:
        sentence = f"{sentence[:-1]}, {kept} edited since {verb(kept)} kept."
    if beside:
        sentence += f" {beside} of an import taken back before {verb(beside)} in the bin too."
    return sentence


def _enter_back(words: Words, _rows: int) -> str:
    said = words.get("reading")
    return f"the reading{f' {said}' if said else ''} is in the bin."


def _import_back(words: Words, rows: int) -> str:
    file = words.get("file") or "a file"
    return f"the import of {file}; {count(rows, 'row')} {verb(rows)} in the bin."


def _person_back(words: Words, _rows: int) -> str:
    return f"{words.get('name') or 'a person'} is no longer in the diary."


def _remove_back(words: Words, _rows: int) -> str:
    return f"{words.get('name') or 'a person'} is in the diary again, with everything."


def _targets_back(words: Words, _rows: int) -> str:
    return f'the goals "{words.get("name", "")}" are no longer in force.'


def _settings_back(words: Words, _rows: int) -> str:
    return f"the settings of {words.get('name') or 'a person'} are as they were."


def _edit_back(words: Words, _rows: int) -> str:
    said = words.get("reading")
    return f"the reading{f' {said}' if said else ''} is as it was."


def _mark_back(words: Words, _rows: int) -> str:
    n = n_of(words)
    return f"{count(n, 'reading')} {'has its' if n == 1 else 'have their'} old mark again."


def _stand_back(words: Words, _rows: int) -> str:
    n = n_of(words)
    return f"{count(n, 'reading')} {'stands' if n == 1 else 'stand'} as before."


def _bin_back(words: Words, _rows: int) -> str:
    n = n_of(words)
    return f"{count(n, 'reading')} {verb(n)} out of the bin again."


def _restore_back(words: Words, rows: int) -> str:
    n = int(words.get("count", rows))
    return f"{count(n, 'record')} {verb(n)} in the bin again."


_TAKEN_BACK: dict[str, Callable[[Words, int], str]] = {
    "enter": _enter_back,
    "import": _import_back,
    "edit": _edit_back,
    "set_mark": _mark_back,
    "set_aside": _stand_back,
    "not_mine": _stand_back,
    "counted_again": _stand_back,
    "bin": _bin_back,
    "bin_restore": _restore_back,
    "person_add": _person_back,
    "person_remove": _remove_back,
    "settings": _settings_back,
    "targets_set": _targets_back,
}
