"""Writes what meters and paper really showed, faults included, into `files/`, beside the recipes.

`python -m sample_db.files` builds them anew; the recipes (TOML) are written by hand and stay.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from pathlib import Path

from sample_db import corwin_life, forms, tilde_life
from sample_db.corwin_script import MEMORY_BEGINS
from sample_db.forms import Form, Line
from sample_db.household import Household
from sample_db.memory import Copying, MemoryRow, copied, memory_rows
from sample_db.records import Result, Trace, local_moment
from sample_db.tilde_script import SCHOOL_CLEARED

FOLDER = Path(__file__).parent / "files"

# Blue on the eve of each visit, grey when school hands it over, spare when Bram brings it.
_TILDES_COPIES = (
    ("blue", "2025-10-14T20:00", None),
    ("blue", "2026-01-20T20:00", None),
    ("blue", "2026-04-21T20:00", None),
    ("blue", "2026-07-14T20:00", None),
    ("blue", "2026-08-31T22:00", None),
    ("grey", "2025-12-19T16:00", None),
    ("grey", "2026-03-27T16:00", None),
    ("grey", "2026-06-05T16:00", None),
    ("grey", "2026-06-26T16:00", SCHOOL_CLEARED),
    ("spare", "2025-12-28T17:00", None),
    ("spare", "2026-04-19T18:00", None),
    ("spare", "2026-08-31T22:00", None),
)
# Often enough for a memory of 100, but for the one of 12 July.
_CORWINS_COPIES = (
    ("black", "2025-11-15T10:00", MEMORY_BEGINS),
    ("black", "2026-01-01T11:00", MEMORY_BEGINS),
    ("black", "2026-02-05T20:00", MEMORY_BEGINS),
    ("black", "2026-03-15T20:00", MEMORY_BEGINS),
    ("black", "2026-04-23T20:00", MEMORY_BEGINS),
    ("black", "2026-05-20T12:30", MEMORY_BEGINS),
    ("black", "2026-07-12T12:00", MEMORY_BEGINS),
    ("black", "2026-08-06T20:00", MEMORY_BEGINS),
    ("black", "2026-08-31T23:00", MEMORY_BEGINS),
)
_FORMS = {"blue": forms.BLUE, "grey": forms.GREY, "spare": forms.SPARE, "black": forms.BLACK}


def copyings(home: Household) -> tuple[Copying, ...]:
    """The copies of memories that the household made in its year, meter by meter."""
    zone = home.wishes.zone
    listed = _TILDES_COPIES if home.wishes.name == "Tilde" else _CORWINS_COPIES
    return tuple(
        Copying(meter, local_moment(at, zone), local_moment(cleared, zone) if cleared else None)
        for meter, at, cleared in listed
    )


def memory_files(home: Household) -> Iterator[tuple[str, str]]:
    """Name and text of a file for each copy of a memory."""
    for copying in copyings(home):
        yield memory_file(copying, copied(home, memory_rows(home, copying.meter), copying))


def memory_file(copying: Copying, rows: Sequence[MemoryRow]) -> tuple[str, str]:
    """Name and text of the file of one copy."""
    form = form_of(copying.meter)
    lines = [Line(row.number, row.shown, row.value, row.code) for row in rows]
    return f"{form.recipe}-{copying.at.local:%Y-%m-%d}.csv", form.text(lines)


def form_of(meter: str) -> Form:
    """The form of a meter's copies."""
    return _FORMS[meter]


def sheet_file(form: Form, when: str, results: Iterable[Result]) -> tuple[str, str]:
    """Name and text of the file of one sheet."""
    lines = [
        Line(
            number,
            datetime.fromisoformat(str(each.stamp.wall)),
            str(each.stamp.value),
            each.stamp.code or "",
        )
        for number, each in enumerate(results, start=1)
    ]
    return f"{form.recipe}-{when}.csv", form.text(lines)


def papers(home: Household) -> Iterator[tuple[Form, str, list[Result]]]:
    """Form, date in its name and results of each sheet of glucose that the household kept."""
    paper = [each for each in home.results if each.trace is Trace.PAPER]
    if home.wishes.name == "Tilde":
        unconfirmed = [each for each in home.results if each.trace is Trace.UNCONFIRMED]
        yield forms.SCHOOL_SHEET, "2026-06", paper
        yield forms.BRAMS_SHEET, "2026-03", unconfirmed
        return
    begins = MEMORY_BEGINS
    yield forms.NOTEBOOK, "2025-09", [each for each in paper if each.moment.wall < begins]
    yield forms.NOTEBOOK, "2026", [each for each in paper if each.moment.wall >= begins]


def sheets(home: Household) -> Iterator[tuple[str, str]]:
    """Name and text of a file for each sheet of paper that the household kept."""
    for form, when, results in papers(home):
        yield sheet_file(form, when, results)
    if home.wishes.name == "Tilde":
        for month in ("2026-02", "2026-05"):
            tests = [each for each in home.ketones if each.moment.wall.startswith(month)]
            lines = [Line(n, each.moment.local, each.value) for n, each in enumerate(tests, 1)]
            yield f"{forms.ENVELOPE.recipe}-{month}.csv", forms.ENVELOPE.text(lines)


def all_files() -> dict[str, str]:
    """Every file of both households, by name."""
    homes = (tilde_life.household(), corwin_life.household())
    return {
        name: text
        for home in homes
        for source in (memory_files(home), sheets(home))
        for name, text in source
    }


def write_files(folder: Path) -> None:
    """Write every file into a folder, made if need be; the same bytes in every build."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in all_files().items():
        (folder / name).write_bytes(text.encode())


if __name__ == "__main__":
    write_files(FOLDER)
