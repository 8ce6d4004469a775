"""How does a row read when it has run?"""

import platform
from collections.abc import Callable
from importlib.metadata import PackageNotFoundError, version

from benchmarks.rows import Agreement, Bench, Job, Row, Trial
from benchmarks.timing import Timed, interleaved

SCALES = (1, 2, 4)


def head(row: Row) -> list[str]:
    """What is done, against whom, with which releases."""
    return [
        f"{row.name}: {row.work}",
        f"  against   {row.peer}",
        f"  releases  {', '.join([f'Python {platform.python_version()}', *map(_release, row.packages)])}",
    ]


def run_trial(row: Trial) -> tuple[list[str], bool]:
    """The lines of a trial, and whether it met its goal."""
    outcome = row.run()
    lines = [f"  {line}" for line in outcome.lines]
    return [*lines, f"  threads   {row.threads()}", f"  goal      {row.goal}: {_word(outcome.met)}"], outcome.met


def run_bench(row: Bench, *, rounds_n: int) -> tuple[list[str], bool]:
    """The lines of a timed row, and whether goal, agreement and growth all hold."""
    jobs = {scale: row.job(scale) for scale in SCALES}
    timed = interleaved(_contestants(row, jobs), rounds_n=rounds_n)
    lines, met = [], True

    for scale in SCALES:
        ours = timed["ours", scale]
        line = f"  x{scale}        ours {_seconds(ours)}, {ours.median_s / timed['ours', 1].median_s:.2f} times x1"
        peer = timed.get(("peer", scale))
        if peer is not None:
            line += f"; peer {_seconds(peer)}; {peer.median_s / ours.median_s:.1f} times faster"
        lines.append(line + (f"   ({jobs[scale].size})" if jobs[scale].size else ""))
        for says, holds in (_agreement(jobs[scale], ours, peer), _growth(row, scale, timed)):
            if says:
                lines.append(f"            {says}")
                met = met and holds

    times = timed["peer", 1].median_s / timed["ours", 1].median_s
    met = met and times >= row.goal_times
    lines.append(f"  threads   {row.threads()}   rounds {rounds_n}, turn by turn, medians")
    lines.append(f"  goal      at least {row.goal_times:g} times faster at x1: {times:.1f}, {_word(met)}")
    return lines, met


def _contestants(row: Bench, jobs: dict[int, Job]) -> dict[tuple[str, int], Callable[[], object]]:
    found: dict[tuple[str, int], Callable[[], object]] = {("ours", scale): job.ours for scale, job in jobs.items()}
    for scale in {1, *row.peer_at}:
        peer = jobs[scale].peer
        if peer is None:
            raise ValueError(f"{row.name}: no peer at x{scale}; a time alone says nothing")
        found["peer", scale] = peer
    return found


def _agreement(job: Job, ours: Timed, peer: Timed | None) -> tuple[str, bool]:
    if peer is None:
        return "", True
    if job.agree is None:
        return "agreement not looked at", False
    seen: Agreement = job.agree(ours.answer, peer.answer)
    return f"answers {'agree' if seen.holds else 'DO NOT AGREE'}: {seen.says}", seen.holds


def _growth(row: Bench, scale: int, timed: dict[tuple[str, int], Timed]) -> tuple[str, bool]:
    most = row.growth_at_most.get(scale)
    if most is None:
        return "", True
    grown = timed["ours", scale].median_s / timed["ours", 1].median_s
    return f"growth at most {most:g} times: {grown:.2f}, {_word(grown <= most)}", grown <= most


def _seconds(timed: Timed) -> str:
    milliseconds = timed.median_s * 1000
    return f"{milliseconds:.3g} ms (spread {timed.spread_share:.0%})"


def _release(package: str) -> str:
    try:
        return f"{package} {version(package)}"
    except PackageNotFoundError:
        return f"{package} not installed"


def _word(met: bool) -> str:
    return "met" if met else "MISSED"
