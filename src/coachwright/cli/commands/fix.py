"""Mend findings that have one sure answer: fix CODE BUILD, or take the last mend back: fix undo BUILD.

Shows the difference first. --write makes safe mends; those to be asked about are asked for at a terminal, or made with
--yes. A mend is only made when the finding is gone after it and nothing worse stands there. For a finding about light
it works out which lamp to turn, tilt, move or exchange, and how far, so that the finding passes and nothing else
becomes worse; where no one lamp does, it says so. Ends with 0 when all of them are mended (or would be), 1 when
something of that code stays, 2 when nothing of that code is found.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from coachwright.cli.faces import command_app, existing_build, print_json, progress
from coachwright.kit.counted import counted
from coachwright.kit.errors import CoachwrightError

if TYPE_CHECKING:
    from coachwright.build.mend import Mended, MendOf
    from coachwright.kit.finding import Finding, Fix, FixKind
    from coachwright.proof.light_mend import Progress
    from coachwright.proof.verdict import Verdict

app = command_app("fix", __doc__)


@app.default
def run(
    code: str,
    build: Path,
    *,
    at: str = "",
    write: Annotated[bool, Parameter(name="--write", negative="")] = False,
    yes: Annotated[bool, Parameter(name="--yes", negative="")] = False,
    as_json: Annotated[bool, Parameter(name="--json", negative="")] = False,
) -> int:
    """Mend the findings of one code.

    Parameters
    ----------
    code : of the finding, like BLD-055; or undo.
    build : the build file, or the folder it lies in.
    at : only those about this build path, or beneath it.
    write : make the safe mends in the file, and ask for the others.
    yes : make those as well that would be asked for.
    as_json : print JSON.
    """
    path = existing_build(build)
    from coachwright.build.load import read_text

    text = read_text(path)
    if code.lower() == "undo":
        return _undo(path, text)
    from coachwright.build.mend import mended, write_mended

    looks = _Looks(path)
    look = looks.door if code.upper().startswith("BLD-") else looks.everything
    kinds: list[FixKind] = ["safe", "ask"] if yes or not write or (_may_ask() and not as_json) else ["safe"]
    with progress("fix") as tell:
        mend_of = looks.mend_of(tell)
        result = mended(text, look, code=code.upper(), at=at, kinds=kinds, file=str(path), mend_of=mend_of)
    if not (result.steps or result.held_back or result.without):
        raise CoachwrightError(_none_found(path, look(text), code.upper(), at))
    if write and not yes and any(_is_asked(step.finding) for step in result.steps):
        result = _asked(path, text, look, result, code=code.upper(), at=at)
    wrote = write and result.text != text
    if wrote:
        write_mended(path, text, result.text)
    if as_json:
        print_json(_json(result, wrote=wrote))
    else:
        for line in _lines(path, text, result, write=write, wrote=wrote):
            print(line)
    return 1 if result.held_back or result.without else 0


class _Looks:
    """What is found in a text: by the file door, and for codes of rooms by everything. The last verdict is kept."""

    def __init__(self, path: Path) -> None:
        from coachwright.parts.store import load_catalogue

        self._path = path
        self._catalogue = load_catalogue(shop_folder=path.parent / "parts")
        self._kept: tuple[str, Verdict] | None = None

    def door(self, text: str) -> tuple[Finding, ...]:
        from coachwright.build.load import read_build

        return read_build(text, file=str(self._path), catalogue=self._catalogue).findings

    def everything(self, text: str) -> tuple[Finding, ...]:
        return self.verdict(text).findings

    def verdict(self, text: str) -> Verdict:
        """The verdict on the base of the build."""
        from datetime import date

        from coachwright.build.load import read_build
        from coachwright.proof.verdict import verdict_of

        if self._kept is None or self._kept[0] != text:
            loaded = read_build(text, file=str(self._path), catalogue=self._catalogue)
            today = date.today()  # noqa: DTZ011  the shop's own calendar day
            self._kept = text, verdict_of(loaded, folder=self._path.parent, progress=lambda *_: None, today=today)
        return self._kept[1]

    def mend_of(self, tell: Progress) -> MendOf:
        """Works out which lamp has to be changed, for findings about light."""
        from coachwright.proof.light_mend import is_about_light, light_fix

        def worked_out(text: str, finding: Finding) -> Fix | None:
            before = self.verdict(text)
            if not is_about_light(before, finding.code):
                return None
            return light_fix(text, finding, before, self.verdict, progress=tell)

        return worked_out


def _may_ask() -> bool:
    return sys.stdin.isatty()


def _is_asked(finding: Finding) -> bool:
    return finding.fix is not None and finding.fix.kind == "ask"


def _asked(path: Path, text: str, look: Any, shown: Mended, *, code: str, at: str) -> Mended:
    """Show what would be done and ask once for all of it; without a yes only the safe mends are made."""
    from coachwright.build.mend import mended

    for line in _difference(path, text, shown.text):
        print(line)
    answer = input("Write this? yes or no: ").strip().lower()
    if answer in ("yes", "y"):
        return shown
    return mended(text, look, code=code, at=at, kinds=["safe"], file=str(path))


def _undo(path: Path, text: str) -> int:
    from coachwright.build.edit_file import replace_file
    from coachwright.build.mend import forget_undo, undone

    before = undone(path, text)
    replace_file(path.resolve(), old=text.encode("utf-8"), new=before.encode("utf-8"))
    forget_undo(path)
    for line in _difference(path, text, before):
        print(line)
    print(f"{path} is as it was before the last mend.")
    return 0


def _none_found(path: Path, found: Sequence[Finding], code: str, at: str) -> str:
    codes = sorted({each.code for each in found})
    where = f" at {at}" if at else ""
    known = f" Found are {', '.join(codes)}." if codes else ""
    return f"Nothing is found under {code}{where} in {path}.{known}"


def _lines(path: Path, text: str, result: Mended, *, write: bool, wrote: bool) -> list[str]:
    from coachwright.look.cells import sentence

    lines = _difference(path, text, result.text)
    lines += _worked_out(result)
    for finding, why in result.held_back:
        hint = why or "This mend is to be asked for: --write --yes makes it."
        lines.append(f"{_place(finding)} {finding.code} stays: {sentence(finding)} {hint}")
    for finding in result.without:
        said = f" {finding.fix.sentence}" if finding.fix is not None else ""
        lines.append(f"{_place(finding)} {finding.code} has no sure answer: {sentence(finding)}{said}")
    count = counted(len(result.steps), "mend")
    if wrote:
        lines.append(f"{count} made in {path}. coachwright fix undo {path} takes them back.")
    elif result.steps:
        lines.append(f"{count} found; {'nothing was' if write else 'add --write to have them'} written.")
    return lines


def _worked_out(result: Mended) -> list[str]:
    """What was worked out, of mends that came by a search."""
    found = [step.finding for step in result.steps if not step.finding.code.startswith("BLD-")]
    return [f"{each.code} {each.about}: {each.fix.sentence}" for each in found if each.fix is not None]


def _place(finding: Finding) -> str:
    return str(finding.where[0]) if finding.where else finding.about


def _difference(path: Path, old: str, new: str) -> list[str]:
    """Each changed line as it is and as it would be, with its number."""
    from difflib import SequenceMatcher

    from coachwright.look.quote import plain

    before, after = old.splitlines(), new.splitlines()
    lines: list[str] = []
    for what, start, end, new_start, new_end in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if what != "equal":
            lines.append(f"{path}:{start + 1}")
            lines += [f"  - {plain(line)}" for line in before[start:end]]
            lines += [f"  + {plain(line)}" for line in after[new_start:new_end]]
    return lines


def _json(result: Mended, *, wrote: bool) -> dict[str, Any]:
    from coachwright.look.cells import sentence

    def told(finding: Finding) -> dict[str, Any]:
        fix = finding.fix
        return {
            "code": finding.code,
            "about": finding.about,
            "said": sentence(finding),
            "fix": fix.sentence if fix is not None else "",
            "kind": fix.kind if fix is not None and fix.edits else "",
        }

    return {
        "written": wrote,
        "mended": [told(step.finding) for step in result.steps],
        "held-back": [{**told(finding), "why": why} for finding, why in result.held_back],
        "without": [told(finding) for finding in result.without],
    }
