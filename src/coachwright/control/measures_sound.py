"""What can be asked about sound, outputs, loss and low supply."""

from __future__ import annotations

from collections.abc import Iterator

from coachwright.build.model import Function, Model
from coachwright.control.machine import State, changed_inputs, ends_next_ms, outputs_of, step
from coachwright.control.situations import after, by_machine, judged, machine_of, settings_of, settled, tried
from coachwright.control.sources import LOST, Setting
from coachwright.control.statement import Outputs
from coachwright.control.tries import WARN, all_shows, buttons_of, conditions_of, has, lit_by, names_of, ranks_of
from coachwright.kit.measure import Measure, facts, measures

FRONT_DOORS = ("door-driver", "door-passenger")
FOR_EVER_MS = 600_000
LOOK_MS = 500
"""When a tone with a time of its own (`first 20 s of`) is looked at: past any debounce, before the tone ends."""
PARKED: dict[str, Setting] = {"gear": "P", "speed": 0.0}


@measures("control.sound-runs-on", kind="yes-no")
@by_machine
def sound_runs_on(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Does a tone that sounds go on when the gear is moved to Park?"""
    if not has(model, "gear") or dict(settings_of(model, situation))["gear"] == "P":
        return ()
    return tuple(
        _sound_measure(
            model,
            "control.sound-runs-on",
            function,
            situation=situation,
            siren=siren,
            tone=tone,
            value=siren in _sounding(parked),
        )
        for function, siren, tone, _, parked in _parked_stories(model, situation)
    )


@measures("control.sound-comes-back", kind="yes-no")
@by_machine
def sound_comes_back(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Does a tone that fell silent in Park sound by itself when the gear is moved back?"""
    stands = dict(settings_of(model, situation))
    if not has(model, "gear") or stands["gear"] == "P":
        return ()
    machine = machine_of(model)
    back: dict[str, Setting] = {name: stands[name] for name in ("gear", "speed") if name in stands}
    found = []
    for function, siren, tone, state, parked in _parked_stories(model, situation):
        if siren in _sounding(parked):
            continue
        again = siren in _sounding(after(machine, state, back).outputs)
        found.append(
            _sound_measure(
                model, "control.sound-comes-back", function, situation=situation, siren=siren, tone=tone, value=again
            )
        )
    return tuple(found)


@measures("control.sound-with-door-open", kind="yes-no")
@by_machine
def sound_with_door_open(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Does a tone that sounds, or can be pressed on, go on when a front door opens?"""
    doors = [name for name in FRONT_DOORS if has(model, name)]
    if not doors:
        return ()
    machine = machine_of(model)
    found: dict[tuple[str, str], Measure] = {}
    for held in ("", *_buttons(model)):
        start = _stands(model, settled(model, situation).state, {held: "on"} if held else {}, LOOK_MS)
        for sound in outputs_of(machine, start).sounds:
            if not sound.owner or (sound.owner, sound.siren) in found:
                continue
            goes_on = any(
                sound.siren in _sounding(outputs_of(machine, _stands(model, start, {door: "open"}, LOOK_MS)))
                for door in doors
            )
            function = next(each for each in model.functions if each.name == sound.owner)
            found[sound.owner, sound.siren] = _sound_measure(
                model,
                "control.sound-with-door-open",
                function,
                situation=situation,
                siren=sound.siren,
                tone=sound.tone,
                value=goes_on,
            )
    return tuple(found.values())


@measures("control.sound-longest", kind="time", per_situation=False)
@by_machine
def sound_longest(model: Model) -> tuple[Measure, ...]:
    """How long does one push of its button, held down, sound at most?"""
    found = []
    for function in model.functions:
        buttons = buttons_of(model, function)
        if not function.sounds or not buttons or not model.situations:
            continue
        longest_ms, where = max(
            (_held_ms(model, situation.name, button, function.name), f"{button} held in {situation.name}")
            for situation in model.situations
            for button in buttons
        )
        sound = function.sounds[0]
        found.append(
            Measure(
                "control.sound-longest",
                longest_ms / 1000,
                "time",
                about=function.path,
                blame=(f"{function.path}.when", function.path),
                where=where,
                facts=facts(
                    siren=sound.siren, tone=sound.tone or sound.tone_memory, owner=function.name, rank=function.rank
                ),
            )
        )
    return tuple(found)


@measures("control.warning-kept-when-panel-lost", kind="yes-no")
@by_machine
def warning_kept_when_panel_lost(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Does every warning head stay lit when every hand control is lost at once?"""
    lost: dict[str, Setting] = {item.name: LOST for item in model.inputs if item.is_control and item.hand == "hand"}
    return _warning_kept(
        model, situation, "control.warning-kept-when-panel-lost", tried(model, situation, lost), "the panel lost"
    )


@measures("control.warning-kept-at-low-supply", kind="yes-no", supply="voltage", after="time")
@by_machine
def warning_kept_at_low_supply(model: Model, *, situation: str, supply: float, after: float) -> tuple[Measure, ...]:
    """Does every warning head stay lit when the supply falls and stays low?"""
    if not has(model, "supply"):
        return ()
    state = _stands(model, settled(model, situation).state, {"supply": supply}, round(after * 1000))
    outputs = outputs_of(machine_of(model), state)
    return _warning_kept(model, situation, "control.warning-kept-at-low-supply", outputs, "the supply low")


@measures("control.says-low-supply", kind="yes-no", per_situation=False, supply="voltage", after="time")
@by_machine
def says_low_supply(model: Model, *, supply: float, after: float) -> tuple[Measure, ...]:
    """Is the crew told when the supply has stood low for a while?"""
    if not has(model, "supply") or not model.situations:
        return ()
    silent = []
    for situation in model.situations:
        start = settled(model, situation.name)
        state = _stands(model, start.state, {"supply": supply}, round(after * 1000))
        said = set(outputs_of(machine_of(model), state).messages) - set(start.outputs.messages)
        already = dict(settings_of(model, situation.name)).get("supply", 13.8)
        if not said and isinstance(already, float) and already > supply:
            silent.append(situation.name)
    where = f"not in {', '.join(silent)}" if silent else "in every situation"
    return (
        Measure(
            "control.says-low-supply",
            not silent,
            "yes-no",
            about="signals.supply",
            blame=tuple(message.path for message in model.messages) or ("messages",),
            where=where,
        ),
    )


@measures("control.interrupts-at-rest", kind="yes-no")
@by_machine
def interrupts_at_rest(model: Model, *, situation: str) -> tuple[Measure, ...]:
    """Does an output of the vehicle stay interrupted with every hand control off?"""
    if not any(function.interrupts for function in model.functions):
        return ()
    off: dict[str, Setting] = {item.name: item.values[0] for item in model.inputs if item.is_control}
    cut = tried(model, situation, off).interrupts
    return tuple(
        Measure(
            "control.interrupts-at-rest",
            output in cut,
            "yes-no",
            about=function.path,
            blame=(f"{function.path}.when", function.path),
            where="every control of the panel off",
            situation=situation,
            facts=facts(output=output, owner=function.name),
        )
        for function in model.functions
        for output in function.interrupts
    )


@measures("control.lost-panel-reads-open", kind="yes-no", per_situation=False)
@by_machine
def lost_panel_reads_open(model: Model) -> tuple[Measure, ...]:
    """Can a panel's signal that light depends on read open when its wire is lost?"""
    by_name = {item.name: item for item in model.inputs}
    shown = [function for function in model.functions if next(all_shows(function), None) is not None]
    read = names_of(model, [each for function in shown for each in conditions_of(function)])
    found = []
    for panel_name, panel in model.body.panels.items():
        for signal in dict.fromkeys(name for name in (panel.signal, panel.signal_right) if name):
            item = by_name.get(signal)
            if item is None or signal not in read:
                continue
            reads_open = item.lost in (panel.open_value, "hold")
            where = "it holds what it read last, which may be open" if item.lost == "hold" else f"it reads {item.lost}"
            found.append(
                Measure(
                    "control.lost-panel-reads-open",
                    reads_open,
                    "yes-no",
                    about=item.path,
                    blame=(f"{item.path}.lost", item.path),
                    where=where,
                    facts=facts(signal=signal, panel=panel_name),
                )
            )
    return tuple(found)


# ---------------------------------------------------------------------------------------------------------- stories
def _parked_stories(model: Model, situation: str) -> Iterator[tuple[Function, str, str, State, Outputs]]:
    """Every tone that sounds, at once or after one button was pressed; each with the vehicle then put into Park."""
    machine = machine_of(model)
    start = settled(model, situation)
    park = {name: value for name, value in PARKED.items() if has(model, name)}
    seen: set[tuple[str, str]] = set()
    for pressed in ("", *_buttons(model)):
        before = start
        if pressed:
            before = after(machine, after(machine, start.state, {pressed: "on"}).state, {pressed: "off"})
        for sound in before.outputs.sounds:
            if not sound.owner or (sound.owner, sound.siren) in seen:
                continue
            seen.add((sound.owner, sound.siren))
            parked = after(machine, before.state, park)
            function = next(each for each in model.functions if each.name == sound.owner)
            yield function, sound.siren, sound.tone, parked.state, parked.outputs


def _sounding(outputs: Outputs) -> frozenset[str]:
    return frozenset(sound.siren for sound in outputs.sounds if sound.owner)


def _buttons(model: Model) -> tuple[str, ...]:
    return tuple(item.name for item in model.inputs if item.kind == "button")


def _sound_measure(
    model: Model, name: str, function: Function, *, situation: str, siren: str, tone: str, value: bool
) -> Measure:
    held = set(buttons_of(model, function)) & {key for key, setting in settings_of(model, situation) if setting == "on"}
    return Measure(
        name,
        value,
        "yes-no",
        about=function.path,
        blame=(f"{function.path}.when", function.path),
        where=f"{tone} on {siren}",
        situation=situation,
        facts=facts(siren=siren, tone=tone, owner=function.name, rank=function.rank, by_button="yes" if held else "no"),
    )


def _held_ms(model: Model, situation: str, button: str, function: str) -> int:
    """How long the function sounds while its button is held, at most `FOR_EVER_MS`."""
    machine = machine_of(model)
    state = settled(model, situation).state
    state, outputs = step(machine, state, changed_inputs(machine, state, {button: "on"}), 0)
    passed_ms = 0
    while function in outputs.active and passed_ms < FOR_EVER_MS:
        next_ms = ends_next_ms(machine, state)
        if not next_ms:
            return FOR_EVER_MS
        state, outputs = step(machine, state, state.inputs, next_ms)
        passed_ms += next_ms
    return min(passed_ms, FOR_EVER_MS)


def _stands(model: Model, state: State, changes: dict[str, Setting], time_ms: int) -> State:
    machine = machine_of(model)
    inputs = changed_inputs(machine, state, changes)
    state, _ = step(machine, state, inputs, 0)
    state, _ = step(machine, state, inputs, time_ms)
    return state


def _warning_kept(model: Model, situation: str, name: str, outputs: Outputs, what: str) -> tuple[Measure, ...]:
    ranks = ranks_of(model)
    lit = lit_by(judged(model, situation), ranks, WARN)
    if not lit:
        return ()
    still = frozenset(state.head for state in outputs.heads if state.parts)
    dark = sorted(lit - still)
    said = f"{', '.join(dark[:4])} {'go' if len(dark) > 1 else 'goes'} dark" if dark else f"{len(lit)} heads stay lit"
    return (
        Measure(
            name,
            not dark,
            "yes-no",
            about=model.situation(situation).path,
            blame=tuple(each.path for each in model.functions if each.rank == WARN),
            where=f"{said} with {what}",
            situation=situation,
        ),
    )
