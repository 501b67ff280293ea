from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from app.domain.glucose import Bound, Unit
from app.domain.marks import Mark
from app.exchange.recipe import (
    ControlAs,
    DoseAs,
    EventAs,
    LeftOut,
    MarkAs,
    OffScale,
    Recipe,
)
from app.exchange.recipe_text import recipe_text
from app.exchange.recipe_toml import read_recipe
from sample_db.files import FOLDER

plain = st.text(min_size=1, max_size=12).filter(
    lambda text: text == text.strip() and text.isprintable()
)
meanings = st.one_of(
    st.builds(MarkAs, st.sampled_from(Mark), st.none() | st.integers(0, 300)),
    st.builds(DoseAs, plain, plain, st.none() | plain),
    st.builds(EventAs, st.sampled_from(("meal", "symptom")), st.none() | plain, st.none() | plain),
    st.builds(ControlAs, st.none() | st.sampled_from(("low", "normal"))),
    st.builds(LeftOut, plain),
)
recipes = st.builds(
    Recipe,
    name=plain,
    source=plain,
    delimiter=st.sampled_from((None, ",", ";", "\t", "|")),
    skip=st.integers(0, 9),
    header=st.sampled_from((None, True, False)),
    unit=st.sampled_from((None, *Unit)),
    date_order=st.sampled_from((None, "dmy", "ymd")),
    columns=st.just({"date": 1, "value": "Wert \"x\"", "code": 3}),
    codes=st.dictionaries(plain, meanings, min_size=1),
    marks=st.dictionaries(plain.map(str.casefold), st.sampled_from(Mark), max_size=3),
    off_scale=st.builds(
        lambda low: OffScale({**OffScale().words, **dict.fromkeys(low, Bound.BELOW)}, "1.1", None),
        st.sets(plain.map(str.casefold), max_size=3),
    ),
)  # fmt: skip


@given(recipes)
def test_a_recipe_written_as_text_is_the_same_recipe(recipe: Recipe) -> None:
    found = read_recipe(recipe_text(recipe), where="here")

    assert replace(found, unit_settled=False) == recipe


def test_the_recipes_of_the_sample_survive_being_written() -> None:
    for path in sorted(FOLDER.glob("*.toml")):
        recipe = read_recipe(path.read_text(encoding="utf-8"), where=path.name)

        assert read_recipe(recipe_text(recipe), where="written") == recipe
