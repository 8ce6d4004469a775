"""Which programs beside Python do the tests start, and what does this machine lack?

    python tools/needs.py           what is missing, and the one line that adds it
    python tools/needs.py --apt     only the names of missing packages, for .ci/run

Uses the standard library alone: it runs before anything is installed.
"""

import shutil
import sys
from dataclasses import dataclass


@dataclass(frozen=True)
class Need:
    """One program, the Debian package that holds it, and what is tested with it."""

    program: str
    apt: str
    used_by: str


NEEDS = (
    Need("git", "git", "tests/house: what the repository tracks"),
    Need("make", "make", "tests/house: the targets the README promises"),
    Need("ngspice", "ngspice", "tests/power: voltages of a network; benchmarks: row E"),
    Need("node", "nodejs", "tests/control/export: runs the ES module"),
    Need("spin", "spin", "tests/control: goes through every state that a promise speaks of"),
    Need("gcc", "gcc libc6-dev", "tests/control: compiles what spin writes"),
)
"""To add one: a row here, and `@pytest.mark.needs("program")` on the test."""


def missing(needs: tuple[Need, ...] = NEEDS) -> list[Need]:
    """Those of `needs` that are not on this machine's search path."""
    return [need for need in needs if shutil.which(need.program) is None]


def apt_line(needs: list[Need]) -> str:
    """The line a person types to add `needs`."""
    return "sudo apt-get install -y " + " ".join(sorted({need.apt for need in needs}))


def main(arguments: list[str]) -> int:
    """Print what is missing; 1 if anything is."""
    lacking = missing()
    if "--apt" in arguments:
        print(" ".join(sorted({need.apt for need in lacking})))
        return 0
    for need in lacking:
        print(f"{need.program} is not on this machine ({need.used_by})")
    if lacking:
        print(f"Add it with:  {apt_line(lacking)}")
    return 1 if lacking else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
