"""Files of other projects are as they were fetched, and say where they came from."""

import importlib.util
import json
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def vendor():
    spec = importlib.util.spec_from_file_location("vendor", ROOT / "tools/vendor.py")
    module = importlib.util.module_from_spec(spec)
    sys.modules["vendor"] = module  # dataclasses look themselves up there
    spec.loader.exec_module(module)
    return module


def test_files_are_as_fetched(vendor):
    for package in vendor.PACKAGES:
        assert vendor.wrong(package) == []


def test_each_names_its_licence_and_holds_it(vendor):
    for package in vendor.PACKAGES:
        manifest = json.loads((package.folder / "MANIFEST.json").read_text(encoding="utf-8"))
        kept = {p.name for p in package.folder.iterdir()} - {"MANIFEST.json"}
        assert kept == {one["file"] for one in manifest["files"]}
        assert "LICENSE" in kept
        assert manifest["integrity"].startswith("sha512-")
        for one in manifest["files"]:
            assert one["licence"]
            assert one["version"]


def test_a_changed_file_is_noticed(vendor, tmp_path):
    package = vendor.PACKAGES[0]
    copy = vendor.Package(package.name, package.version, package.licence, tmp_path, package.files)
    for path in package.folder.iterdir():
        (tmp_path / path.name).write_bytes(path.read_bytes())
    assert vendor.wrong(copy) == []
    (tmp_path / "LICENSE").write_text("all yours", encoding="utf-8")
    assert len(vendor.wrong(copy)) == 1


def test_no_registry_address_is_written_down(vendor):
    text = (ROOT / "tools/vendor.py").read_text(encoding="utf-8")
    assert "http" not in text
