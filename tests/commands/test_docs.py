"""The pages say every command, every field and every kind of fact that there is."""

import re
from pathlib import Path

import pytest

from roomwright.commands import COMMANDS
from roomwright.job.entities import KINDS

DOCS = Path(__file__).resolve().parents[2] / "docs"
ROWS = {
    cells[0].strip(): cells
    for line in (DOCS / "commands.md").read_text(encoding="utf-8").splitlines()
    if line.startswith("| ") and len(cells := line.strip("|").split("|")) == 3
}


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_has_its_line_with_every_field(name):
    assert name in ROWS, f"docs/commands.md has no line for “{name}”"
    said = ROWS[name][2]
    model = COMMANDS[name]
    for field, info in model.model_fields.items():
        if (name, field) == ("load", "facts"):
            continue  # what the folder says
        found = re.search(rf"\b{field}\b(\*?)", said)
        assert found, f"docs/commands.md: “{name}” lacks the field {field}"
        assert bool(found[1]) == info.is_required(), f"“{name}”: is {field} needed?"


def test_no_line_is_left_over():
    known = set(COMMANDS) | {"command", "the folder"}
    left = [n for n in ROWS if n not in known and not n.startswith("---")]
    assert set(left) <= {"changed", "as loaded", "gone", "changed or as loaded", "never had it"}


def test_every_kind_of_fact_has_its_line():
    text = (DOCS / "facts.md").read_text(encoding="utf-8")
    missing = [kind for kind in KINDS if f"\n| {kind} |" not in text]
    assert not missing


def test_the_store_page_names_what_can_be_set():
    text = (DOCS / "store.md").read_text(encoding="utf-8")
    for name in ("ROOMWRIGHT_STORE", "XDG_DATA_HOME", "LOCALAPPDATA", "postgresql://"):
        assert name in text
