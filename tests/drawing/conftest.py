from datetime import date
from pathlib import Path

import pytest

from roomwright.answers.engine import Answers
from roomwright.exchange.folder import read_folder
from roomwright.job.entities import Room

DEMO = Path(__file__).resolve().parents[2] / "examples" / "tern-hollow"


@pytest.fixture(scope="session")
def demo():
    return Answers(read_folder(DEMO).facts, as_of=date(2027, 3, 29))


@pytest.fixture(scope="session")
def rooms(demo):
    return demo.facts.ids(Room)
