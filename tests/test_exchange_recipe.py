"""Recipes in TOML."""

from __future__ import annotations

import re

import pytest

from app.domain.errors import Refused
from app.domain.glucose import Bound, Unit
from app.domain.marks import Mark
from app.exchange import recipe as recipe_module
from app.exchange.answers import answered
from app.exchange.recipe import ControlAs, DoseAs, EventAs, LeftOut, MarkAs, Recipe
from app.exchange.recipe_toml import read_recipe


def test_the_documented_recipe_is_one() -> None:
    found = re.search(r"```toml\n(.*?)```", recipe_module.__doc__ or "", re.DOTALL)
    assert found is not None
    text = re.sub(r"^date_order.*$", "", found[1], flags=re.MULTILINE)

    recipe = read_recipe(text, where="docs")

    assert (recipe.delimiter, recipe.encoding, recipe.unit) == (";", "cp1252", Unit.MMOL_L)
    assert recipe.codes["B2"] == MarkAs(Mark.AFTER_BREAKFAST, 120)
    assert recipe.codes["I"] == DoseAs("regular insulin", "U")
    assert recipe.codes["M"] == EventAs("meal", "larger")
    assert recipe.codes["C"] == ControlAs("normal")
    assert recipe.codes["X"] == LeftOut("ketone test")
    assert recipe.off_scale.words["under"] is Bound.BELOW
    assert recipe.off_scale.low_limit == "1.1"
    assert recipe.marks["nuchter"] is Mark.WAKING
    assert not recipe.unit_settled


def test_the_name_stands_for_the_source() -> None:
    assert read_recipe('name = "kitchen"', where="k").source == "kitchen"
    assert read_recipe('name = "k"\nsource = "den"', where="k").source == "den"


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("", '"name"'),
        ("name = 5", '"name"'),
        ('name = "x"\nnmae = "y"', '"nmae"'),
        ('name = "x"\nskip = -1', '"skip"'),
        ('name = "x"\nskip = true', '"skip"'),
        ('name = "x"\nheader = "yes"', '"header"'),
        ('name = "x"\nunit = "g/L"', '"g/L"'),
        ('name = "x"\nencoding = "klingon"', '"klingon"'),
        ('name = "x"\nencoding = "hex"', '"hex"'),
        ('name = "x"\nencoding = "rot13"', '"rot13"'),
        ('name = "x"\ndelimiter = "space"', '"space"'),
        ('name = "x"\ndate_order = "dym"', '"date_order"'),
        ('name = "x"\ndate_format = "DD.MM"', '"date_format"'),
        ('name = "x"\ntime_format = "MM"', '"time_format"'),
        ('name = "x"\nzone = "Moon/Base"', '"zone"'),
        ('name = "x"\ntimes = "paper"', '"times"'),
        ('name = "x"\nslot_times = ["8:00", "late"]', '"slot_times"'),
        ('name = "x"\nslot_times = [8]', '"slot_times"'),
        ('name = "x"\noff_scale = {lo = ["LO"]}', '"lo"'),
        ('name = "x"\noff_scale = {low = "LO"}', '"low"'),
        ('name = "x"\noff_scale = {low_limit = "some"}', '"low_limit"'),
        ('name = "x"\noff_scale = {low_limit = true}', '"low_limit"'),
        ('name = "x"\ncolumns = {value = 1}', '"columns"'),
        ('name = "x"\ncolumns = {date = 1}', '"columns"'),
        ('name = "x"\ncolumns = {date = 0, value = 1}', '"date"'),
        ('name = "x"\ncolumns = {date = true, value = 1}', '"date"'),
        ('name = "x"\ncolumns = {datetime = 1, time = 2, value = 3}', '"datetime" and "time"'),
        ('name = "x"\ncolumns = {day = 1, value = 1}', '"day"'),
        ('name = "x"\ncolumns = 5', '"columns"'),
        ('name = "x"\ncodes = {a = {mark = "waking"}}', '"codes"'),
        ('name = "x"\ncolumns = {date = 1, value = 2, code = 3}', '"codes"'),
        ('name = "x"\nmarks = {a = "dawn"}', '"dawn"'),
        ("name = ", "not a recipe in TOML"),
    ],
)
def test_a_faulty_recipe_is_refused_with_the_key_named(text: str, names: str) -> None:
    with pytest.raises(Refused, match=re.escape(names)):
        read_recipe(text, where="mine.toml")


@pytest.mark.parametrize(
    ("code", "names"),
    [
        ("{}", '"a"'),
        ('{mark = "waking", dose = "x"}', '"a"'),
        ('{mark = "dawn"}', '"mark"'),
        ('{mark = "waking", level = "usual"}', '"level"'),
        ('{event = "party"}', '"event"'),
        ('{dose = ""}', '"dose"'),
        ('"waking"', '"a"'),
    ],
)
def test_a_faulty_code_is_refused_with_the_code_named(code: str, names: str) -> None:
    text = f'name = "x"\ncolumns = {{date = 1, value = 2, code = 3}}\n[codes]\na = {code}'

    with pytest.raises(Refused, match=re.escape(names)):
        read_recipe(text, where="mine.toml")


def test_answers_go_into_the_recipe_or_are_refused() -> None:
    recipe = answered(None, encoding="latin-1", delimiter="tab", date_order="dmy", unit="mmol/l")

    assert recipe == Recipe(
        encoding="iso8859-1",
        delimiter="\t",
        date_order="dmy",
        unit=Unit.MMOL_L,
        unit_settled=True,
    )
    for wrong in ({"delimiter": "x"}, {"date_order": "x"}, {"unit": "x"}, {"encoding": "x"}):
        with pytest.raises(Refused, match='"x"'):
            answered(None, **wrong)
