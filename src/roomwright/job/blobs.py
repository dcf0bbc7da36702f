"""Pictures that belong to a house, kept beside its facts and addressed by their sha256.

A blob never changes: other bytes are another blob. Facts name blobs by hash, so the journal can
go back to any of them; what no fact names any more is kept for that reason. The sizes are limits
of ours: a house is drawn over a few scanned sheets, not over a library.

>>> address(b"")[:8]
'e3b0c442'
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, func, insert, select

from roomwright.job import tables as t
from roomwright.job.errors import StoreError

LARGEST = 8 * 1024 * 1024
"""No blob is larger [bytes]."""

MOST = 96 * 1024 * 1024
"""All blobs of a house together [bytes]."""

TYPES = frozenset({"image/png"})
"""What is kept; everything that is sent is made into this first."""


@dataclass(frozen=True, slots=True)
class Blob:
    """A blob as it is kept."""

    sha256: str
    type: str
    body: bytes


def address(body: bytes) -> str:
    """Return the sha256 of some bytes [hex]."""
    return hashlib.sha256(body).hexdigest()


def put(connection: Connection, job: int, body: bytes, type: str, *, at: datetime) -> str:
    """Keep a blob and return its address; the same bytes again are the same blob.

    Raises
    ------
    StoreError
        if it is too large, of a type that is not kept, or the house has too many.
    """
    if type not in TYPES:
        raise StoreError(f"A file of type {type[:40]} is not kept here.")
    if not body:
        raise StoreError("That file is empty.")
    if len(body) > LARGEST:
        raise StoreError(
            f"That picture is {len(body) // 2**20 + 1} MB; {LARGEST // 2**20} MB at most. "
            "Scan it at a lower resolution."
        )
    sha = address(body)
    if get(connection, job, sha) is not None:
        return sha
    held = select(func.coalesce(func.sum(t.blobs.c.size), 0)).where(t.blobs.c.job == job)
    if (connection.execute(held).scalar() or 0) + len(body) > MOST:
        raise StoreError(
            f"This house keeps {MOST // 2**20} MB of pictures already: no more are taken."
        )
    connection.execute(
        insert(t.blobs).values(job=job, sha256=sha, type=type, size=len(body), at=at, body=body)
    )
    return sha


def get(connection: Connection, job: int, sha256: str) -> Blob | None:
    """Return a blob, or None.

    Raises
    ------
    StoreError
        if its bytes are no longer those that were kept.
    """
    wanted = select(t.blobs).where(t.blobs.c.job == job, t.blobs.c.sha256 == sha256)
    row = connection.execute(wanted).first()
    if row is None:
        return None
    if address(row.body) != sha256:
        raise StoreError(f"Picture {sha256[:12]} is damaged in the store: add it again.")
    return Blob(row.sha256, row.type, row.body)
