"""Our own CSV export, known by its header and read back exactly as it left the diary."""

from __future__ import annotations

import re
from datetime import UTC, datetime

from app.domain.errors import Problem, Refused
from app.domain.glucose import Bound, Glucose, Unit
from app.domain.marks import Mark, known_mark
from app.domain.numerals import plain_number
from app.domain.reading import Standing
from app.exchange.csv_export import COLUMNS, LIMIT_SIGNS
from app.exchange.encodings import Decoded
from app.exchange.file_read import FileRead, More, ReadingRow, Row, RowRefused
from app.exchange.recipe import DELIMITERS
from app.exchange.records import Sheet, problem_at
from app.exchange.units import unit_named
from app.exchange.values import possible

_NEEDED = {"record_id", "measured_at", "limit", "entered_value", "entered_unit"}
_BOUNDS = {sign: bound for bound, sign in LIMIT_SIGNS.items()}
_LONGEST_NOTE = 131_072  # what Python's csv module takes by itself
_TAG = re.compile(r"((?:[^;\\]|\\.)*)(?:;|$)", re.DOTALL)
_ESCAPED = re.compile(r"\\(.)", re.DOTALL)


def is_our_export(lines: list[str]) -> str | None:
    """The delimiter of a file whose header is ours, else None.

    It need not be the comma: a spreadsheet program may have saved the file with another.
    """
    for sign in DELIMITERS.values():
        titles = {title.strip().strip('"') for title in lines[0].split(sign)}
        if titles >= _NEEDED:
            return sign
    return None


def restore(lines: list[str], delimiter: str, text: Decoded) -> FileRead:
    """Read our own export; columns that a later version added are named in a note."""
    sheet = Sheet(lines, delimiter, damaged=text.damaged, loose=False, longest=_LONGEST_NOTE)
    problems: list[Problem] = []
    rows: list[Row] = []
    records = sheet.records(problems)
    titles = [title.strip() for title in next(records, (0, []))[1]]
    if problems or not set(titles) >= _NEEDED:
        raise Refused("The header of the export is broken; nothing was changed.")
    for line, fields in records:
        try:
            if len(fields) != len(titles):
                why = f"the row has {len(fields)} fields where {len(titles)} belong"
                raise RowRefused(why)
            rows.append(_row(line, dict(zip(titles, fields, strict=True))))
        except RowRefused as refused:
            problems.append(problem_at(line, delimiter.join(fields), str(refused)))
    if not rows and not problems:
        raise Refused("The file holds a header and no row; nothing was changed.")
    unknown = [title for title in titles if title not in COLUMNS]
    return FileRead(
        rows=rows,
        problems=sorted(problems, key=lambda problem: problem.line),
        source="thimblebook",
        ours=True,
        encoding=text.encoding,
        delimiter=delimiter,
        columns=tuple(titles),
        notes=(f"Columns not read: {', '.join(unknown)}.",) if unknown else (),
    )


def unguarded(text: str) -> str | None:
    """The free text of a cell, with the one quote taken away that guards it; None if empty."""
    return (text[1:] if text[:1] == "'" else text) or None


def split_tags(text: str) -> tuple[str, ...]:
    r"""The tags of one text, parted by semicolons that no ``\`` guards.

    >>> split_tags(r"gym;with Jo\; late")
    ('gym', 'with Jo; late')
    """
    if not text:
        return ()
    found, at = [], 0
    while at <= len(text):
        match = _TAG.match(text, at)
        if match is None:  # a lone backslash at the end
            found.append(text[at:])
            break
        found.append(_ESCAPED.sub(r"\1", match[1]))
        at = match.end() + (match.end() == match.end(1))
    return tuple(found)


def _row(line: int, cells: dict[str, str]) -> ReadingRow:
    text = {name: unguarded(cells.get(name, "")) for name in _TEXTS}
    plain = {name: cells.get(name, "").strip() for name in COLUMNS if name not in _TEXTS}
    wall, offset = _moment(plain["measured_at"])
    standing = plain["standing"] or Standing.COUNTED.value
    if standing not in list(Standing):
        raise RowRefused(f'"{standing}" is no standing of a reading')
    if standing == Standing.SET_ASIDE and text["standing_reason"] is None:
        raise RowRefused("the reading is set aside without a reason")
    return ReadingRow(
        line=line,
        wall=wall,
        precision=plain["time_precision"] or "minute",
        raw_wall=text["raw_time"],
        raw_value=text["raw_value"],
        raw_unit=text["raw_unit"],
        code=text["code"],
        note=text["note"],
        held=None,  # it was in a diary before, and was looked at there
        glucose=_glucose(plain),
        mark=_mark(plain["mark"]),
        after_min=_minutes(plain["minutes_after_meal"]),
        more=More(
            offset_min=offset,
            site=text["sample_site"],
            tags=split_tags(text["tags"] or ""),
            record_id=plain["record_id"] or None,
            zone=plain["time_zone"] or None,
            site_detail=text["site_detail"],
            hands=plain["hands"] or "unknown",
            mark_from=plain["mark_from"] or None,
            standing=standing,
            standing_reason=text["standing_reason"],
            odd_confirmed=plain["odd_confirmed"] == "yes",
            keeper=text["keeper"],
            time_from=plain["time_from"] or "file",
            time_state=plain["time_state"] or "sure",
            origin=plain["source"] or None,
            entered_at=_entered(plain["entered_at_utc"]),
            source_row=text["source_row"],
        ),
    )


_TEXTS = (
    "sample_site",
    "site_detail",
    "standing_reason",
    "tags",
    "note",
    "keeper",
    "raw_time",
    "raw_value",
    "raw_unit",
    "code",
    "source_row",
)


def _glucose(cells: dict[str, str]) -> Glucose:
    unit, bound = unit_named(cells["entered_unit"]), _BOUNDS.get(cells["limit"])
    value = plain_number(cells["entered_value"])
    if unit is None or bound is None:
        wrong = "entered_unit" if unit is None else "limit"
        raise RowRefused(f'"{cells[wrong]}" means nothing in the column {wrong}')
    if value is None and cells["entered_value"]:
        raise RowRefused(f'"{cells["entered_value"][:40]}" is not a plain number')
    if value is None and bound is Bound.EXACT:
        raise RowRefused("the value is missing")
    if value is not None and bound is Bound.NO_VALUE:
        raise RowRefused("the row says both a value and that there is none")
    return possible(Glucose(value, Unit(unit), bound))


def _mark(code: str) -> Mark:
    mark = known_mark(code or Mark.NONE.value)
    if mark is None:
        raise RowRefused(f'the mark "{code}" is not known to this version')
    return mark


def _minutes(text: str) -> int | None:
    if text and not (text.isascii() and text.isdigit() and len(text) < 5):
        raise RowRefused(f'"{text[:40]}" is no number of minutes after a meal')
    return int(text) if text else None


def _moment(text: str) -> tuple[datetime | None, int | None]:
    found = _iso(text)
    if found is None:
        return None, None
    offset = found.utcoffset()
    minutes = None if offset is None else int(offset.total_seconds() // 60)
    return found.replace(tzinfo=None), minutes


def _entered(text: str) -> int | None:
    found = _iso(text)
    return None if found is None else int(found.astimezone(UTC).timestamp())


def _iso(text: str) -> datetime | None:
    try:
        found = datetime.fromisoformat(text) if text else None
    except ValueError:
        raise RowRefused(f'"{text[:40]}" is no date and time') from None
    if found is not None and not 1970 <= found.year <= 2199:
        raise RowRefused(f"the year {found.year} lies outside 1970 to 2199")
    return found
