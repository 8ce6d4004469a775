"""Run one example the way a lead would, and say where everything lies.

    python tools/demo.py quillback      what `make demo` does

Ends with 0 only if `check` ended as the example's own README announces (its line `exit: N`) and everything asked for
was written.
"""

import re
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent.parent
EXIT_LINE = re.compile(r"^[\s>*`-]*exit: ?([0-9]+)", re.MULTILINE)


def announced_exit(readme: str) -> int:
    """The exit code of `check` that an example's README announces.

    Raises
    ------
    ValueError
        If no line of it reads `exit: N`.
    """
    found = EXIT_LINE.search(readme)
    if found is None:
        raise ValueError("no line 'exit: N' says how check ends on this example")
    return int(found[1])


def run(*words: str, into: Path | None = None) -> int:
    """Show one command, run it, and give its exit code; `into` takes what it prints."""
    print(f"\n$ coachwright {' '.join(words)}{f' > {into.relative_to(HERE)}' if into else ''}", flush=True)
    command = [str(Path(sys.executable).with_name("coachwright")), *words]
    if into is None:
        return subprocess.run(command, cwd=HERE, check=False).returncode
    with into.open("wb") as file:
        return subprocess.run(command, cwd=HERE, check=False, stdout=file).returncode


def described(folder: Path) -> list[str]:
    """One line for each file in `folder`: its path and size."""
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return [f"{path.relative_to(HERE)!s:<60} {path.stat().st_size / 1024:>8.1f} kB" for path in files]


def last_block(text: str) -> str:
    """The last run of lines in `text` without an empty one between them."""
    return text.rstrip().split("\n\n")[-1]


def demo(name: str) -> list[str]:
    """Run the example `name`; whatever went otherwise than announced, as sentences."""
    build = f"examples/{name}/build.yaml"
    out = HERE / "out" / name
    out.mkdir(parents=True, exist_ok=True)
    for path in out.rglob("*"):
        if path.is_file():
            path.unlink()
    expected = announced_exit((HERE / f"examples/{name}/README.md").read_text(encoding="utf-8"))

    wrong = []
    for words, into, wanted in (
        (("check", build), None, expected),
        (("check", build), out / "verdict.txt", expected),
        (("check", build, "--json"), out / "verdict.json", expected),
        (("papers", build, "--out", f"out/{name}"), None, 0),
        (("draw", build, "--out", f"out/{name}"), None, 0),
    ):
        before = described(out)
        code = run(*words, into=into)
        if code != wanted:
            wrong.append(f"coachwright {words[0]} ended with {code}, announced was {wanted}")
        elif words[0] != "check" and described(out) == before:
            wrong.append(f"coachwright {words[0]} wrote nothing")
    print("\nWhat lies where:")
    print("\n".join(described(out)))
    print(f"\nThe verdict in short ({build}):")
    print(last_block((out / "verdict.txt").read_text(encoding="utf-8")))
    return wrong


def main(arguments: list[str]) -> int:
    wrong = demo(*arguments)
    for sentence in wrong:
        print(f"Not as announced: {sentence}.", file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
