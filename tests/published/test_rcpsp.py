"""Projects with limited resources: a small one of our own, and those that others published.

The published files are not ours to give away. With their folder in ROOMWRIGHT_PSPLIB the critical
paths of all files are compared (a second or two), and, as an opt-in run of hours, the optima of set
j30: 60 seconds a project (ROOMWRIGHT_PSPLIB_SECONDS), every so-manieth (ROOMWRIGHT_PSPLIB_EVERY).
"""

from __future__ import annotations

import os
from datetime import date
from itertools import permutations
from pathlib import Path

import pytest
from tests.published.plain_rcpsp import solve

from roomwright.crews.level import level
from roomwright.crews.model import Effort, Levelled, Limit, Use
from roomwright.days import Calendar
from roomwright.schedule import passes
from roomwright.schedule.rcpsp import Instance, RcpspError, read

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
HOUSE = Calendar(date(2027, 3, 1))
FOLDER = os.environ.get("ROOMWRIGHT_PSPLIB")

SMALL = """\
************************************************************************
projects                      :  1
jobs (incl. supersource/sink ):  9
RESOURCES
  - renewable                 :  2   R
************************************************************************
PROJECT INFORMATION:
pronr.  #jobs rel.date duedate tardcost  MPM-Time
    1      7      0       10        3       10
************************************************************************
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          3           2   3   4
   2        1          2           5   6
   3        1          1           7
   4        1          1           7
   5        1          1           8
   6        1          1           9
   7        1          1           9
   8        1          1           9
   9        1          0
************************************************************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1  R 2
------------------------------------------------------------------------
  1      1     0       0    0
  2      1     3       2    0
  3      1     4       2    1
  4      1     2       1    1
  5      1     5       1    0
  6      1     4       2    1
  7      1     3       2    1
  8      1     2       3    0
  9      1     0       0    0
************************************************************************
RESOURCEAVAILABILITIES:
  R 1  R 2
    3    1
************************************************************************
"""
"""Our own: seven jobs, two tilers and a helper, one wet saw."""


def limits(instance: Instance) -> list[Limit]:
    return [
        Limit(name, most, tuple(Use(id, n[name]) for id, n in instance.takes.items() if name in n))
        for name, most in instance.most.items()
    ]


def levelled(instance: Instance, seconds: float | None = None) -> Levelled:
    effort = Effort() if seconds is None else Effort(work=1e6, seconds=seconds, workers=2)
    return level(instance.network, HOUSE, limits=limits(instance), effort=effort)


def by_every_order(instance: Instance) -> int:
    """The shortest length over all orders in which jobs can be placed, each as soon as it can."""
    jobs = [a.id for a in instance.network if a.days]
    before = {id: set() for id in (a.id for a in instance.network)}
    for link in instance.network.links:
        before[link.after].add(link.before)
    best = 10**9
    for order in permutations(jobs):
        used: dict[tuple[str, int], int] = {}
        end = dict.fromkeys((a.id for a in instance.network if not a.days), 0)
        for id in order:
            if not before[id] <= end.keys():
                break
            lasts, start = int(instance.network[id].days), max(end[b] for b in before[id])
            wants = instance.takes[id]
            while any(
                used.get((r, t), 0) + n > instance.most[r]
                for r, n in wants.items()
                for t in range(start, start + lasts)
            ):
                start += 1
            for r, n in wants.items():
                for t in range(start, start + lasts):
                    used[r, t] = used.get((r, t), 0) + n
            end[id] = start + lasts
        else:
            best = min(best, max(end.values()))
    return best


def test_a_small_project_of_our_own() -> None:
    instance = read(SMALL)
    assert passes(instance.network, HOUSE).working_days == instance.length == 10
    shortest = by_every_order(instance)
    assert shortest > 10
    found = levelled(instance)
    assert (found.working_days, found.proved) == (shortest, True)
    plain = solve(instance, 20)
    assert (plain.length, plain.proved) == (shortest, True)


CUT = SMALL.splitlines()


