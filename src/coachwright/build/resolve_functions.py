"""What does each function want, of which heads, sirens and outputs, and when?"""

from __future__ import annotations

from coachwright.build.around import Around
from coachwright.build.model import (
    AtMost,
    Function,
    Input,
    Level,
    Sound,
    VehicleOutput,
)
from coachwright.build.reading import Reading
from coachwright.build.resolve_shows import shows_of
from coachwright.build.sections.functions import Function as Written
from coachwright.build.sections.functions import Sound as WrittenSound
from coachwright.build.trouble import Trouble, listed, not_known
from coachwright.kit.nodes import PathPieces
from coachwright.parts.schema import AlarmPart, SirenPart

_LEVERS = ("slide", "pick-one")


def function_of(name: str, item: Written, around: Around, reading: Reading) -> Function | None:
    """The function, or None when something in it is lost or wrong (which is told)."""
    path = ("functions", name)
    told = reading.told
    before_n = len(told)
    whole = _rank(item, around, path, told)
    _check_shape(item, path, told)
    when = None
    if item.when is not None:
        when = reading.condition(item.when, (*path, "when"), "function")
        whole = whole and when is not None
    levels: tuple[Level, ...] = ()
    at_most: tuple[AtMost, ...] = ()
    if item.by is not None:
        control = around.inputs.get(item.by)
        if control is None:
            whole = False
            if not around.is_lost(item.by, "controls", "vehicle"):
                known = [each.name for each in around.inputs.values() if each.kind in _LEVERS]
                told.append(
                    not_known(
                        (*path, "by"), "slide or pick-one", item.by, known, code="BLD-059", name="control-not-known"
                    )
                )
        elif control.kind not in _LEVERS:
            why = f"{item.by} is a {control.kind}; levels need a slide or a pick-one."
            told.append(
                Trouble((*path, "by"), "BLD-079", "control-has-no-levels", why, f"Write when: {item.by}.", item.by)
            )
        else:
            levels = _levels(item, control, around, reading, path)
            at_most = _at_most(item, control, reading, path)
            whole = whole and len(levels) == len(item.levels or {}) and len(at_most) == len(item.at_most)
    shows = shows_of(item.show or (), item.rank, around, reading, (*path, "show"))
    sounds = [_sound(each, number, around, path, told) for number, each in enumerate(item.sound, start=1)]
    _names(item.wins_over, around.functions, around, (*path, "wins-over"), told, section="functions")
    if name in item.wins_over:
        told.append(
            Trouble(
                (*path, "wins-over"), "BLD-080", "wins-over-itself", f"{name} can't win over itself.", "Leave it away."
            )
        )
    _names(item.say, around.messages, around, (*path, "say"), told, section="messages")
    _runs(item, around, path, told)
    if not whole or shows is None or any(each is None for each in sounds) or len(told) > before_n:
        return None
    return Function(
        name=name,
        rank=item.rank,
        when=when,
        by=item.by or "",
        levels=levels,
        one_level=item.one_level,
        at_most=at_most,
        wins_over=item.wins_over,
        shows=shows,
        sounds=tuple(each for each in sounds if each is not None),
        runs=item.run,
        interrupts=item.interrupt,
        says=item.say,
        path=".".join(path),
    )


def _rank(item: Written, around: Around, path: PathPieces, told: list[Trouble]) -> bool:
    if item.rank in around.ranks:
        return True
    if not around.ranks_lost:
        told.append(not_known((*path, "rank"), "rank", item.rank, around.ranks, code="BLD-060", name="rank-not-known"))
    return False


def _check_shape(item: Written, path: PathPieces, told: list[Trouble]) -> None:
    """A function says when, and what it does; levels go with a control."""

    def tell(place: PathPieces, why: str, write: str) -> None:
        told.append(Trouble(place, "BLD-081", "function-not-whole", why, write, on_key=True))

    if item.by is None and item.when is None:
        tell(path, "When does this function act?", "Write when: and a condition, or by: a control with levels.")
    if item.by is None and item.levels is not None:
        tell((*path, "levels"), "Levels belong to a control.", "Write by: and the slide or pick-one.")
    if item.by is not None and not item.levels:
        write = f"Write levels: with a position of {item.by} and what it shows."
        tell((*path, "by"), "A function by a control has levels.", write)
    if item.by is not None and item.show is not None:
        tell((*path, "show"), "With a control the shows stand in its levels.", "Move them into levels.")
    if item.by is None and item.at_most:
        tell((*path, "at-most"), "at-most holds a control back, and there is none.", "Write by: and the control.")
    if item.by is None and item.one_level:
        tell((*path, "one-level"), "one-level chooses among levels, and there are none.", "Leave it away.")
    if not (item.levels or item.show or item.sound or item.run or item.interrupt or item.say):
        tell(path, "This function does nothing.", "Write show, sound, run, interrupt or say.")


