from __future__ import annotations

import json
from hashlib import sha256
from io import BytesIO
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.errors import FileFromNewerVersion, Refused
from app.exchange.json_lines import (
    FORMAT,
    Header,
    Row,
    is_whole_diary,
    read_lines,
    write_lines,
)

SCHEMA = 6
HEADER = {"type": "header", "format": FORMAT, "version": 1, "schema": SCHEMA}
HEADER |= {"made_at": "2026-03-12T21:30:00Z", "rows": {"note": 1}, "state": "0"}
NUMBER = '{"type":"note","n":7}'
NOTE = '{"type":"note","text":"slept badly"}'

texts = st.text(st.characters(exclude_categories=["Cs"])) | st.sampled_from(
    [
        "🍎👩‍👧",
        '"',
        "a\nb\r\nc",
        "=1+1",
        "@x",
        "שלום",
        "\u202eabc\u202c",
        "\u2028\x85\x0b",
        "\0",
        "{}",
    ]
)
values = (
    texts
    | st.integers(-(2**63), 2**63 - 1)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.binary(max_size=20)
)
fields = st.dictionaries(texts.filter(lambda name: name not in ("type", "rows")), values)
rows = st.lists(st.tuples(texts, fields), max_size=6)


def written(found: list[Row]) -> bytes:
    counts: dict[str, int] = {}
    for name, _ in found:
        counts[name] = counts.get(name, 0) + 1
    stream = BytesIO()
    header = Header(SCHEMA, "2026-03-12T21:30:00Z", counts, "0")
    assert write_lines(stream, header, found) == len(found)
    return stream.getvalue()


def sealed(*lines: str) -> bytes:
    """Lines with a trailer that agrees with them."""
    body = "".join(f"{line}\n" for line in lines).encode("utf-8", "surrogatepass")
    trailer = {"type": "trailer", "lines": len(lines), "sha256": sha256(body).hexdigest()}
    return body + json.dumps(trailer).encode() + b"\n"


def headed(*lines: str, **other: Any) -> bytes:
    return sealed(json.dumps({**HEADER, **other}, separators=(",", ":")), *lines)


def read(data: bytes) -> list[Row]:
    return list(read_lines(data, schema=SCHEMA).rows())


@given(rows)
def test_what_was_written_is_read_back_exactly(found: list[Row]) -> None:
    back = read(written(found))

    assert back == found
    kinds = [[type(value) for value in said.values()] for _, said in back]
    assert kinds == [[type(value) for value in said.values()] for _, said in found]


@given(rows, st.data())
def test_a_file_cut_anywhere_is_refused(found: list[Row], data: st.DataObject) -> None:
    whole = written(found)

    with pytest.raises(Refused, match=r"Nothing was brought in"):
        read(whole[: data.draw(st.integers(0, len(whole) - 1))])


@given(rows, st.data())
def test_a_file_with_one_byte_altered_is_refused(found: list[Row], data: st.DataObject) -> None:
    whole = bytearray(written(found))
    place = data.draw(st.integers(0, len(whole) - 1))
    whole[place] ^= data.draw(st.integers(1, 255))

    with pytest.raises((Refused, FileFromNewerVersion), match=r"Nothing was brought in"):
        read(bytes(whole))


def test_the_digest_is_that_of_the_lines_before_it() -> None:
    data = headed(NOTE)

    assert is_whole_diary(data)
    assert read(data) == [("note", {"text": "slept badly"})]


def test_a_line_more_or_less_is_told_as_altered() -> None:
    lines = headed(NOTE, NOTE, rows={"note": 2}).splitlines(keepends=True)

    for spoiled in (lines[:1] + lines[2:], [*lines[:2], *lines[1:]]):
        with pytest.raises(Refused, match="its lines and its last line disagree"):
            read(b"".join(spoiled))
    with pytest.raises(Refused, match="was cut: its last line is missing"):
        read(b"".join(lines[:-1]))
    with pytest.raises(Refused, match="was cut"):
        read(b"".join([*lines, b"\n"]))


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ('{"type":"note","text":"a","text":"b"}', "a name stands in it twice"),
        ('{"type":"note","text":{"hex":"00","hex":"01"}}', "a name stands in it twice"),
        ('{"type":"note","n":NaN}', "NaN is no number"),
        ('{"type":"note","n":-Infinity}', "-Infinity is no number"),
        ('{"type":"note","n":1e999}', "1e999 is too large a number"),
        (NUMBER.replace("7", "9" * 5000), "it is no JSON"),
        (NUMBER.replace("7", "[" * 100_000 + "]" * 100_000), "it is nested too deep"),
        ('{"type":"note","n":[1]}', 'the field "n" is nested'),
        ('{"type":"note","n":{"hex":"0g"}}', "bytes are written as hexadecimal digits"),
        ('{"type":"note","n":{"hex":7}}', "bytes are written as hexadecimal digits"),
        ('{"type":"note","text":"\\ud83d"}', "a text holds half of a letter"),
        ('{"type":"note","text":"\ud83d"}', "it is no UTF-8"),
        ('{"type":7}', "a text is missing"),
        ("[]", "it is no JSON object"),
        ("", "it is no JSON"),
    ],
)
def test_a_line_that_is_no_row_is_refused_with_its_number(line: str, why: str) -> None:
    with pytest.raises(Refused) as refused:
        read(headed(NOTE, line))

    assert str(refused.value) == (
        f"Line 3 of the file can't be read: {why}. Nothing was brought in."
    )


def test_other_rows_than_the_header_counts_are_refused() -> None:
    with pytest.raises(Refused, match="other rows than its header counts"):
        read(headed(NOTE, rows={"note": 2}))


@pytest.mark.parametrize("other", [{"version": 2}, {"schema": SCHEMA + 1}])
def test_a_newer_version_is_told_also_where_it_was_cut(other: dict[str, int]) -> None:
    with pytest.raises(FileFromNewerVersion, match="use the newer program"):
        read(headed(NOTE, **other)[:-20])


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\n",
        b"date,value\n",
        b'{"type":"header","format":"other"}\n',
        headed(version=-1),
        headed(schema="6"),
        b"\xef\xbb\xbf" + headed(NOTE),
    ],
)
def test_another_file_is_no_whole_diary(data: bytes) -> None:
    with pytest.raises(Refused, match="no whole diary as this program exports it"):
        read_lines(data, schema=SCHEMA)


def test_not_a_number_never_leaves() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        written([("note", {"n": float("nan")})])
