"""Run the speed rows: all of them, or those named.

    python -m benchmarks                    what `make perf` does
    python -m benchmarks NAME ... --rounds 9

Ends with 1 if a row missed its goal, disagreed with its peer, or could not be run.
"""

import argparse
import importlib
import os
import pkgutil
import platform
import sys
import traceback

import benchmarks
from benchmarks.report import head, run_bench, run_trial
from benchmarks.rows import Bench, Row


def find_rows() -> list[Row]:
    """Every row of every `row_*.py` beside this file, by name."""
    rows: list[Row] = []
    for found in pkgutil.iter_modules(benchmarks.__path__):
        if found.name.startswith("row_"):
            rows.extend(importlib.import_module(f"benchmarks.{found.name}").ROWS)
    names = [row.name for row in rows]
    if len(set(names)) < len(names):
        raise ValueError(f"two rows of one name among {', '.join(sorted(names))}")
    return sorted(rows, key=lambda row: row.name)


def run(row: Row, *, rounds_n: int) -> bool:
    """Print one row; whether it met what it promises."""
    print("\n".join(head(row)), flush=True)
    try:
        lines, met = run_bench(row, rounds_n=rounds_n) if isinstance(row, Bench) else run_trial(row)
    except Exception:  # one row that breaks must not hide the others; it counts as missed
        traceback.print_exc()
        lines, met = ["  goal      not run: MISSED"], False
    print("\n".join(lines), end="\n\n", flush=True)
    return met


def main(arguments: list[str]) -> int:
    reader = argparse.ArgumentParser(prog="python -m benchmarks", description="Speed, as ratios to a named peer.")
    reader.add_argument("names", nargs="*", metavar="NAME", help="rows to run; all if none is named")
    reader.add_argument("--rounds", type=int, default=7, help="rounds of each, at least 5")
    chosen = reader.parse_args(arguments)
    rows = find_rows()
    unknown = set(chosen.names) - {row.name for row in rows}
    if unknown:
        reader.error(f"no row {', '.join(sorted(unknown))}; there are: {', '.join(row.name for row in rows) or 'none'}")

    print(f"{platform.machine()}, {os.cpu_count()} cores, {platform.system()} {platform.release()}\n")
    met = {row.name: run(row, rounds_n=chosen.rounds) for row in rows if not chosen.names or row.name in chosen.names}
    missed = [name for name, good in met.items() if not good]
    print(
        f"{len(met) - len(missed)} of {len(met)} rows met their goal."
        + (f" Missed: {', '.join(missed)}." if missed else "")
    )
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
