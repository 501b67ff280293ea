"""One mutated file brought into a new diary: what came of it, or what was wrong with that."""

from __future__ import annotations

import shutil
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from random import Random

from app.domain.errors import DiaryError, NeedsAnswer
from app.domain.person import Person
from app.exchange.answers import answered
from app.exchange.file_read import FileRead
from app.exchange.recipe import Recipe
from app.exchange.table import read_table
from app.store.check import check_diary
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.people import persons
from app.work.bring_in import BroughtIn, File, bring_in, try_file
from app.work.picked import Wish, look_at_picked
from app.work.row_answers import row_answers
from tests.fuzz.files import Sound
from tests.fuzz.mutate import mutated
from tests.households import INSTALLATION, NOW

_MOST_QUESTIONS = 6


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a file: imported, asked or refused, with the reason."""

    what: str
    says: str = ""


class WrongOutcomeError(AssertionError):
    """A file came to an end that it must not come to."""


def tried(number: int, seed: int, sound: list[Sound], template: Path, folder: Path) -> Outcome:
    """Bring the file of a number in; whatever is no outcome of `Outcome` raises."""
    chance = Random(f"{seed}-{number}")
    begun = chance.choice(sound)
    data = mutated(chance, begun.data)
    recipe = begun.recipe if chance.random() < 0.7 else None
    place = folder / "diary.thimblebook"
    shutil.copyfile(template, place)
    with open_diary(place, INSTALLATION, now=NOW) as diary:
        (person,) = persons(diary)
        try:
            return _brought_in(diary, person, data, begun, recipe)
        except NeedsAnswer as asked:
            _must_say(str(asked))
            return Outcome("asked", asked.questions[0].kind)
        except DiaryError as refused:
            _must_say(str(refused))
            return Outcome("refused", str(refused).split(";")[0][:60])


def _brought_in(
    diary: Diary, person: Person, data: bytes, begun: Sound, recipe: Recipe | None
) -> Outcome:
    _must_be_told_row_by_row(diary, person, data, begun)
    file = File(begun.name, data, _read(data, recipe, person), begun.meter)
    looked = try_file(diary, person, file, now=NOW)
    done = bring_in(diary, person, file, now=NOW, recipe=None)
    if looked != done:
        raise WrongOutcomeError(f"looking said {looked.account}, bringing in {done.account}")
    _must_add_up(diary, done)
    again = bring_in(diary, person, file, now=NOW, recipe=None)
    if again.account.new or again.account.already < done.account.new:
        raise WrongOutcomeError(f"the same file added {again.account.new} more")
    answers = [question.words[0].split()[1] for question in done.asked]
    answered_all = bring_in(diary, person, file, now=NOW, recipe=None, answers=row_answers(answers))
    if answered_all.asked:
        raise WrongOutcomeError(f"line {answered_all.asked[0].line} asks again after an answer")
    checked = check_diary(diary)
    if checked.wrong:
        raise WrongOutcomeError(f"the diary is not sound: {checked.wrong[0]}")
    return Outcome("imported")


def _read(data: bytes, recipe: Recipe | None, person: Person) -> FileRead:
    """The file as it is read once each question about the whole of it has its first answer."""
    read = read_table(data, recipe, unit_hint=person.unit)
    for _ in range(_MOST_QUESTIONS):
        words = [answer for question in read.questions for answer in question.answers[:1]]
        if not words or any(word.startswith("--recipe") for word in words):
            return read
        said = {name[2:].replace("-", "_"): value for name, value in map(str.split, words)}
        recipe = answered(recipe, **said)
        read = read_table(data, recipe, unit_hint=person.unit)
    return read


def _must_be_told_row_by_row(diary: Diary, person: Person, data: bytes, begun: Sound) -> None:
    """As the window looks at it: a question or a reason, else each row once, in order."""
    wish = Wish(meter=begun.meter)
    try:
        looked = look_at_picked(diary, person, begun.name, data, wish, now=NOW)
    except DiaryError as refused:
        _must_say(str(refused))
        return
    if looked.found is None:
        _must_say(looked.questions[0].asks)
        return
    lines = [row.line for row in looked.rows]
    if len(lines) != looked.found.account.seen or lines != sorted(lines):
        raise WrongOutcomeError(f"of {looked.found.account.seen} rows {len(lines)} are told")


def _must_add_up(diary: Diary, done: BroughtIn) -> None:
    account = done.account
    parts = (account.new, account.already, account.refused, account.held)
    if sum(parts) != account.seen or min(parts) < 0 or not account.seen:
        raise WrongOutcomeError(f"the account does not add up: {account}")
    if (len(done.refused), len(done.held)) != (account.refused, account.held):
        raise WrongOutcomeError(f"the lists do not fit the account: {account}")
    if sum(done.kinds.values()) != account.new:
        raise WrongOutcomeError(f"the kinds do not fit the account: {done.kinds}")
    for problem in (*done.refused, *done.held):
        _must_say(problem.why)
    with diary.driver() as driver:
        held = Counter(
            {
                table: driver.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
                for table in done.kinds
            }
        )
    if held != Counter(done.kinds):
        raise WrongOutcomeError(f"the diary holds {held}, the account says {done.kinds}")


def _must_say(text: str) -> None:
    if not text.strip():
        raise WrongOutcomeError("refused without a reason")
