"""Where the example houses lie: beside the source, or inside the installed package."""

from __future__ import annotations

from pathlib import Path

import roomwright


def example_path(name: str) -> Path:
    """Return the folder of an example house.

    Raises
    ------
    FileNotFoundError
        if there is no example of that name

    >>> example_path("tern-hollow").name
    'tern-hollow'
    """
    package = Path(roomwright.__file__).resolve().parent
    if name in {".", ".."} or "/" in name or "\\" in name:
        raise FileNotFoundError(f"{name!r} is no name of an example")
    for folder in (package / "examples", package.parents[1] / "examples"):
        if (folder / name / "house.toml").is_file():
            return folder / name
    raise FileNotFoundError(f"there is no example house {name!r}")
