"""Write docs/commands.md from what the commands say of themselves.

    python tools/command_pages.py            write it
    python tools/command_pages.py --check    say whether it is up to date, and write nothing

Files are read as text: a page is made without running anything.
"""

import ast
import re
import sys
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).resolve().parent.parent
COMMANDS = HERE / "src" / "coachwright" / "cli" / "commands"
PAGE = HERE / "docs" / "commands.md"

HEAD = """\
# Commands

Made by `python tools/command_pages.py` from what the commands say of themselves; change them there.

`coachwright COMMAND --help` says on the spot how a command is written. Where a build is asked for, the folder it
lies in will do. Commands end with 0 when all is well, 1 when a finding stops delivery, 2 when it can't be done as
asked. What they say of a vehicle is an engineering estimate, not a certificate: measured acceptance, local law and
the contract decide.
"""


@dataclass(frozen=True)
class Word:
    """One thing that can be written behind a command. many : any number. default : "" when it has to be said."""

    name: str
    option: bool
    switch: bool
    many: bool
    default: str
    said: str

    def usage(self) -> str:
        """As it stands in the line that shows how to write the command."""
        if self.switch:
            return f"[{self.name}]"
        if self.option:
            return f"[{self.name} {self.name.lstrip('-').upper()}]"
        bare = f"[{self.name} ...]" if self.many else self.name
        return bare if self.default == "" or self.many else f"[{bare}]"


def words_of(function: ast.FunctionDef) -> list[Word]:
    """Arguments and options of a command's `run`, with what its docstring says of them."""
    said = dict(re.findall(r"^(\w+) : (.+(?:\n {4}.+)*)$", ast.get_docstring(function) or "", re.MULTILINE))
    given = function.args
    plain = [*zip(given.args, [None] * (len(given.args) - len(given.defaults)) + list(given.defaults), strict=True)]
    found = [_word(argument, default, said, option=False) for argument, default in plain]
    if given.vararg is not None:
        found.append(_word(given.vararg, None, said, option=False, many=True))
    return [
        *found,
        *(
            _word(arg, default, said, option=True)
            for arg, default in zip(given.kwonlyargs, given.kw_defaults, strict=True)
        ),
    ]


def _word(
    argument: ast.arg, default: ast.expr | None, said: dict[str, str], *, option: bool, many: bool = False
) -> Word:
    annotation = ast.unparse(argument.annotation) if argument.annotation is not None else ""
    named = re.search(r"name='(--[\w-]+)'", annotation)
    plain = argument.arg.replace("_", "-")
    name = named[1] if named else f"--{plain}" if option else plain.upper()
    shown = "" if default is None else _default(default)
    switch = "bool" in annotation
    text = " ".join(said.get(argument.arg, "").split())
    return Word(name, option, switch, many, shown, text)


def _default(default: ast.expr) -> str:
    if isinstance(default, ast.Call) and default.args:
        return _default(default.args[0])
    if isinstance(default, ast.Constant) and default.value not in (None, False, ""):
        return str(default.value)
    return "nothing"


def section(path: Path) -> str:
    """What the page says of one command."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    title, *rest = (ast.get_docstring(tree) or "").split("\n\n")
    run = next(node for node in tree.body if isinstance(node, ast.FunctionDef) and node.name == "run")
    words = words_of(run)
    usage = " ".join(["coachwright", path.stem, *(word.usage() for word in words)])
    lines = [f"## {path.stem}", "", " ".join(title.split()), "", "```", usage, "```", ""]
    for paragraph in rest:
        lines += [" ".join(paragraph.split()), ""]
    if words:
        lines += ["| | |", "|---|---|"]
        for word in words:
            default = f" `{word.default}` when left out." if word.option and word.default not in ("", "nothing") else ""
            lines.append(f"| `{word.name}` | {word.said.replace('|', chr(92) + '|')}{default} |")
        lines.append("")
    return "\n".join(lines)


def page() -> str:
    """The whole page."""
    files = sorted(path for path in COMMANDS.glob("*.py") if not path.stem.startswith("_"))
    return HEAD + "\n" + "\n".join(section(path) for path in files)


def main(arguments: list[str]) -> int:
    text = page()
    if "--check" in arguments:
        fresh = PAGE.is_file() and PAGE.read_text(encoding="utf-8") == text
        print(f"{PAGE.relative_to(HERE)} is {'up to date' if fresh else 'behind: run python tools/command_pages.py'}")
        return 0 if fresh else 1
    PAGE.write_text(text, encoding="utf-8")
    print(PAGE.relative_to(HERE))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
