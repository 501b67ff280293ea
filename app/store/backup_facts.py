"""What is known of each backup, written beside it: no diary has to be read to find the newest.

It stands in a small file NAME.json and in no table of the diary, since it is needed most when the
diary is damaged or gone, and since a copy can't hold the outcome of its own check.
"""

from __future__ import annotations

import hashlib
import json
import re
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from app.domain.clock import zone_named
from app.domain.errors import DiaryError, StoreUnavailable
from app.store.durable import private_file, sync_file

ENDING = ".thimblebook"
_NAMED = re.compile(r"(\d{4}-\d{2}-\d{2}-\d{6})(?:-v(\d+))?-([a-z-]+?)(-shrank)?(-\d+)?")


@dataclass(frozen=True, slots=True)
class BackupFacts:
    """One backup.

    `at` is when it was made, `verified_at` when its check was passed (None: nobody knows), both
    aware; `why` a code; `version` the schema, `counter` the changes of the diary by then;
    `readings` those outside the bin; `rows` all of them by table; `rows_before` those of the backup
    before it, where this one had shrunk against it.
    """

    path: Path
    at: datetime
    why: str
    version: int
    counter: int
    readings: int
    rows: dict[str, int]
    size: int
    sha256: str
    verified_at: datetime | None
    zone: str
    rows_before: int | None = None

    @property
    def apart(self) -> bool:
        """Whether it shrank so much that it takes no other's place."""
        return self.rows_before is not None

    @property
    def local_day(self) -> date:
        """The day it was made, on the clocks of the diary's first person."""
        return local(self.at, self.zone).date()


def default_folder(diary_path: Path) -> Path:
    """Where the backups of a diary lie unless another place is named."""
    return diary_path.resolve().parent / "backups"


def list_backups(diary_path: Path, folder: Path | None = None) -> tuple[BackupFacts, ...]:
    """Every backup of a diary in a folder, the oldest first; the diary itself is not looked at.

    Raises
    ------
    StoreUnavailable
        The folder is there and can't be read.
    """
    place = folder or default_folder(diary_path)
    try:
        there = sorted(place.iterdir()) if place.is_dir() else []
    except OSError as problem:
        raise StoreUnavailable(
            f"The backups in {place} can't be listed ({problem.strerror}). Nothing was changed."
        ) from problem
    found = (_facts_of(path, diary_path.stem) for path in there)
    return tuple(sorted((each for each in found if each is not None), key=lambda each: each.at))


def newest_verified(
    diary_path: Path, folder: Path | None = None, *, certain: bool = False
) -> BackupFacts | None:
    """The newest backup that passed its check and did not shrink; None where there is none.

    With `certain` each file is read whole, until one is still byte for byte what was checked.
    """
    for each in reversed(list_backups(diary_path, folder)):
        if (
            each.verified_at is not None
            and not each.apart
            and (not certain or still_as_checked(each))
        ):
            return each
    return None


def still_as_checked(facts: BackupFacts) -> bool:
    """Whether a backup is byte for byte the file that passed the check."""
    try:
        return facts.verified_at is not None and sha256_of(facts.path) == facts.sha256
    except OSError:
        return False


def facts_beside(path: Path) -> BackupFacts | None:
    """What is written beside a backup; None where nothing readable is."""
    try:
        noted = json.loads(sidecar(path).read_text(encoding="utf-8"))
        return _from_json(path, noted)
    except (OSError, ValueError, TypeError, KeyError, AttributeError, DiaryError):
        return None


def sidecar(path: Path) -> Path:
    """Where the facts of a backup are written."""
    return path.with_name(path.name + ".json")


def write_facts(facts: BackupFacts, stem: str) -> BackupFacts:
    """Write the facts beside a name that is free from then on; gives them with that name.

    The name says of which diary, when, in which schema and why; it is in the folder of
    `facts.path`. The caller gives it to the backup itself, or removes the facts again.
    """
    why = facts.why.replace("_", "-") + ("-shrank" if facts.apart else "")
    stamp = f"{local(facts.at, facts.zone):%Y-%m-%d-%H%M%S}"
    base, number = f"{stem}-{stamp}-v{facts.version}-{why}", 1
    while True:
        path = facts.path.with_name(base + ("" if number == 1 else f"-{number}") + ENDING)
        if not path.exists():
            with suppress(FileExistsError):
                private_file(sidecar(path))
                break
        number += 1
    noted = {
        "at": facts.at.isoformat(),
        "why": facts.why,
        "version": facts.version,
        "changes": facts.counter,
        "readings": facts.readings,
        "rows": facts.rows,
        "bytes": facts.size,
        "sha256": facts.sha256,
        "verified_at": facts.verified_at.isoformat() if facts.verified_at else None,
        "zone": facts.zone,
        "rows_before": facts.rows_before,
    }
    try:
        sidecar(path).write_text(json.dumps(noted, indent=1) + "\n", encoding="utf-8")
        sync_file(sidecar(path))
    except OSError:
        sidecar(path).unlink(missing_ok=True)
        raise
    return replace(facts, path=path)


def sha256_of(path: Path) -> str:
    """SHA-256 of a file, as hexadecimal text."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def local(at: datetime, zone: str) -> datetime:
    """An aware time on the clocks of a zone; of one that is not known here, in UTC."""
    try:
        return at.astimezone(zone_named(zone))
    except DiaryError:
        return at.astimezone(UTC)


def _facts_of(path: Path, stem: str) -> BackupFacts | None:
    if path.suffix != ENDING or not path.name.startswith(f"{stem}-"):
        return None
    named = _NAMED.fullmatch(path.stem[len(stem) + 1 :])
    if named is None:
        return None
    try:
        size = path.stat().st_size
    except OSError:  # gone between the listing and now
        return None
    facts = facts_beside(path)
    if facts is not None and facts.size == size:
        return facts
    stamp, version, why, _, _ = named.groups()
    return BackupFacts(
        path=path,
        at=datetime.strptime(stamp, "%Y-%m-%d-%H%M%S").replace(tzinfo=UTC),
        why=why.replace("-", "_"),
        version=int(version or 0),
        counter=0,
        readings=0,
        rows={},
        size=size,
        sha256="",
        verified_at=None,
        zone="UTC",
    )


def _from_json(path: Path, noted: dict[str, Any]) -> BackupFacts:
    checked = noted["verified_at"]
    facts = BackupFacts(
        path=path,
        at=datetime.fromisoformat(noted["at"]),
        why=str(noted["why"]),
        version=int(noted["version"]),
        counter=int(noted["changes"]),
        readings=int(noted["readings"]),
        rows={str(table): int(count) for table, count in noted["rows"].items()},
        size=int(noted["bytes"]),
        sha256=str(noted["sha256"]),
        verified_at=datetime.fromisoformat(checked) if checked else None,
        zone=str(noted["zone"]),
        rows_before=noted["rows_before"],
    )
    if facts.at.tzinfo is None:
        raise ValueError(noted["at"])
    return facts
