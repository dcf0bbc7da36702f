"""Writes THIRD_PARTY.md: name, version and licence of each dependency and vendored file."""

from __future__ import annotations

import importlib.metadata
import json
import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]

SPDX = {  # what packages write, or leave out, in their metadata -> the SPDX expression
    "Apache 2.0": "Apache-2.0",
    "Apache License": "Apache-2.0",
    "Apache Software License": "Apache-2.0",
    "3-Clause BSD License": "BSD-3-Clause",
    "Artistic License": "Artistic-1.0",
    "BSD": "BSD-2-Clause",
    "Dual License": "Apache-2.0 OR BSD-3-Clause",  # python-dateutil
    "BSD License": "BSD-3-Clause",
    "ISC License": "ISC",
    "MIT License": "MIT",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
}
NOT_HERE = {"colorama": "BSD-3-Clause", "tzdata": "Apache-2.0"}  # only installed on Windows


def pins(name: str) -> dict[str, set[str]]:
    """Return package -> pinned versions (several where they depend on the Python version)."""
    found: dict[str, set[str]] = {}
    text = (ROOT / "requirements" / f"{name}.txt").read_text(encoding="utf-8")
    for match in re.finditer(r"^([A-Za-z0-9_.-]+)(?:\[[^]]*\])?==([^ ;\\]+)", text, re.MULTILINE):
        found.setdefault(match[1], set()).add(match[2])
    return found


def licence(package: str) -> str:
    """Return the SPDX licence expression of an installed package, or of one listed above."""
    try:
        data = importlib.metadata.metadata(package)
    except importlib.metadata.PackageNotFoundError:
        return NOT_HERE[package]
    written = data.get("License-Expression")
    if written:
        return written
    first = (data.get("License") or "").split("\n")[0].strip()
    if first in SPDX or (first and len(first) < 30 and not first.startswith("Copyright")):
        return SPDX.get(first, first)
    classes = [c for c in data.get_all("Classifier", []) if c.startswith("License ::")]
    return SPDX[classes[0].rsplit(" :: ", 1)[-1]]


def vendored() -> list[dict[str, str]]:
    """Return the entries of every MANIFEST.json beside files that we ship or test with."""
    entries: list[dict[str, str]] = []
    for manifest in sorted(ROOT.glob("src/roomwright/**/MANIFEST.json")) + sorted(
        ROOT.glob("tests/**/MANIFEST.json")
    ):
        for entry in json.loads(manifest.read_text(encoding="utf-8"))["files"]:
            place = (manifest.parent / entry["file"]).relative_to(ROOT).as_posix()
            entries.append({**entry, "place": place})
    return entries


def page() -> str:
    """Return the text of THIRD_PARTY.md."""
    run, dev = pins("run"), pins("dev")
    lines = [
        "# What Roomwright is built on",
        "",
        "Written by `make docs`; a test holds it to the pinned requirements and to the vendored "
        "files. All licenses allow our use; those marked MPL-2.0 or LGPL-3.0 are used unchanged, "
        "as libraries. `psycopg` is only needed for a PostgreSQL store.",
        "",
    ]
    for title, table in (
        ("Runs with it", run),
        ("Only for building and testing", {k: v for k, v in dev.items() if k not in run}),
    ):
        lines += [f"## {title}", "", "| name | version | license |", "|---|---|---|"]
        lines += [
            f"| {name} | {', '.join(sorted(versions))} | {licence(name)} |"
            for name, versions in sorted(table.items())
        ]
        lines.append("")
    lines += [
        "## Files shipped inside",
        "",
        "| file | from | version | license |",
        "|---|---|---|---|",
    ]
    lines += [
        f"| {e['place']} | {e['package']} | {e['version']} | {e['licence']} |" for e in vendored()
    ]
    return "\n".join(lines) + "\n"
