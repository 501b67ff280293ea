"""What this computer last saw of each diary, so that an older copy brought back is noticed.

It lies in the state folder, a small file for each diary, and never in the diary: a copy of the
diary would bring it along.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from dataclasses import dataclass, field, replace
from hashlib import blake2b
from pathlib import Path
from uuid import UUID, uuid4

_FOLDER = "seen"
_MOST_TOLD = 50


@dataclass(frozen=True, slots=True)
class Seen:
    """The numbers of a diary after its last change here, and which notes were told already.

    `counter` counts the changes of the diary by whomever, `number` those of this computer.
    """

    counter: int = 0
    number: int = 0
    told: tuple[str, ...] = field(default=())


def seen_of(state: Path, uid: UUID) -> Seen:
    """What is remembered of a diary; nothing where it was never changed here."""
    try:
        found = json.loads(_file(state, uid).read_text(encoding="ascii"))
        return Seen(int(found["counter"]), int(found["number"]), tuple(map(str, found["told"])))
    except (OSError, ValueError, KeyError, TypeError):  # a torn file is as good as none
        return Seen()


def remember(state: Path, uid: UUID, *, counter: int, number: int) -> None:
    """Remember the numbers of a diary after a change was saved.

    Not waited for: after a power cut an older state may be remembered, which raises no alarm.
    """
    _write(state, uid, replace(seen_of(state, uid), counter=counter, number=number))


def remember_told(state: Path, uid: UUID, sentences: tuple[str, ...]) -> tuple[bool, ...]:
    """Remember that notes were told; says of each whether it had been told before."""
    seen = seen_of(state, uid)
    marks = tuple(blake2b(each.encode(), digest_size=8).hexdigest() for each in sentences)
    new = tuple(mark for mark in marks if mark not in seen.told)
    if new:
        _write(state, uid, replace(seen, told=(*seen.told, *new)[-_MOST_TOLD:]))
    return tuple(mark in seen.told for mark in marks)


def forget(state: Path, uid: UUID) -> None:
    """Forget a diary's numbers, not what was told: an older copy is brought back on purpose."""
    seen = seen_of(state, uid)
    if seen.counter or seen.number:
        _write(state, uid, replace(seen, counter=0, number=0))


def _write(state: Path, uid: UUID, seen: Seen) -> None:
    """Write it whole; where the state folder can't be written, the diary works all the same."""
    file = _file(state, uid)
    fresh = file.with_name(f"{file.name}.{uuid4().hex}")
    content = {"counter": seen.counter, "number": seen.number, "told": list(seen.told)}
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        fresh.touch(mode=0o600)
        fresh.write_text(json.dumps(content), encoding="ascii")
        os.replace(fresh, file)  # noqa: PTH105 - says plainly that it replaces
    except OSError:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)


def _file(state: Path, uid: UUID) -> Path:
    return state / _FOLDER / f"{uid.hex}.json"
