"""What the tables share: names of constraints, the head of a user table, a moment, a source."""

from __future__ import annotations

from sqlalchemy import (
    CheckConstraint,
    Column,
    Float,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    text,
)
from sqlalchemy.schema import SchemaItem

# SQLite's batch migrations find constraints by name alone.
metadata = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
    }
)

LIVE = text("deleted_at IS NULL")


def integer(name: str, *, null: bool = False, default: int | None = None) -> Column[int]:
    """An integer column."""
    shown = None if default is None else text(str(default))
    return Column(name, Integer, nullable=null, server_default=shown)


def words(name: str, *, null: bool = False, default: str | None = None) -> Column[str]:
    """A text column: words, codes, decimal text, JSON."""
    return Column(name, Text, nullable=null, server_default=default)


def blob(name: str, *, null: bool = False) -> Column[bytes]:
    """A column of raw bytes."""
    return Column(name, LargeBinary, nullable=null)


def refers(name: str, target: str, *, null: bool = False) -> Column[int]:
    """A local id of another table; nothing is ever deleted from under it."""
    return Column(name, Integer, ForeignKey(f"{target}.id", ondelete="RESTRICT"), nullable=null)


def whole_number(*columns: str) -> list[SchemaItem]:
    """CHECKs that keep text, blobs and NaN out of columns that hold whole numbers."""
    return [
        CheckConstraint(f"{column} IS NULL OR typeof({column}) = 'integer'", name=f"{column}_whole")
        for column in columns
    ]


def user_table(name: str, *items: SchemaItem) -> Table:
    """A table of the person's own data: local id, uid, first and last change, the bin's mark.

    Its last column is the hash over all the others (app/store/row_hash.py).
    """
    return Table(
        name,
        metadata,
        Column("id", Integer, primary_key=True),
        Column("uid", LargeBinary, nullable=False, unique=True),
        refers("born", "journal_entry"),
        refers("rev", "journal_entry"),
        integer("deleted_at", null=True),
        *items,
        blob("row_hash", null=True),
        CheckConstraint("typeof(uid) = 'blob' AND length(uid) = 16", name="uid_is_16_bytes"),
    )


def moment() -> list[SchemaItem]:
    """When it was: instant, wall, zone, offset, derived local day and minute; all or none."""
    return [
        integer("instant", null=True),
        words("wall", null=True),
        words("zone", null=True),
        integer("offset_min", null=True),
        integer("day", null=True),
        integer("minute", null=True),
        CheckConstraint(
            "(instant IS NULL AND wall IS NULL AND zone IS NULL AND offset_min IS NULL"
            " AND day IS NULL AND minute IS NULL) OR"
            " (typeof(instant) = 'integer' AND instant BETWEEN 0 AND 7258118400"
            " AND wall IS NOT NULL AND zone IS NOT NULL AND typeof(offset_min) = 'integer'"
            " AND typeof(day) = 'integer' AND typeof(minute) = 'integer'"
            " AND minute BETWEEN 0 AND 1439)",
            name="moment_whole",
        ),
    ]


def stamp() -> list[SchemaItem]:
    """The raw side of a record, as the device, the file or the paper had it."""
    return [
        words("raw_wall", null=True),
        words("raw_value", null=True),
        words("raw_unit", null=True),
        words("raw_code", null=True),
        blob("raw_bytes", null=True),
    ]


def source() -> list[SchemaItem]:
    """Where a record came from, and who wrote it where."""
    return [
        words("origin"),  # typed, sheet, file, device
        refers("import_id", "import_batch", null=True),
        integer("line", null=True),
        blob("source_key", null=True),
        refers("keeper_id", "keeper", null=True),
        refers("place_id", "place", null=True),
        integer("entered_at"),
    ]


def source_indexes(name: str) -> list[SchemaItem]:
    """A source key is met once for each person, also by a row in the bin."""
    return [
        Index(
            f"uq_{name}_source",
            "person_id",
            "source_key",
            unique=True,
            sqlite_where=text("source_key IS NOT NULL"),
        ),
        Index(f"ix_{name}_import", "import_id", sqlite_where=text("import_id IS NOT NULL")),
    ]


def limit_pair(low_or_high: str) -> list[SchemaItem]:
    """One limit as two numbers, one for each unit: both or neither."""
    mg, mmol = f"{low_or_high}_mg", f"{low_or_high}_mmol"
    return [
        Column(mg, Float, nullable=True),
        Column(mmol, Float, nullable=True),
        CheckConstraint(
            f"({mg} IS NULL) = ({mmol} IS NULL) AND ({mg} IS NULL OR"
            f" ({mg} > 0 AND typeof({mg}) IN ('real', 'integer')"
            f" AND {mmol} > 0 AND typeof({mmol}) IN ('real', 'integer')))",
            name=f"{low_or_high}_is_a_pair",
        ),
    ]
