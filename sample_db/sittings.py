"""Readings come into the diary when a memory is copied; what paper alone has is typed in then."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from uuid import UUID

from app.domain.reading import Stamp
from app.exchange.recipe_toml import read_recipe
from app.exchange.source_key import source_keys
from app.exchange.table import read_table
from app.store import schema
from sample_db.beginning import keeper_uid
from sample_db.chapters import Added, Chapter, Row, added
from sample_db.files import FOLDER, copyings, form_of, memory_file, papers, sheet_file
from sample_db.forms import Form
from sample_db.household import Household
from sample_db.ids import uid_named
from sample_db.memory import Copying, MemoryRow, copied, memory_rows
from sample_db.records import Result, Trace
from sample_db.results_written import Source, control_rows, note_row, reading_rows, repair_rows

_TYPED_AFTER_S = 600
_AT_ONCE_S = 180  # a reading that is typed in where it was taken
_EVENING = 22 * 60 + 30


@dataclass(slots=True)
class _Shelf:
    """The household, what of it is written already, and each record as its file has it.

    `found` has the key and the stamp that an import of the file would give a record.
    """

    home: Household
    written: set[UUID]
    recipes: set[str] = field(default_factory=set)
    found: dict[UUID, tuple[bytes, Stamp]] = field(default_factory=dict)
    sheets: dict[UUID, Form] = field(default_factory=dict)

    def source(
        self, record: UUID, at: int, batch: UUID | None = None, line: int | None = None
    ) -> Source:
        """Where a record comes from that was written at a time."""
        return Source(at, batch, line, *self.found.get(record, (None, None)))


def sittings(home: Household) -> Iterator[Chapter]:
    """A chapter for each copy of a memory, and one for the paper that was typed in beside it.

    A reading that somebody worked on before the next copy was typed in when it was taken.
    """
    early = {edit.reading for edit in home.edits}
    shelf = _Shelf(home, set(early))
    for form, when, results in papers(home):
        text = sheet_file(form, when, results)[1]
        shelf.found |= _found(home, form, text, [each.uid for each in results])
        shelf.sheets |= {each.uid: form for each in results}
    for copying in sorted(copyings(home), key=lambda each: each.at.instant):
        yield _copy(shelf, copying)
        yield from _paper(shelf, copying)
    for result in home.results:
        if result.uid in early:
            yield _at_once(shelf, result)
    yield from _notes_added(home)


def _copy(shelf: _Shelf, copying: Copying) -> Chapter:
    home, form = shelf.home, form_of(copying.meter)
    rows = copied(home, memory_rows(home, copying.meter), copying)
    name, text = memory_file(copying, rows)
    shelf.found |= _found(home, form, text, [row.record for row in rows])
    fresh = {
        row.record: line for line, row in enumerate(rows, 2) if row.record not in shelf.written
    }
    shelf.written |= fresh.keys()
    batch = uid_named("import_batch", name)
    return Chapter(
        copying.at.instant,
        "import",
        {"file": name, "new": len(fresh)},
        home.wishes.uid,
        (
            *_recipe(shelf, form),
            _batch(home, copying, batch, name, text, rows, len(fresh)),
            *_records(shelf, copying, batch, fresh),
        ),
        keeper_uid(home, home.keepers[0]),
        batch,
    )


def _recipe(shelf: _Shelf, form: Form) -> Iterator[Added]:
    if form.recipe not in shelf.recipes:
        shelf.recipes.add(form.recipe)
        uid = uid_named("recipe", form.recipe)
        yield added(schema.recipe, uid, name=form.recipe, spec=_spec(form))


def _batch(
    home: Household,
    copying: Copying,
    uid: UUID,
    name: str,
    text: str,
    rows: list[MemoryRow],
    new: int,
) -> Added:
    """The account of a copy: control tests are taken too, as what they are."""
    return added(
        schema.import_batch,
        uid,
        person_id=home.wishes.uid,
        name=name,
        sha=sha256(text.encode()).digest(),
        bytes=len(text.encode()),
        seen=len(rows),
        new=new,
        already=len(rows) - new,
        refused=0,
        held=0,
        recipe_id=uid_named("recipe", form_of(copying.meter).recipe),
        meter_id=home.meter(copying.meter).uid,
        newest_raw=rows[0].shown.isoformat(timespec="minutes"),
        at=copying.at.instant,
        zone=home.wishes.zone,
    )


def _records(
    shelf: _Shelf, copying: Copying, batch: UUID, lines: Mapping[UUID, int]
) -> Iterator[Row]:
    """Repairs first, since readings name them; then readings and control tests by time."""
    home, at = shelf.home, copying.at.instant
    results = [each for each in home.results if each.uid in lines]
    orders = {each.memory_order for each in results}
    for repair in home.clock_repairs:
        if repair.meter == copying.meter and repair.first_order in orders:
            yield from repair_rows(home, repair)
    for result in results:
        source = shelf.source(result.uid, at, batch, lines[result.uid])
        yield from reading_rows(home, result, source)
    for test in home.controls:
        if test.uid in lines:
            source = shelf.source(test.uid, at, batch, lines[test.uid])
            yield from control_rows(home, test, source)


def _paper(shelf: _Shelf, copying: Copying) -> Iterator[Chapter]:
    """What paper alone has by then of the meter, or of whoever keeps it."""
    home, keeper = shelf.home, shelf.home.meter(copying.meter).keeper
    found = [
        each
        for each in home.results
        if each.trace in (Trace.PAPER, Trace.UNCONFIRMED)
        and each.keeper == keeper
        and each.moment.instant <= copying.at.instant
        and each.uid not in shelf.written
    ]
    if found:
        shelf.written |= {each.uid for each in found}
        at = copying.at.instant + _TYPED_AFTER_S
        # The recipe of a sheet is kept with its rows, so that its file is known again.
        forms = {form.recipe: form for each in found for form in _sheet_of(shelf, each)}.values()
        yield Chapter(
            at,
            "rows_from_paper",
            {"keeper": keeper, "rows": len(found)},
            home.wishes.uid,
            (
                *(row for form in forms for row in _recipe(shelf, form)),
                *(
                    row
                    for result in found
                    for row in reading_rows(home, result, shelf.source(result.uid, at))
                ),
            ),
            keeper_uid(home, home.keepers[0]),
        )


def _at_once(shelf: _Shelf, result: Result) -> Chapter:
    home, glucose = shelf.home, result.glucose
    at = result.moment.instant + _AT_ONCE_S
    said = f"{glucose.shown(glucose.unit)} {glucose.unit}, {result.moment.wall.replace('T', ' ')}"
    source = shelf.source(result.uid, at)
    rows = (row for row in reading_rows(home, result, source) if row.table is not schema.note)
    keeper = keeper_uid(home, result.keeper)
    return Chapter(at, "enter", {"reading": said}, home.wishes.uid, tuple(rows), keeper)


def _notes_added(home: Household) -> Iterator[Chapter]:
    for edit in home.edits:
        if edit.field != "note":
            continue
        (result,) = [each for each in home.results if each.uid == edit.reading]
        evening = (edit.day - result.moment.local.date()).days * 1440 + _EVENING
        yield Chapter(
            result.moment.instant + (evening - result.moment.minute) * 60,
            "note",
            {"text": edit.new},
            home.wishes.uid,
            (note_row(result.uid, edit.new),),
            keeper_uid(home, edit.keeper),
        )


def _sheet_of(shelf: _Shelf, result: Result) -> list[Form]:
    return [shelf.sheets[result.uid]] if result.uid in shelf.sheets else []


def _found(
    home: Household, form: Form, text: str, records: list[UUID]
) -> dict[UUID, tuple[bytes, Stamp]]:
    """Key and stamp of each record that the file tells as a reading, as an import gives them."""
    recipe = read_recipe(_spec(form), where=form.recipe)
    read = read_table(text.encode(), recipe)
    keys = source_keys(read.rows, home.wishes.uid.bytes, read.source)
    return {
        records[row.line - 2]: (key, Stamp(row.raw_wall, row.raw_value, row.raw_unit, row.code))
        for row, key in zip(read.rows, keys, strict=True)
    }


def _spec(form: Form) -> str:
    return (FOLDER / f"{form.recipe}.toml").read_text(encoding="utf-8")
