"""Start a build: a folder with a small file that already loads, to be changed line by line.

Nothing is overwritten. Beside the file stand two folders: packs (own limits) and parts (own parts).
"""

from __future__ import annotations

from pathlib import Path

from coachwright.cli.faces import command_app
from coachwright.cli.write import write_files
from coachwright.kit.errors import CoachwrightError

app = command_app("new", __doc__)

STARTER = """\
# Every line here can be changed. coachwright check build.yaml says what it makes of it.
coachwright: 1
job:
  name: {name}
  customer: To be named
  number: Q-1
  revision: A
  money: USD
  law: {{place: to be named}}         # the packs ask questions of law; check lists those without an answer
count: 1
vehicle: {{body: {body}}}
packs: [house]
lamps:
  grille: {{part: short-red-white, at: grille, pair: mirrored}}
  tail:   {{part: short-red-amber-white, at: tail-inner, pair: mirrored}}
controls:
  slide: {{kind: slide, positions: ["off", low, full], at: console.panel}}
words:
  parked: gear == P
functions:
  warning:
    rank: warn
    by: slide
    levels:
      low:  [{{on: tail, red: double sides}}]
      full: [{{on: grille, red: double sides}}]
  brake-shows: {{rank: road, when: brake and not parked, show: [{{on: tail, red: steady 100 %}}]}}
situations:
  answering: {{slide: full, gear: D, speed: 45 mph, stands-for: calling}}
  on-scene:  {{slide: low, gear: P, stands-for: blocking}}
promises:
  brake-seen: {{when: brake and not parked, then: tail only red steady at least 90 %}}
"""


@app.default
def run(folder: Path, *, body: str = "crew-cab-pickup-with-cap") -> int:
    """Start one.

    Parameters
    ----------
    folder : is made; its name becomes the name of the job.
    body : a body of the catalogue.
    """
    from shlex import quote

    from coachwright.kit.near import nearest
    from coachwright.parts.store import load_catalogue

    bodies = [part.name for part in load_catalogue().of_kind("body")]
    if body not in bodies:
        near = nearest(body, bodies)
        raise CoachwrightError(f"No body is called {body[:40]!r}. There are {', '.join(near or bodies)}.")
    target = folder / "build.yaml"
    if target.exists():
        raise CoachwrightError(f"{target} is there already and was left as it is.")
    text = STARTER.format(name=_as_text(folder.resolve().name), body=body)
    for path in write_files(folder, {"build.yaml": text.encode()}):
        print(path)
    for beside in ("parts", "packs"):
        (folder / beside).mkdir(exist_ok=True)
        print(folder / beside)
    print(f"\nNext: coachwright check {quote(str(target))}")
    return 0


def _as_text(name: str) -> str:
    """A folder's name as one line of YAML."""
    words = "".join(letter if letter.isprintable() else " " for letter in name)
    return '"' + words.replace("\\", "\\\\").replace('"', '\\"') + '"'
