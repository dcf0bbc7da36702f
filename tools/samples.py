"""Writes docs/samples/*.json: one answer of each reading command on the demo, lists cut short."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from typer.testing import CliRunner

ROOT = Path(__file__).resolve().parents[1]
MOST = 3
COMMANDS = {
    "fit": ["101"],
    "paths": [],
    "what-fits": ["101"],
    "mark-out": ["101"],
    "walls": ["202"],
    "survey": ["108"],
    "dates": [],
    "schedule-check": [],
    "crews": [],
    "orders": [],
    "history": [],
    "chances": ["--samples", "200"],
    "counts": [],
    "today": [],
    "check": [],
    "sheets": [],
}


def cut(value: Any, depth: int = 0) -> Any:
    """Return JSON with each list of more than a few entries cut to its first ones."""
    if isinstance(value, dict):
        return {k: cut(v, depth + 1) for k, v in value.items()}
    if isinstance(value, list):
        keep = value[:MOST] if any(isinstance(v, dict) for v in value) else value[:12]
        return [cut(v, depth + 1) for v in keep]
    return value


def answer(command: str) -> dict[str, Any]:
    """Return what a reading command prints about the demo house as JSON."""
    from roomwright.cli.app import app

    args = [command, str(ROOT / "examples" / "tern-hollow"), *COMMANDS[command], "--json"]
    done = CliRunner().invoke(app, args, catch_exceptions=False)
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def sample(command: str) -> str:
    """Return the text of docs/samples/COMMAND.json."""
    return json.dumps(cut(answer(command)), indent=1, ensure_ascii=False) + "\n"


def main() -> None:
    """Write them all."""
    folder = ROOT / "docs" / "samples"
    folder.mkdir(exist_ok=True)
    for command in COMMANDS:
        (folder / f"{command}.json").write_text(sample(command), encoding="utf-8")


if __name__ == "__main__":
    main()
