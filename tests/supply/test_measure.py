"""A measure is true only after its condition and until its work is touched."""

from __future__ import annotations

from datetime import date

import pytest

from roomwright.schedule import Progress
from roomwright.supply.measure import Condition, MeasureError, check_measure, measure_stands

BASES = Condition(("BASE", "LEVEL"), spoiled_by=("SHIM", "LEVEL"), words="bases set")
NAMES = {"BASE": "Set bases", "LEVEL": "Level floor", "SHIM": "Shim bases"}
DONE = {
    "BASE": Progress(date(2027, 3, 1), date(2027, 3, 3)),
    "LEVEL": Progress(date(2027, 3, 1), date(2027, 3, 2)),
}


def test_it_cannot_be_recorded_before_it_is_true() -> None:
    with pytest.raises(MeasureError) as wrong:
        check_measure(BASES, date(2027, 3, 2), {"BASE": DONE["BASE"]}, NAMES)
    assert str(wrong.value) == (
        "measured Mar 2, but Set bases was done Mar 3 and Level floor is not done. It must be "
        "measured with bases set: measure again after that."
    )
    check_measure(BASES, date(2027, 3, 3), DONE)  # the day it is done is good


@pytest.mark.parametrize(
    ("taken", "more", "want"),
    [
        (None, {"BASE": Progress()}, "can't be taken yet"),
        (None, {}, "to take"),
        (date(2027, 3, 3), {}, "holds"),
        (date(2027, 3, 2), {}, "expired"),  # taken a day too soon
        (date(2027, 3, 3), {"SHIM": Progress(date(2027, 3, 3), date(2027, 3, 3))}, "expired"),
        (date(2027, 3, 3), {"SHIM": Progress(date(2027, 3, 2), date(2027, 3, 2))}, "holds"),
        (date(2027, 3, 3), {"SHIM": Progress(date(2027, 3, 2))}, "expired"),
        (date(2027, 3, 3), {"SHIM": Progress(date(2027, 3, 4))}, "expired"),
        (date(2027, 3, 3), {"SHIM": Progress(finished=date(2027, 3, 9))}, "expired"),
        (date(2027, 3, 3), {"LEVEL": Progress(date(2027, 3, 1), date(2027, 3, 3))}, "holds"),
        (date(2027, 3, 3), {"LEVEL": Progress(date(2027, 3, 1), date(2027, 3, 5))}, "expired"),
    ],
)
def test_where_it_stands(taken: date | None, more: dict[str, Progress], want: str) -> None:
    found = measure_stands(BASES, taken, {**DONE, **more}, NAMES)
    assert found.stand == want
    assert found.holds == (want == "holds")
    if want == "expired":
        assert found.activities
        assert "measure again" in found.text
