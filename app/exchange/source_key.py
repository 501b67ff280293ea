"""The key by which a row of a file is known again, in the same file or in a longer one."""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import blake2b
from typing import Any

from app.exchange.file_read import Row

Raw = tuple[str | None, str | None, str | None, str | None]  # wall time, value, unit, code

_DIGITS = "key "
_BYTES = 16
_LONGEST_COUNT = 9


def source_keys(rows: Iterable[Row], person: bytes, source: str) -> list[bytes]:
    """A key of 16 bytes for each row, in their order.

    It is made of the person's uid, the source's name, the row as the file has it (wall time, value,
    unit, code) and its count among equal rows of this file, from 0: the n-th equal row of one file
    meets the n-th equal row of the next, and two equal rows stay two.
    """
    start = _start(person, source)
    counts: dict[str, int] = {}
    keys = []
    for row in rows:
        text = _text(row.raw_wall, row.raw_value, row.raw_unit, row.code)
        count = counts.get(text, 0)
        counts[text] = count + 1
        key = start.copy()
        key.update(f"{text}{count}".encode())
        keys.append(key.digest())
    return keys


def told_keys(raw: Raw, person: bytes, sources: Iterable[str], most: int) -> dict[bytes, str]:
    """By key, what the keys of equal rows are made of beside the row itself.

    "0:kitchen" is the first row of its kind in a file of the source "kitchen". The person's uid is
    in the key, so for a person of another diary it has to be made anew; see `key_again`.

    Parameters
    ----------
    raw : tuple of str or None
        Wall time, value, unit and code as the file has them.
    person : bytes
        The person's uid.
    sources : iterable of str
        The names that the source may have.
    most : int
        How many rows of that kind there may be.
    """
    return {
        _key(raw, person, source, count): f"{count}:{source}"
        for source in sources
        for count in range(most)
    }


def told_as_it_is(key: bytes) -> str:
    """A key that nobody knows the making of, by its digits."""
    return f"{_DIGITS}{key.hex()}"


def key_again(said: str, raw: Raw, person: bytes) -> bytes | None:
    """The key that was told, for a person of this diary; None where it tells none."""
    if said.startswith(_DIGITS):
        try:
            key = bytes.fromhex(said.removeprefix(_DIGITS))
        except ValueError:
            return None
        return key if len(key) == _BYTES else None
    count, colon, source = said.partition(":")
    if not (colon and count.isascii() and count.isdigit() and len(count) < _LONGEST_COUNT):
        return None
    return _key(raw, person, source, int(count))


def _key(raw: Raw, person: bytes, source: str, count: int) -> bytes:
    key = _start(person, source)
    key.update(f"{_text(*raw)}{count}".encode())
    return bytes(key.digest())


def _start(person: bytes, source: str) -> Any:
    # No text of a file holds U+0000, so it keeps the parts apart.
    return blake2b(b"%b\0%b\0" % (person, source.encode()), digest_size=_BYTES)


def _text(wall: str | None, value: str | None, unit: str | None, code: str | None) -> str:
    return f"{wall or ''}\0{value or ''}\0{unit or ''}\0{code or ''}\0"
