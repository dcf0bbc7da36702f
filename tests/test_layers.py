"""Arrows go down only: what each package may import, by its source and in a fresh process."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

SOURCE = Path(__file__).resolve().parents[1] / "src" / "roomwright"

MAY_IMPORT = {
    "lengths": set(),
    "trades": set(),
    "days": set(),
    "shape": set(),
    "figures": {"lengths"},
    "survey": {"lengths", "days", "shape", "figures"},
    "fit": {"lengths", "days", "shape", "figures"},
    "schedule": {"lengths", "days", "shape", "figures"},
    "crews": {"lengths", "days", "shape", "figures", "schedule"},
    "chances": {"lengths", "days", "shape", "figures", "schedule"},
    "supply": {"lengths", "trades", "days", "shape", "figures", "schedule"},
    "markout": {"lengths", "shape", "figures"},
    "counts": {"lengths", "days", "shape", "figures"},
}
FLOOR_1 = set(MAY_IMPORT)
MAY_IMPORT["starter"] = {"lengths", "days", "figures"}
MAY_IMPORT["job"] = FLOOR_1
MAY_IMPORT["exchange"] = FLOOR_1 | {"job", "starter"}
MAY_IMPORT["answers"] = FLOOR_1 | {"job"}
MAY_IMPORT["drawing"] = FLOOR_1 | {"job", "answers"}
MAY_IMPORT["sheets"] = FLOOR_1 | {"job", "answers", "drawing"}
MAY_IMPORT["feed"] = FLOOR_1 | {"job", "answers"}
MAY_IMPORT["commands"] = FLOOR_1 | {"job", "exchange", "answers", "starter"}
EVERYTHING = set(MAY_IMPORT)
MAY_IMPORT["web"] = EVERYTHING
MAY_IMPORT["cli"] = EVERYTHING | {"web"}


def _imports(path: Path) -> set[str]:
    """Return the names under roomwright that a file imports."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            names = [node.module]
            if node.module == "roomwright":
                names = [f"roomwright.{alias.name}" for alias in node.names]
        else:
            continue
        found |= {n.split(".")[1] for n in names if n.startswith("roomwright.")}
    return found


def _packages() -> list[str]:
    return sorted(
        p.stem
        for p in SOURCE.iterdir()
        if (p.is_dir() and any(p.rglob("*.py"))) or (p.suffix == ".py" and p.stem[0] != "_")
    )


@pytest.mark.parametrize("package", _packages())
def test_arrows_go_down(package):
    assert package in MAY_IMPORT, f"{package} has no floor in the plan of the code"
    place = SOURCE / package
    files = place.rglob("*.py") if place.is_dir() else [place.with_suffix(".py")]
    allowed = MAY_IMPORT[package] | {package, "__version__"}
    wrong = {f"{f.relative_to(SOURCE)}: {n}" for f in files for n in _imports(f) - allowed}
    assert not wrong


def test_engines_start_without_database_or_web():
    engines = [p for p in _packages() if p in FLOOR_1 | {"starter"}]
    code = (
        "import importlib, pkgutil, sys\n"
        f"for name in {engines!r}:\n"
        "    m = importlib.import_module(f'roomwright.{name}')\n"
        "    for sub in pkgutil.walk_packages(getattr(m, '__path__', []), m.__name__ + '.'):\n"
        "        importlib.import_module(sub.name)\n"
        "bad = {'sqlalchemy', 'fastapi', 'roomwright.job', 'roomwright.web'} & set(sys.modules)\n"
        "sys.exit(f'came along: {bad}' if bad else 0)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_modules_stay_small():
    long = {
        str(p.relative_to(SOURCE)): n
        for p in SOURCE.rglob("*.py")
        if (n := len(p.read_text(encoding="utf-8").splitlines())) > 400
    }
    assert not long, "past 400 lines: look for the seam"
