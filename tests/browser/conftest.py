"""The pages in a real Chromium: one server for the session, a fresh demo house for each test."""

import itertools
import shutil
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, expect

from roomwright import commands
from roomwright.exchange.folder import read_folder
from roomwright.job.store import Store
from roomwright.web.app import create_app

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "examples" / "tern-hollow"
WRITTEN = date(2027, 3, 29)
CHROMIUM = next(
    filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None
)
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
AXE = (Path(__file__).parent / "vendor" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
DEVICES = {
    "desktop": {"viewport": {"width": 1280, "height": 800}},
    "phone": {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True},
}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)
            if CHROMIUM is None:
                item.add_marker(pytest.mark.skip(reason="needs Chromium: see make test"))


expect.set_options(timeout=15_000)


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict) -> dict:
    return {**browser_type_launch_args, "executable_path": CHROMIUM, "args": FLAGS}


@pytest.fixture(params=list(DEVICES))
def device(request: pytest.FixtureRequest) -> str:
    return request.param


@pytest.fixture
def page(browser: Browser, device: str) -> Iterator[Page]:
    """A page on each device. It waits long where it must: the tests share the cores."""
    context = browser.new_context(**DEVICES[device])
    context.set_default_timeout(30_000)
    yield context.new_page()
    context.close()


@dataclass(frozen=True)
class Server:
    """A server that runs in a thread, and the store behind it."""

    address: str
    store: Store


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    url = f"sqlite:///{tmp_path_factory.mktemp('store') / 'houses.db'}"
    app = create_app(url, today=lambda: WRITTEN)
    running = uvicorn.Server(uvicorn.Config(app, port=0, log_level="warning"))
    thread = threading.Thread(target=running.run, daemon=True)
    thread.start()
    while not running.started:
        time.sleep(0.01)
    port = running.servers[0].sockets[0].getsockname()[1]
    with Store(url) as store:
        yield Server(f"http://localhost:{port}", store)
    running.should_exit = True
    thread.join(5)


_numbers = itertools.count(1)


@pytest.fixture
def house(server: Server) -> str:
    """The address of a fresh demo house."""
    number = next(_numbers)
    id = f"tern-hollow-{number}"
    server.store.create(id, "Tern Hollow")
    load = commands.Load(facts=tuple(read_folder(DEMO).facts))
    commands.run(server.store, id, load, who="test", command_id=f"load {number}")
    return f"{server.address}/h/{id}"


@pytest.fixture
def quiet(page: Page) -> Iterator[list[str]]:
    """Fails the test if the page wrote an error to its console."""
    said: list[str] = []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("console", lambda m: said.append(m.text) if m.type == "error" else None)
    yield said
    assert said == []


def violations(page: Page) -> list[str]:
    """What axe finds wrong on the page."""
    page.evaluate(AXE)
    found = page.evaluate(
        """async (rules) => (await axe.run(document, {runOnly: rules})).violations.map(v =>
        `${v.id}: ${v.help}: ${v.nodes.map(n => n.target.join(' ')).slice(0, 5).join(', ')}`)""",
        RULES,
    )
    return list(found)


def sideways(page: Page) -> int:
    """How far the page scrolls sideways [px]."""
    return int(
        page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    )
