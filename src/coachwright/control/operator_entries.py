"""The lines of one control, signal or memory: what each of its values does, and when not.

See Also
--------
coachwright.control.operator_told : one function at one value. coachwright.control.operator_presses : through a memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from coachwright.build.model import Function, Input
from coachwright.control.operator_claims import Claim, Expect
from coachwright.control.operator_facts import Line, Sentence
from coachwright.control.operator_reading import Circumstance
from coachwright.control.operator_told import Done, Teller
from coachwright.control.operator_words import lower, plain_name
from coachwright.control.situations import rest_inputs

_AGAIN = {
    "toggle": "switch it off and on again",
    "button": "press it again",
    "slide": "move it away and back",
    "pick-one": "choose it again",
    "rotary-disconnect": "turn it off and on again",
}


@dataclass(frozen=True, slots=True)
class _Told:
    """What a function does at one value. text : clauses. found : circumstances; None where few words don't do."""

    done: Done
    text: tuple[str, ...]
    found: tuple[Circumstance, ...] | None


def lines_of(teller: Teller, home: str, functions: Sequence[Function]) -> tuple[Line, ...]:
    """The lines of `home` for these functions, one for each value that does something of its own."""
    found: dict[tuple[int, str], list[Sentence]] = {}
    whole: list[Sentence] = []
    told: dict[tuple[int, str], list[list[Sentence]]] = {}
    for function in sorted(functions, key=lambda each: (not each.by, each.name)):
        for place, label, sentences in _function_lines(teller, home, function, alone=len(functions) == 1):
            if label is None:
                whole += sentences
            elif sentences:
                told.setdefault((place, label), []).append(sentences)
    whole = [*_in_all([own for several in told.values() for own in several], len(told)), *whole]
    shared = {sentence.text for sentence in whole}
    for several in told.values():
        several[:] = [[each for each in own if each.text not in shared] for own in several]
    for key, several in told.items():
        found[key] = [each for own in several for each in (own if len(several) == 1 else _bound(own))]
    lines = [Line(label, _once(sentences)) for (_, label), sentences in sorted(found.items())]
    if whole:
        lines.append(Line("", _once(whole)))
    return tuple(lines)


def _bound(own: Sequence[Sentence]) -> list[Sentence]:
    """One sentence for a function that shares its line with others: whose exceptions they are must be plain."""
    first, *rest = own
    text = ", ".join([first.text.removesuffix("."), *(lower(each.text).removesuffix(".") for each in rest)])
    return [Sentence(f"{text}.", tuple(claim for each in own for claim in each.claims))]


def _in_all(lines: Sequence[Sequence[Sentence]], lines_n: int) -> list[Sentence]:
    """Sentences that stand for every function in each of several lines, apart from what is done there."""
    if lines_n < 2:
        return []
    common = set.intersection(*({sentence.text for sentence in line[1:]} for line in lines))
    return [sentence for line in lines for sentence in line if sentence.text in common]


def _function_lines(
    teller: Teller, home: str, function: Function, *, alone: bool
) -> Iterator[tuple[int, str | None, list[Sentence]]]:
    told = _told(teller, home, function)
    if not told:
        teller.unsaid.append(f"{function.name} acts at no plain setting")
        return
    alike: list[list[_Told]] = []
    for each in told:
        if alike and (alike[-1][-1].text, alike[-1][-1].found) == (each.text, each.found):
            alike[-1].append(each)
        else:
            alike.append([each])
    shared = alone and len({each.found for each in told}) == 1
    values = teller.settings.moment.choice(home).values if home else ()
    for group in alike:
        label = _label(teller, home, [each.done.value for each in group]) if home else ""
        sentences = list(_effect_sentences(teller, group))
        if not shared or len(alike) == 1:
            sentences += _when_not(teller, home, function, group[0])
        place = values.index(group[0].done.value) if home else 0
        yield place, label, sentences
    if function.at_most:
        yield 0, None, list(_held_down(teller, home, function, told))
    if shared and len(alike) > 1:
        yield 0, None, list(_when_not(teller, home, function, told[-1]))


def _told(teller: Teller, home: str, function: Function) -> list[_Told]:
    """Per value at which it acts: what it does there, on top of the level beneath it where that stays."""
    found: list[_Told] = []
    before: Done | None = None
    for value in teller.values(function, home) if home else ("",):
        done = teller.done(function, home, value)
        if done is None:
            continue
        outputs = before.seen.outputs if before is not None and function.by and not function.one_level else None
        text = teller.effect(function, done.seen.outputs, outputs)
        if before is not None and outputs is not None:
            text = _on_top(teller, function, done, before, text)
        stands = {home: value} if home else {}
        found.append(_Told(done, text, teller.circumstances(function, stands)))
        before = done
    return found


