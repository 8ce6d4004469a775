"""What `ask` says is what the machine does: it decides nothing itself."""

from hypothesis import given
from hypothesis import strategies as st

from coachwright.control.ask import ask
from coachwright.control.situations import judged
from coachwright.kit.units import parse
from tests.laws.builds import Plan, model_of, plans
from tests.laws.test_loser import MODEL


@given(plans())
def test_a_setting_asked_is_the_situation_judged(plan: Plan) -> None:
    """Law: the settings of a situation, asked one by one, give the very outputs the situation is judged by."""
    model = model_of(plan.text())
    text = " ".join(f"{name}={value}" for name, value in plan.settings)
    answer = ask(model, text, read_number=parse)

    assert answer.settled.outputs == judged(model, "judged")


@given(st.sampled_from([each.name for each in MODEL.situations]))
def test_a_situation_asked_by_name_is_the_situation_judged(situation: str) -> None:
    """Law: the same for the situations of the first example, by their names, with memory and numbers."""
    assert ask(MODEL, situation, read_number=parse).settled.outputs == judged(MODEL, situation)


@given(st.sampled_from([each.name for each in MODEL.situations]))
def test_the_words_of_an_answer_are_those_of_the_machine(situation: str) -> None:
    """Law: JSON and text name the heads, owners and losers the machine put out, and no others."""
    answer = ask(MODEL, situation, read_number=parse)
    outputs = judged(MODEL, situation)
    heads = {head["head"]: head for head in answer.as_json()["heads"]}
    text = answer.as_text()

    assert list(heads) == [state.head for state in outputs.heads]
    for state in outputs.heads:
        said = heads[state.head]
        assert said["owners"] == list(state.owners)
        assert [show["owner"] for show in said["shows"]] == [part.owner for part in state.parts]
        assert [each["function"] for each in said["wanted"]] == [each.function for each in state.wanted]
    assert all(owner in text for state in outputs.heads for owner in state.owners)
