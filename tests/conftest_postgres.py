"""A PostgreSQL server for the tests: a cluster of its own on a Unix socket, gone afterward."""

import getpass
import itertools
import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

_NUMBERS = itertools.count()


def _binaries() -> Path | None:
    found = shutil.which("initdb")
    if found:
        return Path(found).parent
    versions = sorted(
        Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda p: float(p.parts[-3])
    )
    return versions[-1].parent if versions else None


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[str]:
    """The directory of the socket of a running server."""
    binaries = _binaries()
    if binaries is None:
        pytest.skip("no PostgreSQL server here: install the package `postgresql`")
    pytest.importorskip("psycopg", reason="PostgreSQL needs psycopg: pip install psycopg[binary]")
    # a server never runs as root; Debian's package brings the user `postgres`
    as_root = os.geteuid() == 0
    if as_root and shutil.which("runuser") is None:
        pytest.skip("the tests run as root and have no `runuser` to start PostgreSQL with")
    user = "postgres" if as_root else getpass.getuser()
    run = ["runuser", "-u", user, "--"] if as_root else []
    # short: the path of a Unix socket has at most 107 bytes
    place = Path(tempfile.mkdtemp(prefix="rwpg", dir="/tmp"))
    if as_root:
        shutil.chown(place, user)

    def call(name: str, *words: str) -> None:
        done = subprocess.run(
            [*run, str(binaries / name), *words],
            cwd=place, capture_output=True, text=True, check=False,
        )  # fmt: skip
        if done.returncode:
            pytest.fail(f"{name} failed: {done.stderr or done.stdout}")

    data = str(place / "data")
    call("initdb", "-D", data, "-U", "roomwright", "-A", "trust", "-E", "UTF8", "--no-sync")
    options = f"-c listen_addresses='' -c unix_socket_directories={place} -c fsync=off"
    log = str(place / "log")
    call("pg_ctl", "-D", data, "-o", options, "-w", "-l", log, "start")
    try:
        yield str(place)
    finally:
        call("pg_ctl", "-D", data, "-m", "immediate", "-w", "stop")
        shutil.rmtree(place, ignore_errors=True)


@pytest.fixture
def postgres_url(postgres_server: str) -> Iterator[str]:
    """The URL of a new, empty database."""
    import psycopg

    name = f"house{next(_NUMBERS)}"
    where = f"host={postgres_server} user=roomwright"
    with psycopg.connect(f"{where} dbname=postgres", autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    yield f"postgresql+psycopg://roomwright@/{name}?host={postgres_server}"
    with psycopg.connect(f"{where} dbname=postgres", autocommit=True) as connection:
        connection.execute(f"DROP DATABASE {name} WITH (FORCE)")