def changed(line: int, text: str) -> str:
    """The project with one line, counted from 1, put another way."""
    return "\n".join([*CUT[: line - 1], text, *CUT[line:]])


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "has no section PRECEDENCE RELATIONS"),
        (SMALL[: SMALL.index("RESOURCEAVAIL")], "has no section RESOURCEAVAILABILITIES"),
        (SMALL + SMALL, "a second section PRECEDENCE RELATIONS"),
        (changed(13, "1 2 3 2 3 4"), "line 13: job 1 has 2 modes"),
        (changed(13, "1 1 3 2 3"), "line 13: job 1 says 3 successors and names 2"),
        (changed(14, "1 1 2 5 6"), "line 14: job 1 is there twice"),
        (changed(14, "2 1 2 5 5"), "line 14: job 2 names a successor twice"),
        (changed(14, "2 1"), "line 14: give job, modes"),
        (changed(14, "2 1 2 five 6"), "line 14: “2 1 2 five 6” is not a row of whole numbers"),
        (changed(14, "2 1 1 99"), "there is no activity '99'"),
        (changed(14, "2 1 1 2"), "cannot wait for itself"),
        (changed(19, "7 1 1 3"), "wait for each other in a ring"),
        (changed(28, "3 1 4 2"), "line 28: give job, mode, duration and 2 amounts"),
        (changed(28, "3 2 4 2 1"), "line 28: job 3 has more than one mode"),
        (changed(28, "3 1 4 9 1"), "line 28: job 3 takes 9 of R1, and there are 3"),
        (changed(28, "3 1 999999 2 1"), "line 28: job 3 lasts 999999"),
        (changed(28, "3 1 -4 2 1"), "line 28: “3 1 -4 2 1” is not a row"),
        (changed(28, ""), "job 3 has no duration"),
        (changed(38, "3 1\n 3 1"), "line 39: resources are told twice"),
        (changed(38, " ".join(["1"] * 51)), "51 resources"),
        ("x" * 1_000_001, "over 1,000,000 characters"),
        (changed(28, "٣ ١ ٤ ٢ ١"), "is not a row of whole numbers"),
    ],
)
def test_what_is_no_such_file_is_refused_with_its_line(text: str, words: str) -> None:
    with pytest.raises(RcpspError) as no:
        read(text)
    assert words in str(no.value)


def test_any_text_is_read_or_refused() -> None:
    """Every line of a good file left out, doubled, cut in the middle, or run into the next."""
    for n, line in enumerate(CUT):
        for put in ([], [line, line], [line[: len(line) // 2]], [line + " 7"], ["0 " + line]):
            try:
                read("\n".join([*CUT[:n], *put, *CUT[n + 1 :]]))
            except RcpspError:
                continue


def optima() -> dict[str, int]:
    rows = [
        [int(word) for word in line.split()]
        for line in (HERE / "j30_optima.txt").read_text(encoding="utf-8").splitlines()
        if not line.startswith("#")
    ]
    return {f"j30{row[0]}_{n}": length for row in rows for n, length in enumerate(row[1:], 1)}


def files(folder: str | Path) -> list[Path]:
    return sorted(Path(folder).glob("*.sm"))


def test_published_critical_path_lengths() -> None:
    """Each file's own length without resources, of every set in the folder [P]."""
    folder = FOLDER or ROOT.parent / "shared/data/psplib-j30"
    if not Path(folder).is_dir():
        pytest.skip("open data: set ROOMWRIGHT_PSPLIB to a folder of PSPLIB single-mode files")
    paths = files(folder)
    assert len(paths) >= 480
    for path in paths:
        instance = read(path.read_text(encoding="ascii"))
        assert instance.length is not None, path.name
        assert passes(instance.network, HOUSE).working_days == instance.length, path.name


if FOLDER:  # an opt-in run, outside the usual tests

    def test_published_optima(capsys: pytest.CaptureFixture[str]) -> None:
        """The crews' levelling finds the optima of j30; what it leaves unproved is listed."""
        seconds = float(os.environ.get("ROOMWRIGHT_PSPLIB_SECONDS", "60"))
        every = int(os.environ.get("ROOMWRIGHT_PSPLIB_EVERY", "1"))
        known = optima()
        paths = [p for p in files(FOLDER) if p.stem in known][::every]
        assert paths, "no file of set j30 there"
        missed, unproved = list[str](), list[str]()
        for path in paths:
            instance, want = read(path.read_text(encoding="ascii")), known[path.stem]
            found = levelled(instance, seconds)
            assert found.steps[0].bound <= want <= found.working_days, path.stem
            line = f"{path.stem} {found.working_days:g} (optimum {want})"
            if found.working_days > want:
                missed.append(line)
            elif not found.proved:
                plain = solve(instance, seconds)
                assert plain.bound <= want <= plain.length, path.stem
                more = "" if plain.proved else ", nor by the plain model"
                unproved.append(f"{line}, none under {found.steps[0].bound:g}{more}")
        with capsys.disabled():
            told = f"{len(missed)} missed, {len(unproved)} found but not proved"
            print(
                f"\n{len(paths)} projects, {seconds:g} s each: {told}",
                *missed,
                *unproved,
                sep="\n  ",
            )
        assert not missed
