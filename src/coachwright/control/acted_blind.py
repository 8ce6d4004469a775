"""Can what a promise asks about truly hold while the machine, told something else by one source, doesn't keep it?

Two machines live through the same story: to one the source tells the truth, to the other it lies.

See Also
--------
coachwright.control.faults : asks. coachwright.control.acted : stories in which a promise is broken as it is read.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from coachwright.build.condition import Condition, Held
from coachwright.control.believable import Believable
from coachwright.control.choices import Value
from coachwright.control.encode import Moment
from coachwright.control.machine import (
    ends_next_ms,
    outputs_of,
    values_read,
)
from coachwright.control.run import (
    AT_REST,
    MOST_WAITS,
    Act,
    Acted,
    Settings,
    Stage,
    Watched,
    begins,
    fault_text,
    place_of,
    set_to,
    waited,
)
from coachwright.control.sources import Fault


def acted_blind(
    watched: Watched,
    settings: Settings,
    said: Moment,
    *,
    fault: Fault,
    parts: tuple[Condition, Condition],
    read: tuple[str, Value],
) -> Acted | None:
    """A story in which a promise is not kept because one source lies; None when the machine keeps it.

    What the promise asks about is read from a machine of its own, to which the source tells the truth. Where the
    settings alone don't do it, each button is pressed after them: what it starts can be what may not be. The source
    lies from power-up on; where that doesn't do it, from when it has told what is read under the fault.

    Parameters
    ----------
    parts : what the promise asks about, and what may not be while it holds. read : the input and what it reads then.
    """
    away = tuple((name, value) for name, value in settings if place_of(said, name, value) != said.inputs[name].rest)
    set_up = tuple(set_to(said, (each,)) for each in away)
    pair = _blind_pair(watched, parts, said)
    buttons = [item.name for item in said.model.inputs if item.kind == "button" and item.name not in dict(away)]
    pushes: list[tuple[Act, ...]] = [(), *((set_to(said, ((name, "on"),)),) for name in buttons)]
    rows = [(*set_up, *push) for push in pushes]
    truly = set_to(said, ((read[0], dict(settings)[read[0]]),))
    others = tuple(act for act in set_up if act.settings[0][0] != read[0])
    for lies in (set_to(said, (read,)), begins(fault)), (begins(fault),):
        for push in pushes:
            rows += [(*others, *lies, truly, *push), (*others, *lies, *push, truly), (*lies, *others, truly, *push)]
    acts = next((row for row in rows if _blinded(pair, row, fault)), None)
    if acts is None:
        return None
    shorter = True
    while shorter:
        shorter = False
        for place in range(len(acts) - 1, -1, -1):
            fewer = (*acts[:place], *acts[place + 1 :])
            lay = any(act.fault is not None for act in fewer) or acts[place].fault is None
            if lay and _blinded(pair, fewer, fault):
                acts, shorter = fewer, True
    from_start = () if any(act.fault is not None for act in acts) else (fault,)
    run = pair[1].run((), from_start)
    for act in acts:
        run.act(act)
    reads = tuple(values_read(run.machine, run.state).items())
    outputs = outputs_of(run.machine, run.state)
    return Acted((), AT_REST, acts, reads, outputs, tuple(map(fault_text, from_start)))


def _blind_pair(watched: Watched, parts: tuple[Condition, Condition], said: Moment) -> tuple[Stage, Stage]:
    """As it truly is, watching what the promise asks about for as long as it has to stand; as the machine reads it."""
    asked, wrong = parts
    if watched.promise.within_ms:
        asked = Held(asked, watched.promise.within_ms)
    truly, read = Believable(said, watched.model), Believable(said, said.model)
    return (
        Stage(watched.watching(asked), truly, truly, stop=False),
        Stage(watched.watching(wrong), truly, read, stop=False),
    )


def _blinded(pair: tuple[Stage, Stage], acts: Sequence[Act], fault: Fault) -> bool:
    """Does it end so? The source lies from power-up on, where no act says from when."""
    from_start = () if any(act.fault is not None for act in acts) else (fault,)
    true, read = pair[0].run(()), pair[1].run((), from_start)
    for act in acts:
        true.act(replace(act, fault=None))
        read.act(act)
    waits = MOST_WAITS
    while waits and not (true.broken and read.broken):
        wait_ms = min(filter(None, (ends_next_ms(run.machine, run.state) for run in (true, read))), default=0)
        if not wait_ms:
            break
        for run in (true, read):
            run.act(waited(wait_ms))
        waits -= 1
    return true.broken and read.broken and bool(read.faults)
