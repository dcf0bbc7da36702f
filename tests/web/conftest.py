"""What the tests of the pages share: a client over a store with the demo house in it."""

import warnings
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from roomwright import commands
from roomwright.exchange.folder import read_folder
from roomwright.job.facts import Facts
from roomwright.job.store import Store
from roomwright.web.app import create_app

with warnings.catch_warnings():  # starlette would like the successor of httpx; ours is enough
    warnings.simplefilter("ignore", DeprecationWarning)
    warnings.simplefilter("ignore", UserWarning)
    from starlette.testclient import TestClient

DEMO = Path(__file__).resolve().parents[2] / "examples" / "tern-hollow"
WRITTEN = date(2027, 3, 29)
HOUSE = "/h/tern-hollow"


@pytest.fixture(scope="session")
def demo() -> Facts:
    return read_folder(DEMO).facts


@pytest.fixture
def store(tmp_path: Path, demo: Facts) -> Iterator[Store]:
    """A store of its own with the demo in it."""
    with Store(f"sqlite:///{tmp_path / 'houses.db'}") as made:
        made.create("tern-hollow", "Tern Hollow")
        load = commands.Load(facts=tuple(demo))
        commands.run(made, "tern-hollow", load, who="test", command_id="load")
        yield made


def client_over(url: str) -> TestClient:
    """A client as a browser on this machine would be; it does not follow redirects by itself."""
    return TestClient(
        create_app(url, today=lambda: WRITTEN), base_url="http://localhost", follow_redirects=False
    )


@pytest.fixture
def client(store: Store) -> Iterator[TestClient]:
    with client_over(store.url) as made:
        yield made


@pytest.fixture(scope="module")
def reading(tmp_path_factory: pytest.TempPathFactory, demo: Facts) -> Iterator[TestClient]:
    """A client for tests that only read: one demo house for the whole module."""
    url = f"sqlite:///{tmp_path_factory.mktemp('read') / 'houses.db'}"
    with Store(url) as made:
        made.create("tern-hollow", "Tern Hollow")
        load = commands.Load(facts=tuple(demo))
        commands.run(made, "tern-hollow", load, who="test", command_id="load")
        with client_over(url) as opened:
            yield opened
