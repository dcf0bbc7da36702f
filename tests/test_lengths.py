"""Lengths: every notation, every refusal, and printing that reads back as itself."""

import json
import math
import unicodedata
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from roomwright.lengths import LengthError, area, exact, inches, pair, parse, tape, words

VECTORS = json.loads(
    (Path(__file__).parent / "vectors" / "lengths.json").read_text(encoding="utf-8")
)
GRID = st.integers(-(10**7), 10**7).map(lambda n: Fraction(n, 16))


@pytest.mark.parametrize("case", VECTORS["parse"], ids=lambda c: c["text"])
def test_reads(case):
    assert exact(parse(case["text"])) == case["inches"]


@pytest.mark.parametrize("case", VECTORS["refuse"], ids=lambda c: repr(c["text"]))
def test_refuses_and_says_what_to_do(case):
    with pytest.raises(LengthError) as caught:
        parse(case["text"])
    assert case["says"] in str(caught.value)
    assert list(caught.value.readings) == case["readings"]
    # each reading that is offered can be typed as it stands, and they differ
    assert len({parse(r) for r in caught.value.readings}) == len(case["readings"])


@pytest.mark.parametrize("case", VECTORS["tape"], ids=lambda c: f"{c['inches']}@{c['per_inch']}")
def test_prints(case):
    x = parse(case["inches"])
    assert tape(x, case["per_inch"]) == case["tape"]
    assert inches(x, case["per_inch"]) == case["in_inches"]


def test_every_vulgar_fraction_of_unicode_is_read():
    signs = [
        chr(c)
        for c in range(0x3000)
        if unicodedata.category(chr(c)) == "No" and unicodedata.name(chr(c)).startswith("VULGAR")
    ]
    assert len(signs) == 19
    for sign in signs:
        value = Fraction(*map(int, unicodedata.normalize("NFKC", sign).split("\u2044")))
        assert parse(sign) == value
        assert parse(f"3{sign}") == parse(f"3-{sign}") == parse(f"3 {sign}\u2033") == 3 + value
        assert parse(f"15\u2032-3{sign}\u2033") == 183 + value


@pytest.mark.parametrize(
    ("given", "value"),
    [
        (5, Fraction(5)),
        (Fraction(1, 3), Fraction(1, 3)),
        (112.5, Fraction(225, 2)),
        (0.1, Fraction(1, 10)),  # a float is the decimal it prints as
        (Decimal("4.25"), None),  # decimals do not register as real numbers: refused
        (np.float64(112.5), Fraction(225, 2)),
        (np.int32(7), Fraction(7)),
        (math.nan, None),  # no length
        (math.inf, None),  # no length
        (1e300, None),  # a slip of the exponent
        (True, None),  # a yes is not an inch
        (None, None),  # a missing value is the caller's to handle
        ([1], None),  # nor is a list
    ],
)
def test_numbers(given, value):
    if value is None:
        with pytest.raises(LengthError):
            parse(given)
    else:
        assert parse(given) == value


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("9" * 201, "too long"),  # longer than any length
        ("1 + " * 49 + "1", "32 lengths at most"),  # a sum without end
        ("1+" * 99 + "1", "32 lengths at most"),  # the same, packed
    ],
)
def test_hostile_sizes(text, says):
    with pytest.raises(LengthError, match=says):
        parse(text)


@pytest.mark.parametrize("text", ['0 0"0', "15 3 + 15 3", '5 3" 4'])
def test_what_is_offered_can_be_typed(text):
    with pytest.raises(LengthError) as caught:
        parse(text)
    for reading in caught.value.readings:
        parse(reading)


@example('0 0"0')
@example("15 3 + 15 3")
@given(st.text(max_size=60) | st.text("0123456789 '\"-+/.,½¾mcft′″", max_size=24))
def test_any_text_gives_a_length_or_a_length_error(text):
    readings = ()
    try:
        values = [parse(text)]
    except LengthError as error:
        values, readings = [], error.readings
    values += [parse(r) for r in readings]  # what is offered can be typed
    assert all(parse(exact(v)) == v for v in values)


@given(GRID)
def test_tape_reads_back_as_itself(x):
    assert parse(tape(x)) == x
    assert parse(inches(x)) == x
    assert parse(words(abs(x))) == abs(x)


@given(st.fractions(), st.sampled_from([1, 2, 4, 8, 10, 16, 32, 64]))
def test_tape_rounds_to_the_nearest_mark_halves_away_from_zero(x, per_inch):
    printed = parse(tape(x, per_inch))
    assert abs(printed - x) <= Fraction(1, 2 * per_inch)
    if abs(printed - x) == Fraction(1, 2 * per_inch):
        assert abs(printed) > abs(x)
    assert parse(inches(x, per_inch)) == printed
    assert tape(-x, per_inch).lstrip("-") == tape(x, per_inch).lstrip("-")


@given(st.fractions())
def test_exact_loses_nothing(x):
    assert parse(exact(x)) == x


@given(st.floats(-1e9, 1e9))
def test_a_float_survives(x):
    assert float(parse(x)) == x


@given(st.lists(GRID.filter(lambda x: x >= 0), min_size=1, max_size=8))
def test_a_run_of_parts_adds_exactly(parts):
    assert parse(" + ".join(tape(p) for p in parts)) == sum(parts)


@given(GRID.map(abs), GRID.map(abs))
def test_a_pair_of_tape_readings(x, y):
    if x % 12 or x < 12:  # with whole feet first, the second could be its inches
        assert pair(f"{tape(x)} {tape(y)}") == (x, y)


@pytest.mark.parametrize(
    ("text", "xy"),
    [
        ("162 150", (162, 150)),
        ("166.5 0", (Fraction(333, 2), 0)),
        ("162 1/8 150", (Fraction(1297, 8), 150)),
        ("162 3 1/2", (162, Fraction(7, 2))),
        ("13'-6\" 12'-6\"", (162, 150)),
        ("0 -5", (0, -5)),
        ("15' 3 1/2", None),  # 15' and 3 1/2, or 15' 3 and 1/2
        ("162", None),  # one length
        ("1 2 3", None),  # three
        ("", None),  # none
        ("1 " * 150, None),  # hostile
    ],
)
def test_pair(text, xy):
    if xy is None:
        with pytest.raises(LengthError):
            pair(text)
    else:
        assert pair(text) == xy


def test_bad_marks_per_inch():
    with pytest.raises(LengthError, match="per_inch"):
        tape(1, 0)


def test_area():
    assert area(24300) == "168.8 sq ft"  # 162 x 150 in, 168.75: half away from zero
    assert area(0) == "0.0 sq ft"


def test_words():
    assert words(-39) == "minus 3 feet 3 inches"
    assert words(1) == "1 inch"
    assert words(0) == "0 inches"
