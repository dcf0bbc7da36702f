"""Measures what a builder waits for and writes docs/benchmarks.md.

Each module ``bench_*`` here has ``CASES``: (name, instance, target in ms or None, call, name of
the baseline, call of the baseline or None; and where the baseline is given only a part of the
work, as it would take minutes, how many such parts the whole has). The process is warm: every call
runs before it is timed. Quoted are the median and the 95th percentile of the runs; the ratio is the
baseline's median over ours, measured in the same run.
"""

from __future__ import annotations

import argparse
import importlib
import os
import platform
import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from benchmarks import drag

HERE = Path(__file__).resolve().parent
MOVES = 600


@dataclass(frozen=True, slots=True)
class Timing:
    """Median and 95th percentile of one call [ms]."""

    median: float
    p95: float
    runs: int


def timed(call: Callable[[], object], *, seconds: float = 1.5, most: int = 200) -> Timing:
    """Return the timing of a warm call: at least 5 runs, at most `most` or about `seconds`."""
    call()
    runs: list[float] = []
    end = time.perf_counter() + seconds
    while len(runs) < 5 or (time.perf_counter() < end and len(runs) < most):
        start = time.perf_counter()
        call()
        runs.append((time.perf_counter() - start) * 1000)
    runs.sort()
    return Timing(statistics.median(runs), runs[int(0.95 * (len(runs) - 1))], len(runs))


def machine() -> str:
    """Return the machine in one line."""
    model = platform.processor() or platform.machine()
    cpuinfo = Path("/proc/cpuinfo")
    if cpuinfo.exists():
        names = [x for x in cpuinfo.read_text().splitlines() if x.startswith("model name")]
        model = names[0].split(":", 1)[1].strip() if names else model
    return f"{os.cpu_count()} cores, {model}, Python {platform.python_version()}"


def table() -> tuple[str, int]:
    """Return the table of all cases as Markdown, and how many missed their target."""
    lines = [
        "| what | instance | target | median | 95 % | baseline | ratio |",
        "|---|---|---|---|---|---|---|",
    ]
    missed = 0
    for path in sorted(HERE.glob("bench_*.py")):
        module = importlib.import_module(f"benchmarks.{path.stem}")
        for name, instance, target, call, base_name, base, *parts in module.CASES:
            got = timed(call)
            over = target is not None and got.median > target
            missed += over
            ratio = ""
            if base is not None:
                whole = timed(base).median * (parts[0] if parts else 1)
                ratio = f"{whole / got.median:,.1f} x"
            wanted = "" if target is None else f"{target:g} ms" + (" (missed)" if over else "")
            line = (
                f"| {name} | {instance} | {wanted} | {got.median:.2f} ms | {got.p95:.2f} ms "
                f"| {base_name or ''} | {ratio} |"
            )
            print(line, flush=True)
            lines.append(line)
    line, over = dragged()
    print(line, flush=True)
    return "\n".join([*lines, line]), missed + over


def dragged() -> tuple[str, bool]:
    """Return the line of the drag in a real browser, and whether it missed its target."""
    what = f"drag to new verdict, in Chromium | room 101, table T1, {MOVES} moves"
    target = f"{drag.TARGET_MS:g} ms at 95 %"
    if drag.CHROMIUM is None:
        return f"| {what} | {target} | not measured: no Chromium here | | | |", False
    found = drag.measure(MOVES)
    verdict, frame = found.to_verdict, found.to_frame
    over = verdict["p95"] > drag.TARGET_MS
    return (
        f"| {what} | {target}{' (missed)' if over else ''} | {verdict['p50']} ms "
        f"| {verdict['p95']} ms | until the screen shows it: {frame['p95']} ms at 95 % "
        f"| {frame['p95'] / verdict['p95']:.1f} x |"
    ), over


def main() -> int:
    """Run all cases and write the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--strict", action="store_true", help="exit 1 if a target is missed")
    strict = parser.parse_args().strict
    load = os.getloadavg()[0]
    rows, missed = table()
    page = (
        "# Benchmarks\n\n"
        "Written by `make bench`: a warm process, the median and the 95th percentile of up to 200 "
        "runs of each call, and the ratio to a named baseline measured in the same run. No test "
        "asserts a time. The drag is measured in the page, from the pointer's event to the "
        "verdicts standing there; server and browser share the machine.\n\n"
        f"Measured {datetime.now(UTC):%Y-%m-%d} on {machine()}; other work on the machine when it "
        f"began: load {load:.1f}.\n\n{rows}\n"
    )
    (HERE.parent / "docs" / "benchmarks.md").write_text(page, encoding="utf-8")
    print(f"\nwrote docs/benchmarks.md; targets missed: {missed}")
    return 1 if strict and missed else 0


if __name__ == "__main__":
    sys.exit(main())
