from __future__ import annotations

import pytest

from app.domain.errors import NeedsAnswer, Refused
from app.domain.labs import LabResult, read_lab


@pytest.mark.parametrize(
    ("typed", "result", "shown"),
    [
        ("7.9 %", LabResult("a1c", "7.9", "%"), "A1C 7.9 %"),
        ("7,9%", LabResult("a1c", "7.9", "%"), "A1C 7.9 %"),
        ("A1C 63 mmol/mol", LabResult("a1c", "63", "mmol/mol"), "A1C 63 mmol/mol"),
        ("6.1 MMOL/L", LabResult("glucose", "6.1", "mmol/L"), "glucose 6.1 mmol/L"),
        ("glucose 110 mg/dl", LabResult("glucose", "110", "mg/dL"), "glucose 110 mg/dL"),
    ],
)
def test_a_result_is_kept_as_printed(typed: str, result: LabResult, shown: str) -> None:
    assert read_lab(typed) == result
    assert result.shown == shown


def test_a_number_without_its_unit_is_asked_about_with_the_words_that_answer() -> None:
    with pytest.raises(NeedsAnswer) as asked:
        read_lab("63")

    answers = asked.value.questions[0].answers
    assert '"63 mmol/mol"' in answers
    assert [read_lab(answer.strip('"'), sure=True).value for answer in answers] == ["63"] * 4


@pytest.mark.parametrize(
    ("typed", "answers"),
    [
        ("63 %", ('"63 mmol/mol"', "--sure")),
        ("7.9 mmol/mol", ('"7.9 %"', "--sure")),
        ("110 mmol/L", ('"110 mg/dL"', "--sure")),
        ("2 %", ("--sure",)),
    ],
)
def test_an_odd_result_is_asked_about_and_never_altered(
    typed: str, answers: tuple[str, ...]
) -> None:
    with pytest.raises(NeedsAnswer) as asked:
        read_lab(typed)

    assert asked.value.questions[0].answers == answers
    assert read_lab(typed, sure=True).value == typed.split()[0]


@pytest.mark.parametrize("typed", ["", "high", "-7 %", "7.9 g", "0 %", "nan %", "9999 mg/dL"])
def test_what_is_no_result_is_refused(typed: str) -> None:
    with pytest.raises(Refused, match="Nothing was saved"):
        read_lab(typed, sure=True)
