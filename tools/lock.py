"""Work out requirements.lock and requirements-test.lock anew from pyproject.toml.

    make lock                          newest releases of everything
    python tools/lock.py --keep        only what pyproject.toml's changes need; the rest stays as locked

Hashed, for every platform, and without the address of any package index.
"""

import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent.parent
COMPILE = ["pip", "compile", "--quiet", "--universal", "--python-version", "3.11", "--generate-hashes"]
PLAIN = ["--no-annotate", "--no-header"]


def compile_lock(name: str, *extra: str, keep: bool) -> None:
    """Write one lock file; what is in it already is preferred when `keep` is set."""
    if not keep:
        (HERE / name).unlink(missing_ok=True)
    uv = Path(sys.executable).with_name("uv")
    subprocess.run(
        [str(uv), *COMPILE, *PLAIN, "pyproject.toml", "--group", "build", *extra, "--output-file", name],
        cwd=HERE,
        check=True,
    )


def main(arguments: list[str]) -> int:
    keep = "--keep" in arguments
    compile_lock("requirements.lock", keep=keep)
    # The test lock repeats the run-time lock, so that the tests see what users get.
    compile_lock("requirements-test.lock", "--group", "test", "--constraint", "requirements.lock", keep=keep)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
