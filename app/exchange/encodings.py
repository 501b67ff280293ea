"""Bytes of a file turned into text: by its mark, as UTF-8, by the pattern of UTF-16, or asked."""

from __future__ import annotations

import codecs
from dataclasses import dataclass

from app.domain.errors import Question, Refused

LARGEST_BYTES = 200 * 1024 * 1024

_BOMS = (  # UTF-32 first: its little-endian mark begins like the one of UTF-16
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_CONTROLS = dict.fromkeys((set(range(1, 32)) | {127}) - {9, 10, 12, 13})
_SHARE_OF_CONTROLS = 0.03  # more is no text; clean UTF-8 is text whatever it holds
_SAMPLE = 65536


@dataclass(frozen=True, slots=True)
class Decoded:
    """The text of a file; `damaged` where single places could not be decoded (U+FFFD)."""

    text: str
    encoding: str
    damaged: bool = False


def decoded(data: bytes, encoding: str | None) -> Decoded | Question:
    """The text of a file, or the question which encoding it has.

    An encoding that is given is used; then only the rows with undecodable bytes are lost.

    Raises
    ------
    Refused
        For an empty file, one over the size cap, and bytes that are no text.
    """
    if len(data) > LARGEST_BYTES:
        raise too_large(len(data))
    if not data.strip():
        raise Refused("The file is empty; nothing was changed.")
    if encoding is None:
        encoding = _by_mark(data) or _by_zeros(data)
        if encoding is None:
            _refuse_zeros(data)
            encoding = "utf-8"
        try:
            return _checked(Decoded(data.decode(encoding), encoding))
        except UnicodeDecodeError as problem:
            if encoding == "utf-8":
                _checked(Decoded(data[:_SAMPLE].decode("latin-1"), "latin-1"))
            return _which(data, encoding, problem)
    if encoding == "utf-8" and data.startswith(codecs.BOM_UTF8):
        encoding = "utf-8-sig"
    try:
        return _checked(Decoded(data.decode(encoding), encoding))
    except UnicodeError:  # UTF-16 that must begin with a mark raises the plain kind
        return _checked(Decoded(data.decode(encoding, "replace"), encoding, damaged=True))


def too_large(size: int) -> Refused:
    """The refusal of a file over the cap; callers may use it before they read the file."""
    return Refused(
        f"The file has {size / 1024 / 1024:.0f} MB; up to {LARGEST_BYTES // 1024 // 1024} MB are "
        "read at a time. Nothing was changed; split the file and bring in the parts."
    )


def _by_mark(data: bytes) -> str | None:
    return next((name for mark, name in _BOMS if data.startswith(mark)), None)


def _by_zeros(data: bytes) -> str | None:
    """UTF-16 without a mark: in text of a Western script every other byte is zero."""
    sample = data[: _SAMPLE & ~1]
    half = len(sample) // 2
    even, odd = sample[0::2].count(0), sample[1::2].count(0)
    if odd > 0.4 * half and even == 0:
        return "utf-16-le"
    return "utf-16-be" if even > 0.4 * half and odd == 0 else None


def _refuse_zeros(data: bytes) -> None:
    """Zeros in no pattern: asking for an encoding would lead nowhere."""
    if b"\0" in data:
        raise _no_text()


def _checked(found: Decoded) -> Decoded:
    sample = found.text[:_SAMPLE]
    controls = len(sample) - len(sample.translate(_CONTROLS))
    mostly_controls = controls > _SHARE_OF_CONTROLS * len(sample)
    if "\0" in found.text or (mostly_controls and not found.encoding.startswith("utf-8")):
        raise _no_text()
    if not found.text.strip():
        raise Refused("The file is empty; nothing was changed.")
    return found


def _no_text() -> Refused:
    return Refused(
        "The file is not text, so it can't be read as a table; nothing was changed. From a "
        "spreadsheet program, save it as CSV and bring that in."
    )


def _which(data: bytes, encoding: str, problem: UnicodeDecodeError) -> Question:
    line = data.count(b"\n", 0, problem.start) + 1
    shown = data[max(0, problem.start - 20) : problem.start + 20].decode("cp1252", "replace")
    shown = " ".join(shown.split())
    likely = ("cp1252", "iso8859-15", "mac-roman", "cp850") if encoding == "utf-8" else ()
    return Question(
        "encoding",
        f'The file is not clean {encoding} (line {line}, in cp1252: "{shown}"). In which encoding '
        f"was it written? With {encoding} itself, the rows that can't be decoded are refused. "
        "Nothing was read.",
        tuple(f"--encoding {name}" for name in (*likely, encoding)),
    )
