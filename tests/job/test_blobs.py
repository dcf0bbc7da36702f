"""Pictures beside the facts: by their hash, with limits, on both databases."""

import pytest
from tests.job import a_house

from roomwright.job import blobs
from roomwright.job.errors import StoreError, UnknownHouseError
from roomwright.job.store import Store


def test_a_blob_comes_back_by_its_hash_and_is_kept_once(store: Store):
    a_house.build(store)
    body = b"\x89PNG\r\n\x1a\n" + bytes(range(256))
    sha = store.put_blob("test-house", body, "image/png")
    assert sha == blobs.address(body)
    assert store.put_blob("test-house", body, "image/png") == sha
    assert store.blob("test-house", sha) == blobs.Blob(sha, "image/png", body)
    assert store.blob("test-house", "0" * 64) is None
    with pytest.raises(UnknownHouseError):
        store.blob("nowhere", sha)


def test_limits_are_kept(store: Store, monkeypatch: pytest.MonkeyPatch):
    a_house.build(store)
    for body, kind, words in (
        (b"x", "text/html", "not kept"),
        (b"", "image/png", "empty"),
        (b"x" * (blobs.LARGEST + 1), "image/png", "8 MB at most"),
    ):
        with pytest.raises(StoreError, match=words):
            store.put_blob("test-house", body, kind)
    monkeypatch.setattr(blobs, "MOST", 10)
    store.put_blob("test-house", b"x" * 9, "image/png")
    with pytest.raises(StoreError, match="no more are taken"):
        store.put_blob("test-house", b"yy", "image/png")


def test_a_damaged_blob_is_never_given(store: Store):
    a_house.build(store)
    sha = store.put_blob("test-house", b"abc", "image/png")
    from roomwright.job import tables as t

    with store._writing() as connection:
        connection.execute(t.blobs.update().values(body=b"abd"))
    with pytest.raises(StoreError, match="damaged"):
        store.blob("test-house", sha)
