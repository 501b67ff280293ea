"""A whole diary as JSON Lines of our own form: a header, one row a line, a trailer with a digest.

The digest finds what was cut or altered by accident; it is no guard against a forger.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from hashlib import sha256
from typing import Any, BinaryIO

from app.domain.errors import FileFromNewerVersion, Refused

FORMAT = "thimblebook-whole-diary"
VERSION = 1

Row = tuple[str, dict[str, Any]]  # the table's name, and what the row says

_START = b'{"type":"header","format":"' + FORMAT.encode() + b'"'


class _Spoiled(ValueError):
    """A line is not what this form writes; the text says why. It never leaves this module."""


@dataclass(frozen=True, slots=True)
class Header:
    """What a file says of itself first: schema version, when it was made, rows by table, state."""

    schema: int
    made_at: str
    rows: dict[str, int]
    state: str


@dataclass(frozen=True, slots=True)
class Lines:
    """A file whose trailer agrees with what stands before it."""

    header: Header
    body: bytes

    def rows(self) -> Iterator[Row]:
        """Each row in the order of the file.

        Raises
        ------
        Refused
            A line is no row, or the header counts others; the sentence names the line.
        """
        counts: dict[str, int] = {}
        lines = self.body.split(b"\n")[1:-1]
        for number, line in enumerate(lines, 2):
            try:
                said = _object(line)
                name = _text(said.pop("type", None))
            except _Spoiled as problem:
                raise refused_line(number, str(problem)) from problem
            counts[name] = counts.get(name, 0) + 1
            yield name, said
        if counts != self.header.rows:
            raise Refused(
                "The file holds other rows than its header counts. Nothing was brought in; "
                "export the diary once more."
            )


def refused_line(number: int, why: str) -> Refused:
    """What is said of a line that can't be taken."""
    return Refused(f"Line {number} of the file can't be read: {why}. Nothing was brought in.")


def write_lines(stream: BinaryIO, header: Header, rows: Iterable[Row]) -> int:
    """Write a whole diary; returns how many rows.

    Raises
    ------
    ValueError
        A value is NaN or infinite, which JSON can't say.
    """
    first: dict[str, Any] = {"type": "header", "format": FORMAT, "version": VERSION}
    first |= {"schema": header.schema, "made_at": header.made_at, "rows": header.rows}
    digest = sha256()
    count = 0
    for said in _with_first({**first, "state": header.state}, rows):
        line = _line(said)
        digest.update(line)
        stream.write(line)
        count += 1
    stream.write(_line({"type": "trailer", "lines": count, "sha256": digest.hexdigest()}))
    return count - 1


def is_whole_diary(data: bytes) -> bool:
    """Whether a file begins as this form does."""
    return data.startswith(_START)


def read_lines(data: bytes, *, schema: int) -> Lines:
    """Look at a file as a whole: its header, and whether its trailer agrees with the lines.

    Parameters
    ----------
    schema : int
        The newest schema version that is known.

    Raises
    ------
    FileFromNewerVersion
        A newer program wrote it.
    Refused
        It is no such file, was cut, or is not as it was written.
    """
    first, _, _ = data.partition(b"\n")
    try:
        if not is_whole_diary(data):
            raise _Spoiled("another beginning")
        said = _object(first)
        version = _number(said.get("version"))
        newest = _number(said.get("schema"))
    except _Spoiled as problem:
        raise Refused(
            "The file is no whole diary as this program exports it. Nothing was brought in; "
            "name a file that was written by export --as jsonl."
        ) from problem
    if version > VERSION or newest > schema:
        raise FileFromNewerVersion(
            f"The file was written by a newer Thimblebook (form {version}, schema {newest}; this "
            f"program knows {VERSION} and {schema}). Nothing was brought in; use the newer program."
        )
    body = _agreed(data)
    try:
        return Lines(_header(said), body)
    except _Spoiled as problem:
        raise refused_line(1, str(problem)) from problem


def _with_first(first: dict[str, Any], rows: Iterable[Row]) -> Iterator[dict[str, Any]]:
    yield first
    for name, said in rows:
        yield {"type": name, **said}


def _line(said: dict[str, Any]) -> bytes:
    return _ENCODER.encode(said).encode() + b"\n"


def _agreed(data: bytes) -> bytes:
    """The lines before the trailer, where it agrees with them."""
    at = data.rfind(b"\n", 0, -1) + 1
    body, last = data[:at], data[at:]
    try:
        trailer = _object(last)
        whole = data.endswith(b"\n") and trailer.get("type") == "trailer"
    except _Spoiled:
        whole = False
    if not whole:
        raise Refused(
            "The file was cut: its last line is missing. Nothing was brought in; "
            "copy the file again, or export the diary once more."
        )
    said = {"type": "trailer", "lines": body.count(b"\n"), "sha256": sha256(body).hexdigest()}
    if trailer != said:
        raise Refused(
            "The file is not as it was written: its lines and its last line disagree. Nothing was "
            "brought in; copy the file again, or export the diary once more."
        )
    return body


def _header(said: dict[str, Any]) -> Header:
    counts = said.get("rows")
    if not isinstance(counts, dict):
        raise _Spoiled("the header counts no rows")
    return Header(
        schema=_number(said.get("schema")),
        made_at=_text(said.get("made_at")),
        rows={name: _number(count) for name, count in counts.items()},
        state=_text(said.get("state")),
    )


def _object(line: bytes) -> dict[str, Any]:
    """One JSON object: no key twice, no NaN, plain values, bytes as {"hex": ...}."""
    try:
        said = json.loads(
            line.decode(), object_pairs_hook=_once, parse_constant=_no_number, parse_float=_finite
        )
    except RecursionError as problem:
        raise _Spoiled("it is nested too deep") from problem
    except UnicodeDecodeError as problem:
        raise _Spoiled("it is no UTF-8") from problem
    except _Spoiled:
        raise
    except ValueError as problem:  # a number of thousands of digits too
        raise _Spoiled("it is no JSON") from problem
    if not isinstance(said, dict):
        raise _Spoiled("it is no JSON object")
    return {name: _value(name, value) for name, value in said.items()}


def _value(name: str, value: Any) -> Any:
    if isinstance(value, dict) and value.keys() == {"hex"}:
        try:
            return bytes.fromhex(value["hex"])
        except (TypeError, ValueError) as problem:
            raise _Spoiled("bytes are written as hexadecimal digits") from problem
    if isinstance(value, dict) and name == "rows":
        return value
    if isinstance(value, dict | list):
        raise _Spoiled(f'the field "{name[:40]}" is nested')
    if isinstance(value, str):
        return _text(value)
    return value


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise _Spoiled("a name stands in it twice")
    return found


def _no_number(text: str) -> float:
    raise _Spoiled(f"{text} is no number")


def _finite(text: str) -> float:
    number = float(text)
    if number in (float("inf"), float("-inf")):
        raise _Spoiled(f"{text[:40]} is too large a number")
    return number


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise _Spoiled("a text is missing")
    try:
        value.encode()
    except UnicodeEncodeError as problem:  # half of a pair of surrogates, written as an escape
        raise _Spoiled("a text holds half of a letter") from problem
    return value


def _number(value: Any) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or value < 0:
        raise _Spoiled("a count is missing")
    return value


def _bytes_out(value: object) -> dict[str, str]:
    if isinstance(value, bytes):
        return {"hex": value.hex()}
    raise TypeError(f"not a value of a row: {type(value).__name__}")


_ENCODER = json.JSONEncoder(
    ensure_ascii=False, allow_nan=False, separators=(",", ":"), default=_bytes_out
)