def _levels(item: Written, control: Input, around: Around, reading: Reading, path: PathPieces) -> tuple[Level, ...]:
    found: dict[str, Level] = {}
    for position, entries in (item.levels or {}).items():
        place = (*path, "levels", position)
        if position not in control.values:
            reading.told.append(_no_position(place, position, control))
        elif position == control.values[0]:
            why = f"{position} is the first position of {control.name}: there nothing is shown."
            write = "Leave this level away, or begin the positions with another one."
            reading.told.append(Trouble(place, "BLD-082", "level-at-first-position", why, write, position, on_key=True))
        else:
            shows = shows_of(entries, item.rank, around, reading, place)
            if shows is not None:
                found[position] = Level(position, shows, ".".join(place))
    return tuple(found[position] for position in control.values if position in found)


def _at_most(item: Written, control: Input, reading: Reading, path: PathPieces) -> tuple[AtMost, ...]:
    found: list[AtMost] = []
    for position, text in item.at_most.items():
        place = (*path, "at-most", position)
        condition = reading.condition(text, place, "function")
        if position not in control.values:
            reading.told.append(_no_position(place, position, control))
        elif condition is not None:
            found.append(AtMost(position, condition, ".".join(place)))
    return tuple(found)


def _no_position(path: PathPieces, position: str, control: Input) -> Trouble:
    return not_known(
        path,
        f"position of {control.name}",
        position,
        control.values,
        code="BLD-061",
        name="position-not-known",
        on_key=True,
    )


def _sound(item: WrittenSound, number: int, around: Around, function: PathPieces, told: list[Trouble]) -> Sound | None:
    path = (*function, "sound", str(number))
    siren = around.equipment.get(item.on)
    if siren is None:
        if not around.is_lost(item.on, "equipment"):
            known = [each.name for each in around.equipment.values() if each.sounds]
            told.append(
                not_known((*path, "on"), "siren or alarm", item.on, known, code="BLD-062", name="equipment-not-known")
            )
        return None
    part = around.parts.get(siren.part)
    if not isinstance(part, SirenPart | AlarmPart):
        why = f"{item.on} makes no sound: {siren.part} is a {part.kind if part is not None else 'part'}."
        told.append(Trouble((*path, "on"), "BLD-087", "equipment-can-not", why, "Name a siren or an alarm.", item.on))
        return None
    memory = around.memories.get(item.tone)
    if memory is not None:
        if set(memory.values).isdisjoint(part.tones):
            why = f"No value of {item.tone} is a tone of {item.on}, which has {listed(part.tones)}."
            told.append(
                Trouble((*path, "tone"), "BLD-063", "tone-not-known", why, "Name a tone, or another memory.", item.tone)
            )
            return None
        return Sound(item.on, "", item.tone, ".".join(path))
    if item.tone not in part.tones:
        if not around.is_lost(item.tone, "memory"):
            tones = (*part.tones, *around.memories)
            told.append(
                not_known(
                    (*path, "tone"), f"tone of {item.on}", item.tone, tones, code="BLD-063", name="tone-not-known"
                )
            )
        return None
    return Sound(item.on, item.tone, "", ".".join(path))


def _names(
    names: tuple[str, ...],
    known: frozenset[str],
    around: Around,
    path: PathPieces,
    told: list[Trouble],
    *,
    section: str,
) -> None:
    what, code = ("function", "BLD-064") if section == "functions" else ("message", "BLD-065")
    for number, each in enumerate(names, start=1):
        if each not in known and not around.is_lost(each, section):
            told.append(not_known((*path, str(number)), what, each, known, code=code, name=f"{what}-not-known"))


def _runs(item: Written, around: Around, path: PathPieces, told: list[Trouble]) -> None:
    for word, names in (("run", item.run), ("interrupt", item.interrupt)):
        for number, name in enumerate(names, start=1):
            place = (*path, word, str(number))
            output, fitted = around.outputs.get(name), around.equipment.get(name)
            if output is not None:
                _output_can(word, output, place, told)
            elif fitted is not None:
                if not fitted.runs:
                    why = f"{name} doesn't run: {fitted.part} is a {around.parts[fitted.part].kind}."
                    told.append(Trouble(place, "BLD-087", "equipment-can-not", why, "Name equipment that runs.", name))
            elif not around.is_lost(name, "equipment", "vehicle-lamps", "vehicle"):
                known = [each.name for each in around.equipment.values() if each.runs]
                known += [each.name for each in around.outputs.values()]
                told.append(
                    not_known(place, "equipment or output", name, known, code="BLD-062", name="equipment-not-known")
                )


def _output_can(word: str, output: VehicleOutput, path: PathPieces, told: list[Trouble]) -> None:
    can = ("parallel", "request") if word == "run" else ("series", "request")
    if output.reach not in can:
        said = {"none": "isn't reached", "series": "is reached in series", "parallel": "is reached in parallel"}
        why = f"{output.name} {said.get(output.reach, output.reach)}: nothing of ours can {word} it."
        write = f"Say under vehicle-lamps that it is reached by {' or '.join(can)}, if it is."
        told.append(Trouble(path, "BLD-086", "reach-can-not", why, write, output.name))
