from __future__ import annotations

from pathlib import Path

import pytest

from app.domain.errors import DiaryError
from app.domain.shipped import find, shipped


def test_checkout_finds_what_lies_beside_the_package() -> None:
    found = shipped("migrations", "env.py")

    assert found == Path(__file__).parent.parent / "migrations" / "env.py"
    assert found.is_file()


def test_installed_program_looks_inside_itself_and_not_at_its_neighbours(tmp_path: Path) -> None:
    inside = tmp_path / "app" / "shipped" / "migrations"
    inside.mkdir(parents=True)
    (tmp_path / "migrations").mkdir()  # of some other package

    found = find(tmp_path / "app", "migrations")

    assert found == inside


def test_missing_folder_is_named_in_a_sentence() -> None:
    with pytest.raises(DiaryError, match=r"resources/no-such\.svg is missing from .*resources"):
        shipped("resources", "no-such.svg")
