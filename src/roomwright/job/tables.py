"""The tables of the store. The journal is the truth; facts and references follow from it."""

from __future__ import annotations

from datetime import UTC, datetime

from sqlalchemy import (
    Column,
    Date,
    DateTime,
    Dialect,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    TypeDecorator,
    UniqueConstraint,
)

HEAD = "0003"
"""The migration that this program's tables are at; a test holds it equal to the scripts'."""

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)


class Moment(TypeDecorator[datetime]):
    """An instant: stored in UTC, always given back aware (SQLite forgets the zone)."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Turn any aware time into UTC; a naive one is a mistake of the caller."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment needs its zone")
        return value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Give the zone back."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


def _job() -> Column[int]:
    return Column("job", Integer, ForeignKey("jobs.number"), primary_key=True)


jobs = Table(
    "jobs",
    metadata,
    Column("number", Integer, primary_key=True, autoincrement=True),
    Column("slug", String(80), unique=True, doc="null once the house is removed"),
    Column("was", String(80), nullable=False, doc="the slug it was made with"),
    Column("name", Text, nullable=False),
    Column("sequence", Integer, nullable=False, doc="of its last journal entry"),
    Column("created_at", Moment, nullable=False),
    Column("changed_at", Moment, nullable=False),
    Column("removed_at", Moment),
    sqlite_autoincrement=True,  # a number is never used twice, so a kept state stays the house's
)

journal = Table(
    "journal",
    metadata,
    _job(),
    Column("sequence", Integer, primary_key=True, autoincrement=False),
    Column("command_id", String(80), nullable=False, doc="makes a repeat safe"),
    Column("at", Moment, nullable=False),
    Column("who", String(80), nullable=False),
    Column("command", String(80), nullable=False),
    Column("payload", Text, nullable=False, doc="canonical JSON of what was asked"),
    Column("sentence", Text, nullable=False, doc="in words, what was done"),
    Column("record", Text, nullable=False, doc="JSON: what else the command remembers"),
    Column("before", Text, nullable=False, doc="JSON list, one for each changed fact"),
    Column("after", Text, nullable=False, doc="JSON list, parallel to before"),
    UniqueConstraint("job", "command_id"),
)

facts = Table(
    "facts",
    metadata,
    _job(),
    Column("kind", String(80), primary_key=True),
    Column("id", String(80), primary_key=True),
    Column("version", Integer, nullable=False),
    Column("shape", Integer, nullable=False),
    Column("body", Text, doc="canonical JSON; null once removed, so that versions go on counting"),
)

references = Table(
    "fact_references",
    metadata,
    _job(),
    Column("from_kind", String(80), primary_key=True),
    Column("from_id", String(80), primary_key=True),
    Column("field", String(80), primary_key=True),
    Column("to_kind", String(80), primary_key=True),
    Column("to_id", String(80), primary_key=True),
    Index(None, "job", "to_kind", "to_id"),
)

blobs = Table(
    "blobs",
    metadata,
    _job(),
    Column("sha256", String(64), primary_key=True, doc="of its bytes, in hex"),
    Column("type", String(80), nullable=False),
    Column("size", Integer, nullable=False),
    Column("at", Moment, nullable=False),
    Column("body", LargeBinary, nullable=False),
)

feeds = Table(
    "feeds",
    metadata,
    _job(),
    Column("name", String(40), nullable=False, doc="part of every event's id; never changes"),
    Column("token", String(80), nullable=False, doc="of the secret address; can be renewed"),
    Column("made_at", Moment, nullable=False),
)

feed_days = Table(
    "feed_days",
    metadata,
    _job(),
    Column("key", String(40), primary_key=True, doc="which event"),
    Column("first", Date, nullable=False),
    Column("last", Date, nullable=False),
    Column("sequence", Integer, nullable=False, doc="how often its days have changed"),
)
