"""THIRD_PARTY.md names every dependency and vendored file with version and an allowed licence."""

import hashlib
import re
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
