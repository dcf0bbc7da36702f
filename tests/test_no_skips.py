"""ROOMWRIGHT_NO_SKIPS=1 turns every skip into a failure, however the test skips itself."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
TESTS = {
    "inside": "import pytest\ndef test_it():\n    pytest.skip('not here')\n",
    "mark": "import pytest\n@pytest.mark.skip(reason='not here')\ndef test_it(): pass\n",
    "fixture": (
        "import pytest\n@pytest.fixture\ndef server():\n    pytest.skip('not here')\n"
        "def test_it(server): pass\n"
    ),
    "module": "import pytest\npytest.skip('not here', allow_module_level=True)\n",
}


def run(path: Path, strict: bool) -> subprocess.CompletedProcess[str]:
    environment = {k: v for k, v in os.environ.items() if k != "ROOMWRIGHT_NO_SKIPS"}
    if strict:
        environment["ROOMWRIGHT_NO_SKIPS"] = "1"
    command = [sys.executable, "-m", "pytest", "-q", "-p", "tests.conftest", "--rootdir", str(ROOT),
               "-c", str(ROOT / "pyproject.toml"), str(path)]  # fmt: skip
    return subprocess.run(
        command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False
    )


@pytest.mark.parametrize("how", TESTS)
def test_a_skip_fails_where_none_is_allowed(tmp_path, how):
    path = tmp_path / "test_one.py"
    path.write_text(TESTS[how])
    done = run(path, strict=True)
    assert done.returncode in (1, 2), done.stdout + done.stderr
    assert "skipped under ROOMWRIGHT_NO_SKIPS=1" in done.stdout
    assert "not here" in done.stdout


def test_a_skip_is_a_skip_elsewhere(tmp_path):
    path = tmp_path / "test_one.py"
    path.write_text(TESTS["fixture"])
    done = run(path, strict=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "1 skipped" in done.stdout
