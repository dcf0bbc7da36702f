"""THIRD_PARTY.md names every dependency and vendored file with version and an allowed licence."""

import ast
import hashlib
import re
import sys
import tomllib
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest
from tools import third_party

ROOT = Path(__file__).resolve().parents[1]
ALLOWED = {
    "0BSD", "Apache-2.0", "Artistic-1.0", "BSD-2-Clause", "BSD-3-Clause", "CC0-1.0", "ISC",
    "LGPL-3.0-only", "LLVM-exception", "MIT", "MIT-CMU", "MPL-2.0", "OFL-1.1", "PSF-2.0", "Zlib",
}  # fmt: skip


def rows():
    text = (ROOT / "THIRD_PARTY.md").read_text(encoding="utf-8")
    return [
        [cell.strip() for cell in line.strip("|").split("|")]
        for line in text.splitlines()
        if line.startswith("| ") and not line.startswith(("| name", "| file"))
    ]


def test_the_page_is_what_the_pins_say():
    assert (ROOT / "THIRD_PARTY.md").read_text(encoding="utf-8") == third_party.page()


def test_every_pin_is_listed():
    listed = {row[0]: set(row[1].split(", ")) for row in rows() if len(row) == 3}
    assert listed == third_party.pins("run") | third_party.pins("dev")


def test_every_licence_is_allowed():
    for row in rows():
        words = set(re.split(r" AND | OR | WITH |[()]", row[-1])) - {""}
        assert words <= ALLOWED, row


@pytest.mark.parametrize("entry", third_party.vendored(), ids=lambda e: e["place"])
def test_vendored_files_are_the_ones_listed(entry):
    content = (ROOT / entry["place"]).read_bytes()
    assert hashlib.sha256(content).hexdigest() == entry["sha256"]


def test_no_registry_address_in_the_requirements():
    for path in (ROOT / "requirements").iterdir():
        assert "://" not in path.read_text(encoding="utf-8"), path.name


def test_what_the_program_imports_comes_with_it():
    """Every library that a module of the program imports stands in its own dependencies.

    The tests' own environment holds more: there a library that is missing would not be missed.
    """
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extra = [each for more in project["optional-dependencies"].values() for each in more]
    named = {
        re.split(r"[\[<>=~! ]", each)[0].lower() for each in (*project["dependencies"], *extra)
    }
    sold_as = packages_distributions()
    wanted = set()
    for path in (ROOT / "src").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = []
            if isinstance(node, ast.Import):
                names = [each.name for each in node.names]
            elif isinstance(node, ast.ImportFrom) and node.level == 0:
                names = [node.module or ""]
            wanted |= {(name.split(".")[0], path.name) for name in names}
    parts = {"starlette", "markupsafe", "pydantic_core"}  # of FastAPI, Jinja2 and pydantic
    ours = {"roomwright", *parts, *sys.stdlib_module_names}
    lacking = {
        (module, where)
        for module, where in wanted
        if module not in ours and not named & {d.lower() for d in sold_as.get(module, [])}
    }
    assert lacking == set()
