"""Can every vehicle of the job be delivered, whatever its serial chose?

The base is judged, and one vehicle of each different set of choices; those that chose the same are the same. The text
is read once, and what no choice touches is measured once.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from coachwright.build.choices import AlikeVehicles, alike_vehicles
from coachwright.build.load import load_alike
from coachwright.kit.errors import CoachwrightError
from coachwright.kit.finding import Finding
from coachwright.parts.store import load_catalogue
from coachwright.proof.gather import Progress
from coachwright.proof.verdict import Verdict, unreadable, verdict_of


@dataclass(frozen=True, slots=True)
class AlikeVerdict:
    """The verdict on vehicles that chose the same. more : findings the base doesn't have; fewer : the other way."""

    vehicles: AlikeVehicles
    verdict: Verdict
    more: tuple[Finding, ...]
    fewer: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class JobVerdict:
    """The verdict on the base, and on each set of choices that serials use.

    based : vehicles that are just the base; None where the job has no options or can't be understood.
    """

    base: Verdict
    based: AlikeVehicles | None
    others: tuple[AlikeVerdict, ...]

    @property
    def exit_code(self) -> int:
        """The worst of all."""
        return max((self.base.exit_code, *(each.verdict.exit_code for each in self.others)))


def check_job(path: Path, *, progress: Progress, today: date | None = None, behind: bool = False) -> JobVerdict:
    """The verdict on all vehicles of the build at `path`; never writes. behind : also what takes long."""
    day = today or date.today()  # noqa: DTZ011  the shop's own calendar day
    progress("reading", 0, 0)
    try:
        loaded = load_alike(path, catalogue=load_catalogue(shop_folder=path.parent / "parts"))
    except (OSError, CoachwrightError) as error:
        return JobVerdict(unreadable(str(path), str(error) or type(error).__name__, day), None, ())
    base, *verdicts = [
        verdict_of(each, folder=path.parent, progress=progress, today=day, behind=behind) for each in loaded
    ]
    if base.model is None or not base.model.options:
        return JobVerdict(base, None, ())
    based, *vehicles = alike_vehicles(base.model)
    chose = {each.model.choices: each for each in verdicts if each.model is not None}
    return JobVerdict(
        base, based, tuple(_beside(base, each, chose[each.choices]) for each in vehicles if each.choices in chose)
    )


def _beside(base: Verdict, vehicles: AlikeVehicles, verdict: Verdict) -> AlikeVerdict:
    ours, theirs = ({_same(finding) for finding in each.findings} for each in (verdict, base))
    return AlikeVerdict(
        vehicles,
        verdict,
        tuple(finding for finding in verdict.findings if _same(finding) not in theirs),
        tuple(finding for finding in base.findings if _same(finding) not in ours),
    )


def _same(finding: Finding) -> tuple[str, str, str]:
    """Two vehicles have the same finding when it has one code at one place; its figures may differ."""
    return finding.code, finding.severity, finding.about
