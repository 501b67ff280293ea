"""What must hold when two copies of a diary are brought together, whatever happened to each.

A run that is killed half-way leaves nothing: all of it is one transaction, like every change, and
the tests of those (tests/faults) hold for it.
"""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from uuid import UUID

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from app.store.check import check_file
from app.store.state_hash import shared_state_hash
from tests.apart import A, Act, B, apart, bring, on
from tests.households import new_diary, tilde

_EVERYDAY = ("add", "value", "mark", "note", "tag", "keeper", "bin", "aside", "file")
_RARE = ("undo", "redo", "restore", "empty", "private")
_ACTS = st.builds(
    Act,
    st.sampled_from((*_EVERYDAY, *_EVERYDAY, *_RARE)),
    st.integers(0, 11),
    st.integers(0, 11),
)


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("begun")
    with new_diary(folder) as diary:
        tilde(diary)
    return folder / "diary.thimblebook"


def rows(path: Path, query: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(query).fetchall()


def said(path: Path, computer: UUID) -> str:
    with on(path, computer) as (diary, _):
        return shared_state_hash(diary)


@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
    phases=(Phase.explicit, Phase.reuse, Phase.generate),  # to shrink one takes minutes
)
@given(
    before=st.lists(_ACTS, min_size=2, max_size=6),
    mine=st.lists(_ACTS, max_size=6),
    other=st.lists(_ACTS, max_size=6),
)
def test_either_order_says_the_same_twice_is_once_and_nothing_is_missing(
    begun: Path,
    tmp_path_factory: pytest.TempPathFactory,
    before: list[Act],
    mine: list[Act],
    other: list[Act],
) -> None:
    folder = tmp_path_factory.mktemp("apart")
    apart(folder, begun, before, mine, other)
    for name in "ab":
        shutil.copyfile(folder / name, folder / f"{name}-before")

    bring(folder / "a", A, folder / "b-before")
    bring(folder / "b", B, folder / "a-before")

    for name, computer, source in (("a", A, "b-before"), ("b", B, "a-before")):
        assert check_file(folder / name).wrong == ()
        _nothing_is_missing(folder / name, folder / "a-before", folder / "b-before")
        once = (folder / name).read_bytes()
        assert bring(folder / name, computer, folder / source).is_nothing
        assert (folder / name).read_bytes() == once
    assert said(folder / "a", A) == said(folder / "b", B)
    bring(folder / "a", A, folder / "b")
    assert said(folder / "a", A) == said(folder / "b", B)
    assert check_file(folder / "a").wrong == ()


def _nothing_is_missing(path: Path, *sources: Path) -> None:
    query = "SELECT uid, source_key, deleted_at IS NULL FROM reading"
    found = rows(path, query)
    there = {name for uid, key, _ in found for name in (uid, key)}
    live = {uid for uid, _, is_live in found if is_live}
    each = [rows(source, query) for source in sources]
    for held in each:
        for uid, key, _ in held:
            assert uid in there or (key is not None and key in there)
    both = [{uid for uid, _, is_live in held if is_live} for held in each]
    assert both[0] & both[1] <= live
