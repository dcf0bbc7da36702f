"""Writes the pages that are made from the code; with --check says which ones are stale."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from tools import cli_page, folder_page, samples, third_party  # noqa: E402  (the root must be on the path first)

PAGES: dict[str, Callable[[], str]] = {
    "THIRD_PARTY.md": third_party.page,
    "docs/house-folder.md": folder_page.page,
    "docs/command-line.md": cli_page.page,
    **{f"docs/samples/{c}.json": partial(samples.sample, c) for c in samples.COMMANDS},
}


def stale() -> list[str]:
    """Return the made pages that differ from what the code says now."""
    return [
        name
        for name, make in PAGES.items()
        if not (ROOT / name).exists() or (ROOT / name).read_text(encoding="utf-8") != make()
    ]


def main() -> int:
    """Write the pages, or only say which are stale."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true", help="write nothing; exit 1 if stale")
    if parser.parse_args().check:
        old = stale()
        for name in old:
            print(f"{name} is not what the code says: run `make docs`")
        return 1 if old else 0
    for name in stale():
        (ROOT / name).parent.mkdir(exist_ok=True)
        (ROOT / name).write_text(PAGES[name](), encoding="utf-8")
        print(f"wrote {name}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
