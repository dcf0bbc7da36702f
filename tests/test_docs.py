"""The docs say what the code does: pages are linked, links lead somewhere, made pages are fresh."""

import ast
import doctest
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PAGES = [*sorted(p for p in ROOT.glob("docs/*.md")), ROOT / "README.md", ROOT / "CONTRIBUTING.md"]


@pytest.mark.parametrize("doc", PAGES, ids=lambda p: p.name)
def test_links_lead_somewhere(doc):
    text = doc.read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", text):
        if "://" not in target:
            assert (doc.parent / target).exists(), f"{doc.name} links to {target}"


@pytest.mark.parametrize("doc", PAGES, ids=lambda p: p.name)
def test_examples_run(doc):
    """Examples with a prompt give what the page says; of the others, what they import is there."""
    text = doc.read_text(encoding="utf-8")
    options = doctest.NORMALIZE_WHITESPACE | doctest.ELLIPSIS
    example = doctest.DocTestParser().get_doctest(text, {}, doc.name, str(doc), 0)
    said = []
    doctest.DocTestRunner(optionflags=options).run(example, out=said.append)
    assert not said, "".join(said)
    for block in re.findall(r"^```python\n(.*?)^```", text, re.DOTALL | re.MULTILINE):
        if ">>>" not in block:
            wanted = [
                n for n in ast.parse(block).body if isinstance(n, ast.Import | ast.ImportFrom)
            ]
            assert wanted, "an example says where its names come from"
            exec(compile(ast.Module(wanted, []), doc.name, "exec"), {})  # noqa: S102 - our own page


def test_every_page_is_in_the_index():
    index = (ROOT / "docs" / "index.md").read_text(encoding="utf-8")
    pages = (p.name for p in ROOT.glob("docs/*.md") if p.name != "index.md")
    missing = [name for name in pages if f"({name})" not in index]
    assert not missing


def test_made_pages_are_fresh():
    from tools import make_docs

    assert make_docs.stale() == [], "run `make docs`"


def test_the_readme_names_the_two_commands_and_the_caution():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert "make run" in text
    assert "make test" in text
    assert "follow local code and licensed practice" in text


def test_no_path_of_a_machine_in_the_tree():
    wrong = []
    for path in ROOT.rglob("*"):
        parts = path.relative_to(ROOT).parts
        if not path.is_file() or parts[0] in {".git", ".venv", ".mypy_cache", ".ruff_cache"}:
            continue
        if path.suffix in {".py", ".md", ".toml", ".js", ".html", ".css", ".txt", ".in", ".sh"}:
            text = path.read_text(encoding="utf-8")
            if re.search(r"/(work|root)/[a-z_.]", text) and path.name != "test_docs.py":
                wrong.append(path.relative_to(ROOT).as_posix())
    assert not wrong
