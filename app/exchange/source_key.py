"""The key by which a row of a file is known again, in the same file or in a longer one."""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import blake2b

from app.exchange.file_read import Row


def source_keys(rows: Iterable[Row], person: bytes, source: str) -> list[bytes]:
    """A key of 16 bytes for each row, in their order.

    It is made of the person's uid, the source's name, the row as the file has it (wall time, value,
    unit, code) and its count among equal rows of this file, from 0: the n-th equal row of one file
    meets the n-th equal row of the next, and two equal rows stay two.
    """
    # No text of a file holds U+0000, so it keeps the parts apart.
    start = blake2b(b"%b\0%b\0" % (person, source.encode()), digest_size=16)
    counts: dict[str, int] = {}
    keys = []
    for row in rows:
        text = (
            f"{row.raw_wall or ''}\0{row.raw_value or ''}\0{row.raw_unit or ''}\0{row.code or ''}\0"
        )
        count = counts.get(text, 0)
        counts[text] = count + 1
        key = start.copy()
        key.update(f"{text}{count}".encode())
        keys.append(key.digest())
    return keys
