"""What a suite found, a line of the table for each, and what the controls did."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field


@dataclass(frozen=True, slots=True)
class Found:
    """One suite on one command: how often it was tried, and what was broken.

    `control` names the deliberately wrong setting where it is one: then `broken` must not be empty.
    `not_run` says why it did not run. `seen` is what else is worth a number.
    """

    suite: str
    command: str
    tried: int = 0
    broken: tuple[str, ...] = ()
    control: str = ""
    not_run: str = ""
    seen: dict[str, float] = field(default_factory=dict)

    @property
    def good(self) -> bool:
        """Whether it came out as it must."""
        return bool(self.not_run) or bool(self.control) == bool(self.broken)

    @property
    def line(self) -> str:
        """Its line in the table."""
        name = f"{self.suite:<24} {self.command:<10}"
        if self.not_run:
            return f"{name} did not run: {self.not_run}"
        seen = ", ".join(f"{key} {value:g}" for key, value in self.seen.items())
        broken = f"{len(self.broken)} broken" if not self.control else self._of_control
        first = f"; first: {self.broken[0]}" if self.broken and not self.control else ""
        return f"{name} {self.tried:>6} tried  {broken}{'  ' + seen if seen else ''}{first}"

    @property
    def _of_control(self) -> str:
        how = "failed, as it must" if self.broken else "DID NOT FAIL"
        return f"control with {self.control}: {how}"


def last_line(found: Iterable[Found]) -> str:
    """For each control whether it failed; a test that never failed proves nothing."""
    said = [
        f"{each.suite} {each.command} with {each.control} "
        f"{'not run' if each.not_run else 'failed' if each.broken else 'DID NOT FAIL'}"
        for each in found
        if each.control
    ]
    return "Controls: " + ("; ".join(said) or "none were run")


def to_line(found: Found) -> str:
    """One line of JSON, for the process that asked."""
    return json.dumps(asdict(found))


def from_line(line: str) -> Found | None:
    """What `to_line` wrote; None for a line that is something else."""
    if not line.startswith('{"suite"'):
        return None
    each = json.loads(line)
    return Found(**{**each, "broken": tuple(each["broken"])})
