"""How long a builder waits for the new verdict while a piece is dragged, in a real Chromium.

    python -m benchmarks.drag [MOVES]

A server in a process of its own, the demo house, the dining table dragged at 60 moves a second.
Measured in the page, from the pointer's event to the verdicts standing on the page; and on to
the next frame that the screen shows. Server and browser share the machine.
"""

import json
import os
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from dataclasses import asdict, dataclass
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from roomwright import commands
from roomwright.exchange.folder import read_folder
from roomwright.job.store import Store

ROOT = Path(__file__).resolve().parents[1]
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
TARGET_MS = 25.0
CHROMIUM = next(
    filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None
)
SERVE = """
import sys
from roomwright.web.serve import serve
serve(port=int(sys.argv[2]), store_url=sys.argv[1], open_browser=False)
"""
WATCH = """() => {
  const root = document.querySelector('[data-plan]');
  let moved = 0, asked = 0;
  window.took = []; window.framed = [];
  for (const kind of ['pointerrawupdate', 'pointermove'])
    addEventListener(kind, e => { moved = Math.max(moved, e.timeStamp); }, true);
  const plain = window.fetch;
  window.fetch = (...a) => { asked = moved; return plain(...a); };
  root.addEventListener('answered', () => {
    const from = asked;
    window.took.push(performance.now() - from);
    requestAnimationFrame(() => window.framed.push(performance.now() - from));
  });
}"""


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def drag(page: Page, moves: int) -> None:
    box = page.locator("figure:visible .piece[data-piece=T1] .body").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] * 0.4
    page.mouse.move(x, y)
    page.mouse.down()
    for n in range(moves):
        start = time.perf_counter()
        page.mouse.move(x + (n % 60 - 30) * 0.7, y + (n % 34 - 17) * 0.7)
        time.sleep(max(0.0, 1 / 60 - (time.perf_counter() - start)))
    page.wait_for_timeout(200)
    page.mouse.up()


def quantiles(values: list[float]) -> dict[str, float]:
    cuts = statistics.quantiles(values, n=100)
    return {"p50": round(cuts[49], 1), "p95": round(cuts[94], 1), "max": round(max(values), 1)}


@dataclass(frozen=True)
class Drag:
    """Quantiles of the waits [ms]; of so many moves, so many were answered one by one."""

    moves: int
    answers: int
    to_verdict: dict[str, float]
    to_frame: dict[str, float]


def measure(moves: int = 600) -> Drag:
    """Drag and return the milliseconds to the verdict, and to the next frame."""
    with tempfile.TemporaryDirectory() as folder:
        url, port = f"sqlite:///{folder}/houses.db", free_port()
        with Store(url) as store:
            store.create("tern-hollow", "Tern Hollow")
            facts = tuple(read_folder(ROOT / "examples" / "tern-hollow").facts)
            commands.run(store, "tern-hollow", commands.Load(facts=facts), who="bench")
        server = subprocess.Popen(
            [sys.executable, "-c", SERVE, url, str(port)], stdout=subprocess.DEVNULL, cwd=ROOT
        )
        try:
            at = f"http://127.0.0.1:{port}"
            for _ in range(200):
                try:
                    urllib.request.urlopen(f"{at}/houses")  # noqa: S310 - our own server
                    break
                except OSError:
                    time.sleep(0.05)
            with sync_playwright() as play:
                browser = play.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
                page = browser.new_page(viewport={"width": 1280, "height": 900})
                page.goto(f"{at}/h/tern-hollow/room/101")
                page.wait_for_selector(".room.live")
                drag(page, 60)  # warm
                page.wait_for_timeout(800)
                page.evaluate(WATCH)
                drag(page, moves)
                took, framed = page.evaluate("[window.took, window.framed]")
                browser.close()
        finally:
            server.terminate()
            server.wait()
    return Drag(moves, len(took), quantiles(took), quantiles(framed))


if __name__ == "__main__":
    if CHROMIUM is None:
        sys.exit("needs Chromium: see make test")
    found = measure(int(sys.argv[1]) if len(sys.argv) > 1 else 600)
    print(json.dumps({**asdict(found), "load": round(os.getloadavg()[0], 1)}))
    print(f"target: {TARGET_MS:g} ms to the verdict at the 95th percentile")
