"""Numbers as they are said: "one forty-eight and three eighths" is 148 3/8."""

from __future__ import annotations

import re
from collections.abc import Sequence

ONES = {
    "zero": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7,
    "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14,
    "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19,
}  # fmt: skip
TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70,
    "eighty": 80, "ninety": 90,
}  # fmt: skip
PARTS = {
    "half": 2, "halves": 2, "quarter": 4, "quarters": 4, "fourth": 4, "fourths": 4, "eighth": 8,
    "eighths": 8, "sixteenth": 16, "sixteenths": 16, "thirty-second": 32, "thirty-seconds": 32,
    "sixty-fourth": 64, "sixty-fourths": 64,
}  # fmt: skip
UNITS = {"feet", "foot", "ft", "inches", "inch", "in", "m", "cm", "mm", "meters", "meter"}


class NumeralError(ValueError):
    """Number words that say nothing, or two things; `readings` holds the two."""

    def __init__(self, message: str, readings: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.readings = readings


def digits(words: Sequence[str]) -> str:
    """A length with its number words written in digits; what is digits already stays.

    >>> digits("twelve feet four and three eighths".split())
    '12 feet 4 3/8'
    >>> digits("one forty-eight and a half".split()), digits("twelve four".split())
    ('148 1/2', '12 4')

    Raises
    ------
    NumeralError
        "two ten" (2'-10" or 210"), and words that are no numbers.
    """
    split = [part for word in words for part in _apart(word)]
    made: list[str] = []
    k = 0
    while k < len(split):
        word = split[k]
        if word in ONES or word in TENS or word in ("a", "an", "half", "oh", "hundred"):
            k = _number(split, k, made)
        elif word == "and":
            k += 1
        elif word in UNITS or re.search(r"[0-9½¼¾⅛⅜⅝⅞'\"′″’”+.-]", word):
            made.append(word)
            k += 1
        else:
            raise NumeralError(f"“{word}” is no part of a length: say it like 12 feet 4 3/8.")
    return " ".join(made)


def _apart(word: str) -> list[str]:
    """forty-eight comes apart; thirty-seconds stays."""
    low = word.casefold().strip(",")
    if low in PARTS or "-" not in low or not re.fullmatch(r"[a-z]+(-[a-z]+)+", low):
        return [low]
    return low.split("-")


def _number(words: Sequence[str], k: int, made: list[str]) -> int:
    """One run of number words from `k`: groups of numbers, and a fraction at its end."""
    groups: list[int] = []
    while k < len(words):
        word = words[k]
        part = _fraction(words, k)
        if part is not None:
            made += [f"{g}" for g in _joined(groups)]
            made.append(part[0])
            return part[1]
        if word == "hundred" and groups and groups[-1] < 10:
            groups[-1] *= 100
        elif word in TENS:
            value = TENS[word]
            if (
                k + 1 < len(words)
                and 0 < ONES.get(words[k + 1], 0) < 10
                and (_fraction(words, k + 1) is None)
            ):
                k += 1
                value += ONES[words[k]]
            _add(groups, value, words, k)
        elif word in ONES or word == "oh":
            _add(groups, ONES.get(word, 0), words, k)
        elif (
            word == "and"
            and k + 1 < len(words)
            and (
                words[k + 1] in ONES or words[k + 1] in TENS or _fraction(words, k + 1) is not None
            )
        ):
            pass
        elif word == "a" and k + 1 < len(words) and words[k + 1] == "hundred":
            groups.append(1)
        else:
            break
        k += 1
    if not groups:
        raise NumeralError(f"“{words[k]}” is no part of a length: say it like 12 feet 4 3/8.")
    made += [f"{g}" for g in _joined(groups)]
    return k


def _add(groups: list[int], value: int, words: Sequence[str], k: int) -> None:
    """A number after the ones before it: after a hundred it is added, else it stands apart."""
    said_hundred = k > 0 and (
        "hundred" in (words[k - 1], words[k - 2] if k > 1 else "")
        or (k > 2 and words[k - 2] == "and" and words[k - 3] == "hundred")
    )
    if groups and groups[-1] % 100 == 0 and groups[-1] > 0 and said_hundred:
        groups[-1] += value
    else:
        groups.append(value)


def _fraction(words: Sequence[str], k: int) -> tuple[str, int] | None:
    """A fraction at `k`: a half, three eighths, quarter."""
    if words[k] in PARTS:
        return f"1/{PARTS[words[k]]}", k + 1
    if k + 1 < len(words) and words[k + 1] in PARTS:
        count = 1 if words[k] in ("a", "an") else ONES.get(words[k])
        if count:
            return f"{count}/{PARTS[words[k + 1]]}", k + 2
    if (
        k + 2 < len(words)
        and words[k] in ONES
        and words[k + 1] == "thirty"
        and (words[k + 2] in ("second", "seconds"))
    ):
        return f"{ONES[words[k]]}/32", k + 3
    return None


def _joined(groups: Sequence[int]) -> list[int]:
    """One forty-eight is 148; one oh four is 104; two ten is refused; twelve four stays two."""
    if len(groups) == 3 and groups[1] == 0 and 0 < groups[0] < 10 and groups[2] < 10:
        return [100 * groups[0] + groups[2]]
    if len(groups) == 2:
        first, second = groups
        if first < 10 and 12 <= second < 100:
            return [100 * first + second]
        if first < 10 and second in (10, 11):
            ways = (f"{first} feet {second}", f"{first} hundred {second}")
            raise NumeralError(
                f'it can be {first}\'-{second}" or {100 * first + second}": '
                f"say “{ways[0]}” or “{ways[1]}”.",
                ways,
            )
        if first < 12 and second < 12 and first > 0 and second == 0:
            raise NumeralError("a number stands alone with zero: say it with feet and inches.")
    if len(groups) > 2:
        said = " ".join(f"{g}" for g in groups)
        raise NumeralError(f"“{said}” is several numbers: say feet and inches, 12 feet 4 3/8.")
    return list(groups)
