"""When heads burn on a log: stretches of light against patterns and wires by hand."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from coachwright.control.logs import read_log
from coachwright.control.replay import replay
from coachwright.control.replayed import Change, Replayed, Track
from coachwright.control.vehicle_data import feeds_of
from coachwright.flash.replayed import LitHead, lit_heads, spans_of
from tests.control.test_replay import quillback

HEAD = "time ms,slide,gear,brake,turn-left\n"


def lit(folder: Path, *rows: str) -> dict[str, LitHead]:
    path = folder / "lines.csv"
    path.write_text(HEAD + "\n".join([*rows, ""]))
    model, log = quillback(), read_log(path)
    result: Replayed = replay(model, (log,), feeds_of(model, None, log.names))
    return {each.head: each for each in lit_heads(model, result, from_ms=0, until_ms=result.ends_ms)}


def test_a_followed_wire_is_copied_edge_by_edge(tmp_path: Path) -> None:
    """A wire high from 1000 to 1350 and from 1700 to 2050 ms, known 5 ms later once it has stood for its debounce: the
    head has the wire's own edges while it is a turn."""
    heads = lit(tmp_path, "0,off,D,off,low", "1000,,,,high", "1350,,,,low", "1700,,,,high", "2050,,,,low", "4000,,,,")
    amber = [each for each in heads["tail.left"].lit if each.colour == "amber"]

    assert [each.pulses for each in amber] == [((1005, 1350), (1700, 2050))]
    assert (amber[0].from_ms, amber[0].until_ms, amber[0].steady) == (1005, 2955, False)


def test_a_brake_burns_steady_from_its_recognition(tmp_path: Path) -> None:
    """Debounce 10 ms of the body: pressed at 1000 and let go at 2000 ms burns from 1010 to 2010 ms."""
    heads = lit(tmp_path, "0,off,D,off,low", "1000,,,on,", "2000,,,off,", "3000,,,,")
    (red,) = heads["tail.left"].lit

    assert (red.colour, red.from_ms, red.until_ms, red.steady, red.share) == ("red", 1010, 2010, True, 1.0)


def test_pulses_lie_inside_their_stretch_and_apart(tmp_path: Path) -> None:
    """Law: of every flashing stretch the pulses follow each other inside it, and left and right answer each other."""
    heads = lit(tmp_path, "0,off,P,off,low", "500,full,,,", "8000,,,,")

    for head in heads.values():
        for each in head.lit:
            flat = [at for pulse in each.pulses for at in pulse]
            assert flat == sorted(flat)
            assert all(each.from_ms <= at <= each.until_ms for at in flat)
    left, right = (heads[name].lit[0].pulses for name in ("grille.left", "grille.right"))
    assert not any(a < d and c < b for a, b in left for c, d in right)


@given(st.lists(st.tuples(st.integers(0, 1000), st.integers(0, 3)), min_size=1, max_size=8), st.integers(0, 900))
def test_spans_fill_the_stretch(rows: list[tuple[int, int]], from_ms: int) -> None:
    """Law: the spans of a track lie end to end and say what it is at each of their beginnings."""
    changes = [Change(at, value) for at, value in sorted(dict(rows).items())]
    track = Track("input", "x", tuple(changes))
    spans = list(spans_of(track, from_ms=from_ms, until_ms=1001))

    assert all(one[1] == other[0] for one, other in pairwise(spans))
    assert spans[-1][1] == 1001
    assert all(track.at(begins) == value for begins, _, value in spans)
    assert track.at(-1) is None
