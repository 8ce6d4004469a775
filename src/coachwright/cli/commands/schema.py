"""Print the JSON Schema of the build language, for editors that complete and check as you write."""

from __future__ import annotations

from coachwright.cli.faces import command_app, print_json

app = command_app("schema", __doc__)


@app.default
def run() -> int:
    """Print it."""
    from coachwright.build.schema import json_schema

    print_json(json_schema())
    return 0
