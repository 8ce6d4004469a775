"""Write docs/reckoner.md from what the calculations say of themselves.

python tools/reckoner_page.py            write it
python tools/reckoner_page.py --check    say whether it is up to date, and write nothing
"""

import sys
from itertools import groupby
from pathlib import Path

from coachwright.kit.reckoner import RECKONERS, Key, Reckoner, Result, load_reckoners

HERE = Path(__file__).resolve().parent.parent
PAGE = HERE / "docs" / "reckoner.md"

HEAD = """\
# Single calculations

Made by `python tools/reckoner_page.py` from what the calculations say of themselves; change them there.

`coachwright reckon` lists them, `coachwright reckon NAME key=value ... ` works one out. Quantities carry units
(`"speed=35 mph"` or `speed=35mph`), lists are comma separated. With `--json` it prints `name`, `inputs`, `results`
(each key with `value` and `unit`), `notes` and `sources`. An input no answer can be given for is told in one line, and
the command ends with 2. What stands in [brackets] may be left out. A source is *read* (on the page itself),
*second-hand*, from *memory*, a *draft* (not read) or *common practice*: only the first is to be leant on, and measured
acceptance, law and the maker's guide decide.
"""


def page() -> str:
    """The whole page.

    Raises
    ------
    SystemExit : a room can't be loaded, so its calculations would be missing.
    """
    broken = load_reckoners()
    if broken:
        raise SystemExit(f"Rooms that can't be loaded: {broken}")
    ordered = sorted(RECKONERS.values(), key=lambda each: (each.room, each.name))
    parts = [HEAD]
    for room, of_room in groupby(ordered, key=lambda each: each.room):
        parts.append(f"## {room}\n")
        parts.extend(section(each) for each in of_room)
    return "\n".join(parts)


def section(each: Reckoner) -> str:
    """One calculation: what it answers, formula, inputs, results, range and sources."""
    lines = [f"### {each.name}", "", f"{each.title}.", ""]
    lines += [f"    {line.strip()}" for line in each.formula.splitlines() if line.strip()]
    lines += ["", "| input | is | written like |", "|---|---|---|", *(_input(key) for key in each.keys), ""]
    lines += ["| result | in | is |", "|---|---|---|", *(_result(result) for result in each.results), ""]
    lines.append(f"Holds: {each.valid}")
    if each.caution:
        lines += ["", f"Mind: {each.caution}"]
    if each.sources:
        lines += ["", *(f"- {_cell(str(source))} *({source.state})*" for source in each.sources)]
    else:
        lines += ["", "Each answer names the source of the figures it took."]
    return "\n".join([*lines, ""])


def _input(key: Key) -> str:
    name = f"[`{key.name}`]" if key.may_be_left_out else f"`{key.name}`"
    choices = [f"`{word}`" for part in key.parts for word in part.choices]
    said = f"{key.help}: {', '.join(choices)}" if choices else key.help
    left_out = f"; {key.default} when left out" if key.default is not None else ""
    many = ", several" if key.many else ""
    return f"| {name} | {_cell(said)}{many} | `{_cell(key.example)}`{_cell(left_out)} |"


def _result(result: Result) -> str:
    return f"| `{result.key}` | {_cell(result.unit) or '-'} | {_cell(result.help) or '-'} |"


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|")


def main(words: list[str]) -> int:
    """Write the page, or say whether it is up to date."""
    made = page()
    if "--check" in words:
        fresh = PAGE.is_file() and PAGE.read_text(encoding="utf-8") == made
        print("docs/reckoner.md is up to date" if fresh else "docs/reckoner.md is old: python tools/reckoner_page.py")
        return 0 if fresh else 1
    PAGE.write_text(made, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
