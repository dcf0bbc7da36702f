"""Refresh the files of other projects that we carry, and write down where each came from.

    python tools/vendor.py            fetch again the versions named below
    python tools/vendor.py --check    only compare the files with their manifest

The package client fetches, so its own settings decide from where; it checks each package against
the registry's integrity hash. Only the files named here are kept. To move to another version,
change it here, run this, look at the difference, and commit both.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import subprocess
import sys
import tarfile
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]


@dataclass(frozen=True, slots=True)
class Package:
    """One package and what we keep of it: path inside the package -> name here."""

    name: str
    version: str
    licence: str
    folder: Path
    files: dict[str, str]


PACKAGES = (
    Package(
        name="axe-core",
        version="4.14.1",
        licence="MPL-2.0",
        folder=ROOT / "tests/browser/vendor/axe-core",
        files={"package/axe.min.js": "axe.min.js", "package/LICENSE": "LICENSE"},
    ),
)


def sha256(path: Path) -> str:
    """Return the hash of a file."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


def fetch(package: Package) -> None:
    """Fetch one package and write its files and manifest."""
    with tempfile.TemporaryDirectory() as spare:
        said = subprocess.run(
            ["npm", "pack", f"{package.name}@{package.version}", "--json", "--silent"],
            cwd=spare,
            check=True,
            capture_output=True,
            text=True,
        ).stdout
        packed = json.loads(said)
        packed = packed[0] if isinstance(packed, list) else next(iter(packed.values()))
        package.folder.mkdir(parents=True, exist_ok=True)
        with tarfile.open(Path(spare) / packed["filename"]) as archive:
            for inside, name in package.files.items():
                source = archive.extractfile(inside)
                if source is None:
                    raise SystemExit(f"{package.name} {package.version} has no {inside}")
                (package.folder / name).write_bytes(source.read())
    manifest = {
        "integrity": packed["integrity"],
        "files": [
            {
                "file": name,
                "package": package.name,
                "version": package.version,
                "licence": package.licence,
                "source": inside,
                "sha256": sha256(package.folder / name),
            }
            for inside, name in package.files.items()
        ],
    }
    text = json.dumps(manifest, indent=2) + "\n"
    (package.folder / "MANIFEST.json").write_text(text, encoding="utf-8")


def wrong(package: Package) -> list[str]:
    """Return what does not match the manifest of one package."""
    manifest = json.loads((package.folder / "MANIFEST.json").read_text(encoding="utf-8"))
    found = [
        f"{package.folder / one['file']} has changed since it was fetched"
        for one in manifest["files"]
        if sha256(package.folder / one["file"]) != one["sha256"]
    ]
    found += [
        f"{package.name} is {one['version']}, {package.version} is asked for"
        for one in manifest["files"][:1]
        if one["version"] != package.version
    ]
    return found


def main() -> int:
    """Run from the command line."""
    reader = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    reader.add_argument("--check", action="store_true", help="compare only, fetch nothing")
    check = reader.parse_args().check
    found = []
    for package in PACKAGES:
        if not check:
            fetch(package)
        found += wrong(package)
    print("\n".join(found) or f"{len(PACKAGES)} package(s) as named")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
