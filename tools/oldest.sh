#!/usr/bin/env bash
# The quick tests once more, on the oldest release of each run-time dependency that pyproject.toml allows.
set -euo pipefail
cd "$(dirname "$0")/.."
workers=${1:-2}
uv=.venv/bin/uv
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT

"$uv" pip compile --quiet --no-header --no-annotate --resolution lowest-direct pyproject.toml --output-file "$place/oldest.txt"
"$uv" venv --quiet --python .venv/bin/python "$place/venv"
"$uv" pip install --quiet --python "$place/venv/bin/python" --constraint "$place/oldest.txt" \
    --requirements pyproject.toml --group build --group test
"$uv" pip install --quiet --python "$place/venv/bin/python" --no-deps --no-build-isolation --editable .

echo "The oldest dependencies we allow:"
cat "$place/oldest.txt"
"$place/venv/bin/python" -m pytest -q -n "$workers" -p no:cacheprovider -m "not long and not slow" --hypothesis-profile=quick
