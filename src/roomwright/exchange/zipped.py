"""A house folder as one ZIP file, for a browser to save and to send back.

A ZIP that is read may come from a stranger: nothing of it is unpacked to a disk, only plain files
of known names are taken, and none past its limit however small it was packed.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

from roomwright.exchange.forms import FORMS
from roomwright.exchange.pictures import FOLDER, NAME, file_of
from roomwright.exchange.problems import FolderError, Problem
from roomwright.exchange.source import LARGEST_FILE
from roomwright.exchange.writer import to_files
from roomwright.job.entities import Backdrop
from roomwright.job.facts import Facts

MOST_ENTRIES = 2_000
"""Names in a ZIP that are looked at."""

MOST_BYTES = 64 * 1024 * 1024
"""All that is taken out of a ZIP together [bytes]."""

DAY_ONE = (1980, 1, 1, 0, 0, 0)
"""The date of every file in a ZIP: the same house makes the same bytes."""

NAMES = frozenset(form.file for form in FORMS)


def zipped(facts: Facts, name: str, plans: Mapping[str, bytes] | None = None) -> bytes:
    """Return a house folder as a ZIP; `plans` are pictures of scanned plans by sha256.

    >>> from datetime import date
    >>> from roomwright.job.entities import House
    >>> house = Facts([House(name="Ours", site_start=date(2027, 1, 18))])
    >>> sorted(unzipped(zipped(house, "ours")))
    ['house.toml', 'rooms.csv']
    """
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        files = {file: text.encode() for file, text in to_files(facts).items()}
        held = {b.picture for b in facts.all(Backdrop)}
        files |= {
            f"{FOLDER}/{file_of(sha)}": body for sha, body in (plans or {}).items() if sha in held
        }
        for file, body in files.items():
            made.writestr(zipfile.ZipInfo(f"{name}/{file}", DAY_ONE), body, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def unzipped(data: bytes) -> dict[str, bytes]:
    """Return the files of a house folder in a ZIP, by their plain names.

    Raises
    ------
    FolderError
        if it is no ZIP, is damaged, holds a file twice, or unpacks to too much.
    """
    files: dict[str, bytes] = {}
    left = MOST_BYTES
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as held:
            for entry in held.infolist()[:MOST_ENTRIES]:
                name = entry.filename.replace("\\", "/").rpartition("/")[2].lower()
                if entry.is_dir() or not (name in NAMES or NAME.fullmatch(name)):
                    continue
                if name in files:
                    raise _no(f"holds {name} twice", "pack one house folder")
                if entry.flag_bits & 1:
                    raise _no("is locked with a password", "pack it without one")
                with held.open(entry) as body:
                    files[name] = body.read(min(LARGEST_FILE, left) + 1)
                if len(files[name]) > min(LARGEST_FILE, left):
                    raise _no(
                        f"holds too much: {name}", f"at most {LARGEST_FILE // 1024**2} MB a file"
                    )
                left -= len(files[name])
    except FolderError:
        raise
    except (zipfile.BadZipFile, EOFError, OSError, NotImplementedError, ValueError) as no:
        raise _no(f"cannot be read ({no})", "pack the folder again, as a plain ZIP") from no
    return files


def _no(wrong: str, do: str) -> FolderError:
    return FolderError([Problem("error", "the ZIP", None, "", wrong, do)])
