"""Who loses a head shows nothing on it: a show is the whole statement for its head."""

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from coachwright.build.load import load_build
from coachwright.build.model import Model
from coachwright.control.situations import judged, rest_inputs, tried
from coachwright.control.statement import HeadState, Outputs
from tests.laws.builds import Plan, catalogue, model_of, plans

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "quillback" / "build.yaml"
SHOWS = {"owns", "beside"}


def quillback() -> Model:
    """The first example."""
    model = load_build(EXAMPLE, catalogue=catalogue()).model
    assert model is not None
    return model


MODEL = quillback()
SETTINGS = st.fixed_dictionaries(
    {},
    optional={
        item.name: st.sampled_from(item.values) if item.values else st.floats(item.low, item.high)
        for item in MODEL.inputs
    },
)


def check_head(state: HeadState) -> None:
    """Owners, those beside and those who lost, held against what the head shows."""
    shown = {part.owner for part in state.parts}
    wins = {wanted.function for wanted in state.wanted if wanted.outcome in SHOWS}
    loses = {wanted.function for wanted in state.wanted if wanted.outcome not in SHOWS}

    assert shown <= wins
    assert not shown & (loses - wins)
    assert set(state.owners) == {wanted.function for wanted in state.wanted if wanted.outcome == "owns"}
    assert len({part.colour for part in state.parts}) == len(state.parts)
    if not state.wanted:
        assert state.parts == ()


def check_ranks(model: Model, outputs: Outputs) -> None:
    """Nobody who shows comes after somebody who wanted the head in an earlier rank and lost to no one."""
    place = {rank: number for number, rank in enumerate(model.ranks)}
    for state in outputs.heads:
        if state.owners:
            owner_at = min(place[wanted.rank] for wanted in state.wanted if wanted.outcome == "owns")
            assert all(place[wanted.rank] >= owner_at for wanted in state.wanted)


@given(st.sampled_from([each.name for each in MODEL.situations]), SETTINGS)
def test_a_loser_shows_nothing_on_the_example(situation: str, changed: dict[str, str | float]) -> None:
    """Law: whatever is set, each colour of a head belongs to its owner or to one that may show beside."""
    outputs = tried(MODEL, situation, changed)

    check_ranks(MODEL, outputs)
    for state in outputs.heads:
        check_head(state)


@given(plans())
def test_a_loser_shows_nothing_on_builds_by_lot(plan: Plan) -> None:
    """Law: the same on vehicles made by lot."""
    model = model_of(plan.text())
    outputs = judged(model, "judged")

    check_ranks(model, outputs)
    for state in outputs.heads:
        check_head(state)


def test_somebody_loses() -> None:
    """Case: the laws above are tried on settings in which heads are contested; warning loses the tail to the brake."""
    assert "brake" in rest_inputs(MODEL)
    tail = tried(MODEL, "answering", {"brake": "on"}).head("tail.left")

    assert tail.owners == ("brake-shows",)
    assert {wanted.outcome for wanted in tail.wanted if wanted.function == "warning"} == {"lower-rank"}
