"""Bringing the tables of a store up to this program's."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection, Engine, inspect, text

from roomwright.job.errors import NewerStoreError
from roomwright.job.tables import HEAD

SCRIPTS = Path(__file__).parent / "migrations"
_LOCK = 0x526F6F6D  # PostgreSQL's advisory lock: one program at a time brings the tables up


def bring_up(engine: Engine) -> None:
    """Bring the tables to `HEAD` in one transaction; cheap where they are there already.

    Raises
    ------
    NewerStoreError
        if a newer program has changed the tables.
    """
    with engine.connect() as connection:
        if at(connection) == HEAD:
            return
    writing = engine.execution_options(roomwright_writing=True)
    with writing.begin() as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(text(f"SELECT pg_advisory_xact_lock({_LOCK})"))
        _upgrade(connection)


def at(connection: Connection) -> str | None:
    """Return the migration that the tables are at; None for an empty database."""
    if not inspect(connection).has_table("alembic_version"):
        return None
    return connection.execute(text("SELECT version_num FROM alembic_version")).scalar()


def _upgrade(connection: Connection) -> None:
    # only here: reading Alembic takes longer than opening a store that needs nothing
    from alembic import command
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", str(SCRIPTS).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    now = at(connection)
    known = {s.revision for s in ScriptDirectory.from_config(config).walk_revisions()}
    if now is not None and now not in known:
        raise NewerStoreError(
            f"This store was changed by a newer Roomwright (tables at {now}, this program knows "
            f"{HEAD}): update this program. Nothing was touched."
        )
    config.attributes["connection"] = connection
    command.upgrade(config, "head")
