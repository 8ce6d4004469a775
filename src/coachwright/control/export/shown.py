"""What is put out, written out as statements: heads, sirens, runs, messages and tell-tales, with what the numbers mean.

The same as coachwright.control.heads does, and the end of coachwright.control.machine.
"""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

from coachwright.build.model import COLOURS, ColourShow, Show
from coachwright.control.compiled import Machine
from coachwright.control.export.acting import Actor, Acts
from coachwright.control.export.contests import WHOLE, Bid, Scales, Won, burning, contest, share_number
from coachwright.control.export.draft import Draft
from coachwright.control.export.plain import remark
from coachwright.control.export.sources import Wired
from coachwright.control.export.terms import (
    Block,
    Const,
    Expr,
    If,
    Note,
    Ref,
    Stmt,
    any_of,
    compare,
    put,
    when,
)
from coachwright.control.heads import CompiledHead

Fact = dict[str, Any]


class Shown:
    """The outputs of one machine. facts : what each of them is, in plain words and numbers."""

    def __init__(self, draft: Draft, machine: Machine, acts: Acts, inputs: dict[str, Wired]) -> None:
        self.draft = draft
        self.machine = machine
        self.acts = acts
        self.inputs = inputs
        self.facts: dict[str, list[Fact]] = {
            name: [] for name in ("limits", "shows", "heads", "sirens", "runs", "interrupts", "messages", "tell-tales")
        }
        self._numbers: dict[Hashable, int] = {}
        self._scales: Scales = {}
        self._groups_n = 0

    def block(self) -> Block:
        """All of them, once functions are known."""
        found: list[Stmt] = [Note("[limits]"), *self._limits(), Note("[heads]")]
        alike: dict[tuple[bool, tuple[Bid, ...]], list[str]] = {}
        for place, head in enumerate(self.machine.heads.heads):
            alike.setdefault((head.burns_together, tuple(self._bids(place, head))), []).append(head.id)
        for (together, bids), ids in alike.items():
            found += self._heads(ids, bids, together=together)
        order = {head.id: place for place, head in enumerate(self.machine.heads.heads)}
        self.facts["heads"].sort(key=lambda fact: order[fact["name"]])
        found.append(Note("[sirens]"))
        for siren, _ in self.machine.heads.sirens:
            found += self._siren(siren)
        found += [Note("[equipment]"), *self._runs(), Note("[messages]"), *self._messages(), *self._tell_tales()]
        return tuple(found)

    # ------------------------------------------------------------------------------------------------------ limits
    def _limits(self) -> Block:
        found: list[Stmt] = []
        model, limits = self.draft.model, self.machine.heads.limits
        scaling = []
        for limit, compiled in zip(model.limits, limits, strict=True):
            ref = self.draft.output("limit", limit.name, kind="bool", says=self.draft.said(limit.when))
            found.append(put(ref, self.draft.expr(limit.when)))
            self.facts["limits"].append(
                {"name": limit.name, "at": ref.name, "scale-to": share_number(limit.scale_to_share)}
            )
            scaling.append((compiled.scale_to_share, compiled.functions, ref))
        for place, actor in enumerate(self.acts.actors):
            own = sorted({(share, ref.name) for share, bits, ref in scaling if bits >> place & 1})
            if not own:
                continue
            scale = self.draft.own(
                "scale", actor.function.name, says="what limits leave of it, in hundredths of a percent"
            )
            branches = tuple((Ref(name), (put(scale, share_number(share)),)) for share, name in own if share < 1.0)
            found.append(put(scale, WHOLE) if not branches else If(branches, (put(scale, WHOLE),)))
            self._scales[actor.function.name] = (scale, tuple(sorted({share for share, _ in own} | {1.0})))
        return tuple(found)

    # ------------------------------------------------------------------------------------------------------- heads
    def _bids(self, place: int, head: CompiledHead) -> list[Bid]:
        variants: dict[int, set[int]] = {}
        for own in self.machine.heads.bids:
            for variant, wants in enumerate(own):
                for at, bit in wants:
                    if at == place:
                        variants.setdefault(bit, set()).add(variant)
        found = []
        for number, item in enumerate(head.claims):
            actor, claim, show = self.acts.actors[item.function_place], item.claim, item.show
            wanted = actor.shows(frozenset(variants.get(1 << number, ())))
            found.append(
                Bid(
                    claim.function,
                    claim.rank,
                    claim.rank_place,
                    claim.wins_over,
                    wanted,
                    claim.statement,
                    show.colours,
                    tuple(self._number(show, colour) for colour in show.colours),
                    show.dark,
                    show.beside,
                )
            )
        return found

    def _number(self, show: Show, colour: ColourShow) -> int:
        """Number of what a colour does; equal where the light is."""
        pattern = colour.pattern
        row = show.heads if pattern is not None and pattern.word.startswith(("run-", "four-corner")) else ()
        key = (colour.colour, colour.manner, pattern, colour.sides, colour.share, colour.signal, row)
        if key not in self._numbers:
            self._numbers[key] = len(self._numbers) + 1
            fact: Fact = {
                "number": self._numbers[key],
                "colour": colour.colour,
                "manner": colour.manner,
                "share": share_number(colour.share),
                "sides": colour.sides,
                "signal": colour.signal,
                "row": list(row),
            }
            if pattern is not None:
                fact["pattern"] = {
                    "text": pattern.text,
                    "word": pattern.word,
                    "rate_hz": pattern.rate_hz,
                    "steps_ms": [list(step) for step in pattern.steps_ms],
                    "times": pattern.times,
                    "every_ms": pattern.every_ms,
                }
            self.facts["shows"].append(fact)
        return self._numbers[key]

    def _heads(self, ids: list[str], bids: tuple[Bid, ...], *, together: bool) -> Block:
        self._groups_n += 1
        group = f"g{self._groups_n}"
        shared = f"{ids[0]} and {len(ids) - 1} more" if len(ids) > 1 else ids[0]
        won = contest(self.draft, group, bids, may_add=together)
        found: list[Stmt] = [Note(remark(f"head {shared}")), *won.statements]
        owners, says = self._owners(won, group, shared)
        found += says
        undecided = self._held(won.undecided, group, "undecided")
        burns: dict[str, tuple[Ref, Ref]] = {}
        for colour in COLOURS:
            if any(each.colour == colour for _, each, _, _ in won.parts):
                shown, share = self.draft.own(group, colour), self.draft.own(group, colour, "share")
                found += burning(won, colour, shown, share, self._scales)
                burns[colour] = (shown, share)
        found += undecided[1]
        for head in ids:
            found += self._head(head, owners=owners, undecided=undecided[0], burns=burns)
        return tuple(found)

    def _held(self, value: Expr, *words: str) -> tuple[Expr, Block]:
        if isinstance(value, Const | Ref):
            return value, ()
        ref = self.draft.flag(*words)
        return ref, (put(ref, value),)

    def _owners(self, won: Won, group: str, shared: str) -> tuple[list[Fact], Block]:
        facts, found = [], []
        for function, value in won.owns.items():
            ref = self.draft.output("owns", group, function, kind="bool", says=f"{function} has {shared}")
            found.append(put(ref, value))
            facts.append({"function": function, "at": ref.name})
        return facts, tuple(found)

    def _head(self, head: str, *, owners: list[Fact], undecided: Expr, burns: dict[str, tuple[Ref, Ref]]) -> Block:
        found: list[Stmt] = []
        unclear = self.draft.output("undecided", head, kind="bool", says=f"nothing decides who has {head}")
        found.append(put(unclear, undecided))
        colours = []
        for colour, (shown, share) in burns.items():
            out = self.draft.output(colour, head, kind="int", says=f"what {colour} does on {head}, 0 dark")
            level = self.draft.output(
                colour, "share", head, kind="int", says=f"{colour} of {head}, hundredths of a percent"
            )
            found += [put(out, shown), put(level, share)]
            colours.append({"colour": colour, "at": out.name, "share": level.name})
        self.facts["heads"].append({"name": head, "undecided": unclear.name, "owners": owners, "colours": colours})
        return tuple(found)

    # ------------------------------------------------------------------------------------------------------ sirens
    def _siren(self, siren: str) -> Block:
        claims = dict(self.machine.heads.sirens)[siren]
        tones: list[str] = []
        found: list[Stmt] = [Note(remark(f"siren {siren}"))]

        def number(tone: str) -> int:
            if tone not in tones:
                tones.append(tone)
            return tones.index(tone) + 1

        bids, own_tones = [], {}
        for claim in claims:
            actor: Actor = self.acts.actors[claim.function_place]
            tone: Expr = (
                Const(number(claim.tone)) if claim.tone_at < 0 else self.draft.own("tone", siren, actor.function.name)
            )
            if isinstance(tone, Ref):
                memory = self.draft.model.memories[claim.tone_at - len(self.machine.inputs)]
                stands = self.draft.reads[memory.name]
                branches = tuple(
                    (compare(stands, "==", place), (put(tone, number(value)),))
                    for place, value in enumerate(memory.values)
                )
                found.append(If(branches[:-1], branches[-1][1]) if branches[:-1] else branches[-1][1][0])
            own_tones[actor.function.name] = tone
            bids.append(
                Bid(
                    actor.function.name,
                    claim.function.rank,
                    claim.function.rank_place,
                    claim.wins_over,
                    actor.active,
                    None,
                    tone=tone,
                )
            )
        won = contest(self.draft, f"on_{siren}", bids, may_add=False)
        out = self.draft.output("sounds", siren, kind="int", says=f"tone of {siren}, 0 silent")
        unclear = self.draft.output("undecided", siren, kind="bool", says=f"nothing decides who has {siren}")
        owners, says = self._owners(won, siren, siren)
        found += [*won.statements, *says, put(unclear, won.undecided), put(out, 0)]
        for owner in owners:
            found += when(Ref(owner["at"]), put(out, own_tones[owner["function"]]))
        self.facts["sirens"].append(
            {"name": siren, "at": out.name, "tones": tones, "undecided": unclear.name, "owners": owners}
        )
        return tuple(found)

    # ------------------------------------------------------------------------------- equipment, messages, tell-tales
    def _acting(self, bits: int) -> Expr:
        return any_of(each.active for place, each in enumerate(self.acts.actors) if bits >> place & 1)

    def _runs(self) -> Block:
        found: list[Stmt] = []
        cut: dict[str, Ref] = {}
        for name, bits in self.machine.interrupts:
            cut[name] = self.draft.output("cuts", name, kind="bool", says=f"{name} is interrupted")
            found.append(put(cut[name], self._acting(bits)))
            self.facts["interrupts"].append({"name": name, "at": cut[name].name})
        for name, bits in self.machine.runs:
            ref = self.draft.output("runs", name, kind="bool", says=f"{name} runs")
            runs = self._acting(bits)
            found += when(cut[name], put(ref, False), otherwise=(put(ref, runs),)) if name in cut else (put(ref, runs),)
            self.facts["runs"].append({"name": name, "at": ref.name})
        return tuple(found)

    def _messages(self) -> Block:
        found: list[Stmt] = []
        for message, compiled in zip(self.draft.model.messages, self.machine.later.messages, strict=True):
            said = [self._acting(compiled.functions)]
            if message.when is not None:
                said.append(self.draft.expr(message.when, late=True))
            ref = self.draft.output("says", message.name, kind="bool", says=message.say or message.name)
            found.append(put(ref, any_of(said)))
            self.facts["messages"].append(
                {
                    "name": message.name,
                    "at": ref.name,
                    "say": message.say,
                    "chime": message.chime,
                    "repeat_ms": message.repeat_ms,
                }
            )
        return tuple(found)

    def _tell_tales(self) -> Block:
        """A condition is on or off; `follows` and pictures show where the control stands, a toggle what it keeps."""
        found: list[Stmt] = []
        for each in self.machine.later.tell_tales:
            item = self.draft.model.inputs[each.place]
            ref = self.draft.output("tell_tale", item.name, kind="int", says=f"beside {item.name}")
            values = list(item.values)
            if item.tell_tale_condition is not None:
                shown = self.draft.expr(item.tell_tale_condition, late=True)
                found += when(shown, put(ref, 1), otherwise=(put(ref, 0),))
                values = ["off", "on"]
            else:
                wired = self.inputs[item.name]
                found.append(put(ref, wired.keeps if wired.keeps is not None else wired.read))
            self.facts["tell-tales"].append({"control": item.name, "at": ref.name, "values": values})
        return tuple(found)
