"""The page and the schemas of the house folder say what the code reads."""

import csv
import json
import tomllib
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from roomwright.exchange.forms import FORMS, HOUSE, TABLES
from roomwright.exchange.samples import example_path
from roomwright.exchange.schemas import schemas, table

DOCS = Path(__file__).resolve().parents[2] / "docs"
PAGE = (DOCS / "house-folder.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("form", FORMS, ids=lambda f: f.file)
def test_every_file_and_column_is_documented(form):
    _, _, after = PAGE.partition(f"### {form.file}\n")
    section = after.partition("\n### ")[0]
    assert form.says in section
    assert table(form) in section, f"copy schemas.table() of {form.file} into the page"


def test_schemas_are_those_of_the_code():
    written = {p.name: p.read_text(encoding="utf-8") for p in (DOCS / "schemas").glob("*.json")}
    assert written == schemas(), "run python -m roomwright.exchange.schemas"


DEMO = example_path("tern-hollow")
IN_DEMO = [form for form in TABLES if (DEMO / form.file).exists()]


def test_the_demo_has_most_of_the_files():
    assert len(IN_DEMO) >= 19


@pytest.mark.parametrize("form", IN_DEMO, ids=lambda f: f.file)
def test_the_demo_fits_its_schemas(form):
    schema = json.loads(schemas()[f"{form.file}.schema.json"])
    Draft202012Validator.check_schema(schema)
    with (DEMO / form.file).open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert rows
    Draft202012Validator(schema).validate(rows)


def test_the_demo_house_fits_its_schema():
    schema = json.loads(schemas()["house.toml.schema.json"])
    text = (example_path("tern-hollow") / HOUSE.file).read_text(encoding="utf-8")
    house = json.loads(json.dumps(tomllib.loads(text), default=str))
    Draft202012Validator(schema).validate(house)
    wrong = dict(house, site_start=3)
    assert not Draft202012Validator(schema).is_valid(wrong)
