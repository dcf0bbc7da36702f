"""Where the store is kept, and how its database is opened."""

from __future__ import annotations

import contextlib
import os
import sqlite3
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import DatabaseError, OperationalError

from roomwright.job.errors import BusyStoreError, StoreError

BUSY_SECONDS = 30


def default_url() -> str:
    """Return ROOMWRIGHT_STORE, else the SQLite file in the user's data directory."""
    said = os.environ.get("ROOMWRIGHT_STORE", "").strip()
    return said or f"sqlite:///{data_directory() / 'roomwright.db'}"


def data_directory() -> Path:
    """Return the user's own directory for data, by the rules of the system."""
    home = Path.home()
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = home / "Library" / "Application Support"
    else:
        said = os.environ.get("XDG_DATA_HOME", "")
        # the base directory specification: a relative path there is to be ignored
        base = Path(said) if Path(said).is_absolute() else home / ".local" / "share"
    return base / "roomwright"


def normal(url: str) -> str:
    """Return the full URL of a store given as a URL or as the path of a file."""
    if "://" not in url:
        return f"sqlite:///{Path(url).expanduser().absolute()}"
    parsed = make_url(url)
    match parsed.get_backend_name():
        case "postgresql" | "postgres":
            return parsed.set(drivername="postgresql+psycopg").render_as_string(hide_password=False)
        case "sqlite" if parsed.database and parsed.database != ":memory:":
            return url
        case "sqlite":
            raise StoreError("A store needs a file: write sqlite:///path/to/house.db")
    raise StoreError(
        f"A store is kept by SQLite or PostgreSQL, not {parsed.get_backend_name()}: write "
        "sqlite:///path/to/house.db or postgresql://user@host/name"
    )


def open_engine(url: str) -> Engine:
    """Return the engine of a store's URL; the file's directory is made where it is missing."""
    if not url.startswith("sqlite"):
        try:
            return create_engine(url, pool_pre_ping=True)
        except ModuleNotFoundError as error:
            raise StoreError(
                "PostgreSQL needs one more package: pip install 'roomwright[postgres]'"
            ) from error
    path = Path(make_url(url).database or "")
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as error:
        why = error.strerror
        raise StoreError(f"The store's folder {path.parent} can't be made: {why}.") from error
    engine = create_engine(url, connect_args={"timeout": BUSY_SECONDS})
    event.listen(engine, "connect", _on_connect)
    event.listen(engine, "begin", _on_begin)
    return engine


def _on_connect(connection: sqlite3.Connection, _record: Any) -> None:
    connection.isolation_level = None  # we say BEGIN ourselves, see _on_begin
    cursor = connection.cursor()
    cursor.execute("PRAGMA foreign_keys=ON")
    _into_wal(cursor)
    # FULL: the log is on the disk before a change is acknowledged
    cursor.execute("PRAGMA synchronous=FULL")
    cursor.execute("PRAGMA wal_autocheckpoint=0")  # see tidy_log
    cursor.close()


def _into_wal(cursor: sqlite3.Cursor) -> None:
    for wait in (0.01, 0.05, 0.2, 1.0, 0.0):
        mode = cursor.execute("PRAGMA journal_mode").fetchone()[0]
        if mode == "wal":
            return
        try:  # two programs that open a new store at once: one of them waits
            cursor.execute("PRAGMA journal_mode=WAL")
        except sqlite3.OperationalError:
            if not wait:
                raise
            time.sleep(wait)


LOG_TIDIED_AT = 4 * 1024 * 1024  # [bytes] where SQLite itself would: a thousand pages


def tidy_log(engine: Engine) -> None:
    """Move a SQLite log that has grown long into the file, while no one else can write.

    SQLite would do so by itself, but before 3.51.3 that could, very rarely, meet a writer of
    another program at the wrong instant. So one connection holds the writer's lock while another
    one tidies.
    """
    if engine.dialect.name != "sqlite":
        return
    path = engine.url.database or ""
    log = Path(f"{path}-wal")
    if not log.exists() or log.stat().st_size < LOG_TIDIED_AT:
        return
    with (
        contextlib.suppress(sqlite3.OperationalError),  # someone writes: it is done another time
        contextlib.closing(sqlite3.connect(path, timeout=0, isolation_level=None)) as holder,
        contextlib.closing(sqlite3.connect(path, timeout=0, isolation_level=None)) as tidier,
    ):
        holder.execute("BEGIN IMMEDIATE")
        tidier.execute("PRAGMA wal_checkpoint(PASSIVE)").fetchone()
        holder.execute("ROLLBACK")


def _on_begin(connection: Connection) -> None:
    writing = connection.get_execution_options().get("roomwright_writing", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")


@contextlib.contextmanager
def in_plain_words() -> Iterator[None]:
    """Turn the database's own errors into words."""
    try:
        yield
    except OperationalError as error:
        said = str(error.orig).strip()
        if "locked" in said:
            raise BusyStoreError(
                "Another program is writing to the store and does not finish: close it, then try "
                "again. Nothing was written."
            ) from error
        raise StoreError(f"The store can't be used: {said}. Nothing was written.") from error
    except DatabaseError as error:
        said = str(error.orig).strip()
        if "malformed" not in said and "not a database" not in said:
            raise
        raise StoreError(
            f"The store's file is damaged, or is not a store ({said}). Keep it, and go back to a "
            "backup."
        ) from error
