"""Random promises about random builds."""

from __future__ import annotations

from hypothesis import strategies as st

from coachwright.build.condition import And, Condition, Event, FunctionState, HeadStatement, Manner, Truth
from coachwright.build.model import Model, Promise
from tests.control.machines import COLOURS, HEADS, conditions

MANNERS: tuple[Manner, ...] = ("lit", "steady", "flashing", "dark")


@st.composite
def promises(draw: st.DrawFn, model: Model) -> Promise:
    """One promise of any of the three shapes."""
    memories = {memory.name: memory.values for memory in model.memories}
    reading = conditions(list(model.inputs), memories, tuple(word.name for word in model.words))
    functions = st.sampled_from([function.name for function in model.functions])
    shape = draw(st.sampled_from(["then", "never", "between"]))
    excused = tuple(draw(st.lists(functions, max_size=1)))
    if shape == "then":
        then = draw(head_statements(every=True))
        within = draw(st.sampled_from([None, None, 5, 30]))
        return Promise("p", "then", "promises.p", when=draw(reading), then=then, within_ms=within)
    shown: st.SearchStrategy[Condition] = st.one_of(
        head_statements(every=False), st.builds(FunctionState, functions, st.just("active"))
    )
    never = draw(shown)
    if draw(st.booleans()):
        never = And((never, draw(reading)))
    if shape == "never":
        return Promise("p", "never", "promises.p", never=never, but=excused)
    events = st.sampled_from(_events(model))
    after, until = draw(events), draw(events)
    return Promise("p", "between", "promises.p", never=never, but=excused, after=after, until=until)


@st.composite
def head_statements(draw: st.DrawFn, *, every: bool) -> HeadStatement:
    """What may be said of one or two heads."""
    heads = tuple(draw(st.lists(st.sampled_from(HEADS), min_size=1, max_size=2, unique=True)))
    manner = draw(st.sampled_from(MANNERS))
    colour = draw(st.sampled_from(["", *COLOURS]))
    least = draw(st.sampled_from([None, None, 0.3, 0.6])) if manner in ("lit", "steady") else None
    only = draw(st.booleans()) and manner != "dark"
    return HeadStatement(",".join(heads), colour, manner, only, "", least, every, heads)


def _events(model: Model) -> list[Event]:
    found = [Event("becomes", word.name, item=Truth(word.name)) for word in model.words]
    for item in model.inputs:
        if item.kind in ("toggle", "button"):
            found += [Event("pressed", item.name), Event("released", item.name)]
        elif item.kind in ("slide", "pick-one"):
            found.append(Event("leaves", item.name, item.values[0]))
        elif item.values == ("off", "on"):
            found.append(Event("becomes", item.name, item=Truth(item.name)))
    return found or [Event("becomes", "w", item=Truth(model.inputs[0].name))]
