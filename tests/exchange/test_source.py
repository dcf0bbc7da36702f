"""A folder may come from a stranger: only its own plain files are opened."""

import os
import sys

import pytest
from tests.exchange.houses import GOOD

from roomwright.exchange.folder import FolderError, read_folder
from roomwright.exchange.samples import example_path


@pytest.fixture
def folder(tmp_path):
    for name, text in GOOD.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def told(folder):
    with pytest.raises(FolderError) as no:
        read_folder(folder)
    return str(no.value)


def test_names_of_files_in_any_case(folder):
    (folder / "rooms.csv").rename(folder / "Rooms.CSV")
    assert read_folder(folder).warnings == ()
    (folder / "rooms.csv").write_text("room", encoding="utf-8")
    assert "rooms.csv: is there twice, also as rooms.csv" in told(folder)


def test_a_link_out_of_the_folder_is_not_followed(folder, tmp_path_factory):
    secret = tmp_path_factory.mktemp("elsewhere") / "parts.csv"
    secret.write_text(GOOD["parts.csv"], encoding="utf-8")
    (folder / "parts.csv").unlink()
    (folder / "parts.csv").symlink_to(secret)
    assert "parts.csv: is a link to another place -> put the file itself here" in told(folder)


@pytest.mark.skipif(sys.platform == "win32", reason="pipes are no files there")
def test_a_pipe_does_not_keep_anyone_waiting(folder):
    (folder / "parts.csv").unlink()
    os.mkfifo(folder / "parts.csv")
    assert "parts.csv: is not a plain file" in told(folder)


def test_a_folder_in_place_of_a_file(folder):
    (folder / "parts.csv").unlink()
    (folder / "parts.csv").mkdir()
    assert "parts.csv: is not a plain file" in told(folder)


def test_a_file_too_large_is_not_read_through(folder):
    with (folder / "contacts.csv").open("wb") as stream:
        stream.truncate(20 * 1024 * 1024)
    assert "contacts.csv: is larger than 8 MB" in told(folder)


def test_no_folder_and_no_house(tmp_path):
    assert "cannot be opened (No such file or directory)" in told(tmp_path / "nowhere")
    assert "cannot be opened" in told(f"{tmp_path}/\0")
    (tmp_path / "house.toml").write_text("x", encoding="utf-8")
    assert "house.toml: is a file -> name the folder" in told(tmp_path / "house.toml")
    (tmp_path / "house.toml").unlink()
    text = told(tmp_path)
    assert "house.toml: is missing" in text
    assert "rooms.csv: is missing" in text


def test_files_that_are_not_read_are_named_where_that_may_surprise(folder):
    for name in ("pices.csv", "rooms.xlsx", "notes.txt", ".hidden.csv", "README.md"):
        (folder / name).write_text("x", encoding="utf-8")
    warnings = [str(w) for w in read_folder(folder).warnings]
    assert warnings == [
        "pices.csv: is no file of a house folder and is not read -> rename it to pieces.csv if it "
        "is that file",
        "rooms.xlsx: is a spreadsheet and is not read -> save it as CSV UTF-8",
    ]


def test_examples_are_found_by_name_only():
    assert (example_path("tern-hollow") / "rooms.csv").is_file()
    for name in ("nowhere", "..", ".", "../examples/tern-hollow", "a\\b"):
        with pytest.raises(FileNotFoundError):
            example_path(name)
