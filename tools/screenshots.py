"""Takes the pictures in docs/images from the running pages: ``python -m tools.screenshots``."""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).resolve().parents[1]
OUT = ROOT / "docs" / "images"
PORT = 8497
BASE = f"http://localhost:{PORT}/h/tern-hollow"
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


def picture(page: Page, name: str, path: str, height: int = 800) -> None:
    """Open a page and keep what stands above `height`."""
    page.set_viewport_size({"width": page.viewport_size["width"], "height": height})  # type: ignore[index]
    page.goto(BASE + path)
    page.wait_for_timeout(500)
    page.screenshot(path=str(OUT / f"{name}.png"))
    print(f"docs/images/{name}.png")


def main() -> None:
    """Load the demo into a store of its own, serve it, and take every picture."""
    OUT.mkdir(exist_ok=True)
    command = [sys.executable, "-m", "roomwright.cli"]
    with tempfile.TemporaryDirectory() as folder:
        store = ["--store", f"sqlite:///{folder}/s.db"]
        subprocess.run([*command, "demo", "--load-only", *store], check=True)
        server = subprocess.Popen(
            [*command, "serve", "--no-browser", "--port", str(PORT), *store],
            stdout=subprocess.PIPE, text=True,
        )  # fmt: skip
        try:
            assert server.stdout is not None
            server.stdout.readline()
            with sync_playwright() as play:
                browser = play.chromium.launch(executable_path="/usr/bin/chromium", args=FLAGS)
                desk = browser.new_page(viewport={"width": 1280, "height": 800})
                picture(desk, "house", "", 1180)
                picture(desk, "dining", "/room/101", 1100)
                picture(desk, "tape", "/room/108/survey", 1000)
                picture(desk, "mark-out", "/room/101/mark-out", 1000)
                picture(desk, "what-fits", "/room/101/what-fits", 900)
                picture(desk, "orders", "/orders", 1000)
                desk.goto(BASE + "/chances")
                desk.get_by_text("Orders that cost the most days").wait_for(timeout=60_000)
                picture(desk, "chances", "/chances", 1000)
                picture(desk, "look-ahead", "/look-ahead", 1250)
                picture(desk, "counts", "/counts", 800)
                phone = browser.new_page(viewport={"width": 390, "height": 844}, has_touch=True)
                picture(phone, "phone", "/room/101", 844)
                browser.close()
            subprocess.run(
                [*command, "sheets", "tern-hollow", "101", "--out", folder, *store], check=True
            )
            paper = next(Path(folder).glob("*.pdf"))
            subprocess.run(
                ["pdftoppm", "-r", "72", "-png", "-singlefile", paper, OUT / "sheet"], check=True
            )
        finally:
            server.terminate()
            server.wait()


if __name__ == "__main__":
    main()
