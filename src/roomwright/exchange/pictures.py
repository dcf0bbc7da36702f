"""Pictures of scanned plans in a house folder: ``pictures/SHA256.png``, checked by their hash."""

from __future__ import annotations

import hashlib
import os
import re
import struct
from collections.abc import Mapping
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from roomwright.exchange.problems import Problems
from roomwright.exchange.source import gather
from roomwright.job.entities import Backdrop
from roomwright.job.facts import Facts

if TYPE_CHECKING:
    from roomwright.job.store import Store

FOLDER = "pictures"
NAME = re.compile(r"[0-9a-f]{64}\.png")
FILE = "backdrops.csv"


def file_of(sha256: str) -> str:
    """Return the name of a picture's file.

    >>> file_of("ab" * 32)[-8:]
    'abab.png'
    """
    return f"{sha256}.png"


def gathered(folder: Path, problems: Problems) -> dict[str, bytes]:
    """Return the files of a folder's pictures by name; none where it has no such folder."""
    place = folder / FOLDER
    if not place.is_dir() or place.is_symlink():
        return {}
    names = sorted(p.name for p in islice(place.iterdir(), 500) if NAME.fullmatch(p.name))
    return gather(place, names, problems)


def checked(facts: Facts, files: Mapping[str, bytes], problems: Problems) -> dict[str, bytes]:
    """Return the pictures that the backdrops name, by sha256; what is wrong is noted.

    A picture that is not there is a warning: the level is drawn without it. One whose bytes are
    not those of its name, or that is no PNG of the size its row says, is an error.
    """
    found: dict[str, bytes] = {}
    for backdrop in facts.all(Backdrop):
        name = file_of(backdrop.picture)
        body = files.get(name)
        if body is None:
            problems.warn(FILE, None, "picture", f"{FOLDER}/{name[:12]}... is not there",
                          f"put it into the folder {FOLDER}; till then nothing lies under level "
                          f"{backdrop.id}")  # fmt: skip
            continue
        wrong = _wrong(backdrop, body)
        if wrong:
            problems.error(FILE, None, "picture", f"{FOLDER}/{name[:12]}... {wrong}",
                           "take it again from where the folder was written")  # fmt: skip
        else:
            found[backdrop.picture] = body
    return found


def _wrong(backdrop: Backdrop, body: bytes) -> str:
    if hashlib.sha256(body).hexdigest() != backdrop.picture:
        return "is another picture than its name says"
    if not body.startswith(b"\x89PNG\r\n\x1a\n") or body[12:16] != b"IHDR" or len(body) < 24:
        return "is no PNG"
    size = struct.unpack(">II", body[16:24])  # W3C PNG, 11.2.1
    if size != (backdrop.wide, backdrop.high):
        return f"is {size[0]} x {size[1]} pixels, not {backdrop.wide} x {backdrop.high}"
    return ""


def kept(store: Store, house: str, facts: Facts) -> dict[str, bytes]:
    """Return the pictures that a stored house's backdrops name, by sha256."""
    named = dict.fromkeys(backdrop.picture for backdrop in facts.all(Backdrop))
    found = ((sha, store.blob(house, sha)) for sha in named)
    return {sha: blob.body for sha, blob in found if blob is not None}


def write(folder: Path, facts: Facts, pictures: Mapping[str, bytes]) -> tuple[str, ...]:
    """Write the pictures that the backdrops name; return their files."""
    written = []
    for backdrop in facts.all(Backdrop):
        body = pictures.get(backdrop.picture)
        if body is None:
            continue
        place = folder / FOLDER
        place.mkdir(exist_ok=True)
        beside = place / f".{backdrop.picture[:12]}.new"
        beside.write_bytes(body)
        os.replace(beside, place / file_of(backdrop.picture))  # noqa: PTH105 - the atomic one
        written.append(f"{FOLDER}/{file_of(backdrop.picture)}")
    return tuple(written)