def _on_top(teller: Teller, function: Function, done: Done, before: Done, text: tuple[str, ...]) -> tuple[str, ...]:
    """``as low, and ...`` where all that the level beneath shows stays."""
    if text == teller.effect(function, done.seen.outputs):
        return text
    return (f"as {plain_name(before.value)}", *text)


def _effect_sentences(teller: Teller, group: Sequence[_Told]) -> Iterator[Sentence]:
    text = group[0].text
    if not text:
        teller.unsaid.append(f"nothing to see or hear at {group[0].done.value or 'any time'}")
        return
    said = f"{text[0]}, and {'; '.join(text[1:])}" if text[0].startswith("as ") and len(text) > 1 else "; ".join(text)
    yield from teller.sentence(f"{said}.", [each.done.claim for each in group])


def _when_not(teller: Teller, home: str, function: Function, told: _Told) -> Iterator[Sentence]:
    stands = {home: told.done.value} if home else {}
    if told.found is None:
        teller.unsaid.append(f"when {function.name} acts takes more than a few words")
        yield Sentence("There is more to it: ask your shop.", (told.done.claim,))
    else:
        yield from teller.circumstance_sentences(function, stands, told.found, told.done.claim)
    item = teller.reading.inputs.get(home)
    again = _AGAIN.get(item.kind, "ask for it again") if item is not None else "ask for it again"
    yield from teller.stop_sentences(function, stands, told.done, again)


def _held_down(teller: Teller, home: str, function: Function, told: Sequence[_Told]) -> Iterator[Sentence]:
    """``While parked, full acts as mid.``"""
    values = [each.done.value for each in told]
    for most in sorted(function.at_most, key=lambda each: each.level):
        if most.level not in values:
            continue
        above = values[values.index(most.level) + 1 :]
        claims = []
        for value in above:
            at = [teller.settings.at(home, value), teller.settings.literal(most.condition)]
            plain = teller.settings.plain(*at, teller.settings.acting(function).active)
            lit = next(each for each in told if each.done.value == most.level).done.claim.expects
            if plain is not None:
                same = tuple(each for each in lit if each.what == "acts")
                claims.append(Claim(plain.inputs, (*same, Expect("level", function.name, most.level)), plain.memory))
        if above:
            said = _values_text([plain_name(value) for value in above])
            clause = teller.wording.clause(most.condition)
            yield from teller.sentence(f"while {clause}, {said} gives the light of {plain_name(most.level)}.", claims)


def _label(teller: Teller, home: str, values: Sequence[str]) -> str:
    item = teller.reading.inputs.get(home)
    if item is None:
        return _values_text([plain_name(value) for value in values])
    if item.values == ("off", "on"):
        return {"button": "Hold", "rotary-disconnect": "On"}.get(item.kind, "") if values != ("off",) else "Off"
    said = {"P": "Park", "R": "Reverse", "N": "Neutral", "D": "Drive"}
    if len(values) > 1 and values[-1] == item.values[-1] and item.kind == "slide":
        return f"{plain_name(values[0])} or more"
    return _values_text([said.get(value, plain_name(value)) for value in values])


def _values_text(values: Sequence[str]) -> str:
    return values[0] if len(values) == 1 else f"{', '.join(values[:-1])} or {values[-1]}"


def _once(sentences: Sequence[Sentence]) -> tuple[Sentence, ...]:
    """The same text once, with all that bears it out."""
    claims: dict[str, list[Claim]] = {}
    for sentence in sentences:
        claims.setdefault(sentence.text, []).extend(sentence.claims)
    return tuple(Sentence(text, tuple(dict.fromkeys(found))) for text, found in claims.items())


def idle_claims(teller: Teller, item: Input, values: Mapping[str, object] | None = None) -> tuple[Claim, ...]:
    """Wherever it stands, everything is as at rest."""
    rest = rest_inputs(teller.model)
    outputs = teller.stage.seen(Claim((), ())).outputs
    kept = [Expect("acts", name) for name in outputs.active]
    kept += [
        Expect("idle", function.name) for function in teller.model.functions if function.name not in outputs.active
    ]
    return tuple(Claim(((item.name, value),), tuple(kept)) for value in item.values if value != rest[item.name])
