"""Explain a code: what a rule asks, who says so, how it is measured and what to do.

A code stands beside every finding, like HSE-012. Rules of packs beside a build are found with --build.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from coachwright.cli.faces import command_app, existing_build, print_json
from coachwright.kit.errors import CoachwrightError

app = command_app("explain", __doc__)


@app.default
def run(
    code: str,
    *,
    build: Path | None = None,
    as_json: Annotated[bool, Parameter(name="--json", negative="")] = False,
) -> int:
    """Explain one code.

    Parameters
    ----------
    code : as printed beside a finding or a rule.
    build : a build whose own packs are looked at too.
    as_json : print JSON.
    """
    from coachwright.look.codes import explained

    page = explained(code.upper(), extra_folder=existing_build(build).parent / "packs" if build else None)
    if page is None:
        from coachwright.look.codes import closest

        near = closest(code.upper())
        raise CoachwrightError(
            f"No rule or finding has the code {code[:20]!r}. {f'Closest: {near}. ' if near else ''}"
            f"{'' if build else 'Rules of packs beside a build need --build BUILD.'}".strip()
        )
    if as_json:
        print_json({"code": page.code, "name": page.name, **dict(page.lines)})
        return 0
    print(f"{page.code}  {page.name}\n")
    wide = max(len(heading) for heading, _ in page.lines)
    for heading, text in page.lines:
        print(_hanging(heading, text, wide))
    return 0


def _hanging(heading: str, text: str, wide: int) -> str:
    import textwrap

    lead = f"  {heading:<{wide}}  "
    return textwrap.fill(text, 100, initial_indent=lead, subsequent_indent=" " * len(lead))
