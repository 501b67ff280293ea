"""Text cut into records."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.errors import Problem
from app.exchange.records import Sheet, lines_of


def cut(text: str, *, date_at: int | None = None) -> tuple[list[tuple[int, list[str]]], list[int]]:
    problems: list[Problem] = []
    found = list(Sheet(lines_of(text), ",").records(problems, date_at=date_at))
    return found, [problem.line for problem in problems]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_every_kind_of_line_end_counts_and_no_other_does(end: str) -> None:
    text = f"a,b{end}{end}c,\x85\u2028\x0b{end}"

    assert cut(text) == ([(1, ["a", "b"]), (3, ["c", "\x85\u2028\x0b"])], [])


def test_a_broken_record_after_a_blank_line_is_the_only_one_broken() -> None:
    text = 'a,"b"\n\n  \nc,"d\ne,f\n'

    assert cut(text) == ([(1, ["a", "b"]), (5, ["e", "f"])], [4])


def test_a_record_over_several_lines_has_the_number_of_its_first() -> None:
    assert cut('a,"1\n2\n3"\nb,c\n') == ([(1, ["a", "1\n2\n3"]), (4, ["b", "c"])], [])


def test_text_after_a_closing_quote_breaks_its_record_alone() -> None:
    assert cut('a,"b"c\nd,e\n') == ([(2, ["d", "e"])], [1])


def test_a_quote_inside_an_unquoted_field_is_text() -> None:
    assert cut('a,5\'11" tall\n"b",c\n') == ([(1, ["a", "5'11\" tall"]), (2, ["b", "c"])], [])


def test_a_field_that_holds_whole_rows_is_broken_where_the_date_is_known() -> None:
    text = '2024-03-01,"x\n2024-03-02,y\n2024-03-03,z"\n'

    assert cut(text)[1] == []
    assert cut(text, date_at=0) == (
        [(2, ["2024-03-02", "y"]), (3, ["2024-03-03", 'z"'])],
        [1],
    )


@given(st.text(',"\n\r ab', max_size=80))
def test_every_line_with_text_is_in_one_record_or_one_problem(text: str) -> None:
    lines = lines_of(text)
    found, broken = cut(text)

    starts = sorted([line for line, _ in found] + broken)
    assert len(set(starts)) == len(starts)
    covered = set(broken) | {
        line
        for start, fields in found
        for line in range(start, start + sum(len(lines_of(f + "x")) - 1 for f in fields) + 1)
    }
    for number, line in enumerate(lines, 1):
        assert number in covered or not line.strip(' \r\n"')
