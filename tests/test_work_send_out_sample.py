"""What the invented households' exports say of the files that their readings came from."""

from __future__ import annotations

import io
from datetime import UTC, datetime
from pathlib import Path

import pytest

from app.domain.person import Person
from app.exchange.recipe_toml import read_recipe
from app.exchange.table import read_table
from app.store.diary import Diary
from app.store.people import persons
from app.store.readings import readings_of
from app.work.bring_in import BroughtIn, File, bring_in
from app.work.people import add_person
from app.work.send_out import write_csv
from app.work.source_rows import source_rows
from sample_db.files import FOLDER
from tests.households import new_diary, sample_of

LATER = datetime(2026, 9, 1, 8, tzinfo=UTC)


def came_in(diary: Diary, person: Person, path: Path) -> BroughtIn:
    """Bring one of the households' own files in, as a copy of a memory where it is one."""
    form = "-".join(path.stem.split("-")[:2])
    spec = (FOLDER / f"{form}.toml").read_text(encoding="utf-8")
    data = path.read_bytes()
    file = File(path.name, data, read_table(data, read_recipe(spec, where=form)))
    return bring_in(diary, person, file, now=LATER, recipe=(form, spec))


@pytest.mark.parametrize("name", ["Tilde", "Corwin"])
def test_no_file_of_a_household_comes_in_twice_after_its_export_was_restored(
    tmp_path: Path, name: str
) -> None:
    text = io.StringIO(newline="")
    with sample_of(tmp_path, name) as (diary, person):
        held = len(readings_of(diary, person))
        assert write_csv(diary, person, text) == held
        told = source_rows(diary, person, readings_of(diary, person))
    export = text.getvalue().encode()

    with new_diary(tmp_path, "other.thimblebook") as other:
        again = add_person(other, name, unit=person.unit, zone=person.zone, now=LATER)
        file = File("export.csv", export, read_table(export, None))
        assert bring_in(other, again, file, now=LATER, recipe=None).account.new == held
        files = sorted(FOLDER.glob(f"{name.lower()}-*.csv"))
        found = [
            came_in(other, again, each)
            for each in files
            if not each.stem.startswith("tilde-ketones")
        ]
        after = len(readings_of(other, persons(other)[0]))

    assert not any(each.startswith("key ") for each in told.values())
    assert len(found) > 10
    # Corwin's meter doesn't tell its three control tests, and no CSV of readings has them.
    untold = {"Tilde": 0, "Corwin": 3}[name]
    assert sum(each.account.new for each in found) == untold
    assert after == held + untold
    assert person.uid != again.uid  # the keys hold the person's uid, so all were made anew
