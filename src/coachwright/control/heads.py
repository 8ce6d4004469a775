"""What does each head show, and each siren sound, given which functions act and which limits scale?

The answer for one head depends on its own claims and the limits alone, so it is remembered by these two.

See Also
--------
coachwright.control.ranks : the rule. coachwright.control.statement : what comes out.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field

from coachwright.build.model import COLOURS, ColourShow, Memory, Model, Show, Sound
from coachwright.control.conditions import Scene
from coachwright.control.functions import Acting, CompiledFunction, CompiledLimit
from coachwright.control.ranks import ROAD, Claim, Contest, contest, next_best, outcomes
from coachwright.control.statement import ColourPart, HeadState, SoundState

_MOST_REMEMBERED = 200_000


@dataclass(frozen=True, slots=True)
class HeadClaim:
    """A show of one function for one head. function_place : its place among the functions."""

    claim: Claim
    show: Show
    function_place: int


@dataclass(frozen=True, slots=True)
class CompiledHead:
    """One head with every claim there can be on it; bit n of a set of claims is claim n."""

    id: str
    burns_together: bool
    claims: tuple[HeadClaim, ...]


@dataclass(frozen=True, slots=True)
class SoundClaim:
    """A function that sounds a siren.

    tone_at : place in the scene of the memory that names the tone, -1 for a fixed one. tones : that memory's values.
    """

    function_place: int
    function: CompiledFunction
    wins_over: frozenset[str]
    tone: str
    tone_at: int
    tones: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CompiledHeads:
    """All heads and sirens. bids : per function and variant, (place of the head, bit of the claim there)."""

    heads: tuple[CompiledHead, ...]
    bids: tuple[tuple[tuple[tuple[int, int], ...], ...], ...]
    sirens: tuple[tuple[str, tuple[SoundClaim, ...]], ...]
    limits: tuple[CompiledLimit, ...]
    function_names: tuple[str, ...]
    remembered: dict[tuple[int, int, int], HeadState] = field(default_factory=dict, compare=False, repr=False)


def limits_now(compiled: CompiledHeads, scene: Scene) -> int:
    """The limits that scale now, as bits."""
    bits = 0
    for place, limit in enumerate(compiled.limits):
        if limit.answer(scene):
            bits |= 1 << place
    return bits


def head_states(compiled: CompiledHeads, acting: Acting, limits: int) -> tuple[HeadState, ...]:
    """What every head shows, in the model's order."""
    claims = [0] * len(compiled.heads)
    for place, variant in enumerate(acting.variants):
        if acting.active >> place & 1:
            for head, bit in compiled.bids[place][variant]:
                claims[head] |= bit
    remembered = compiled.remembered
    if len(remembered) > _MOST_REMEMBERED:
        remembered.clear()
    states = []
    for head, bits in enumerate(claims):
        key = (head, bits, limits if bits else 0)
        state = remembered.get(key)
        if state is None:
            state = remembered[key] = _decide(compiled, compiled.heads[head], bits, limits)
        states.append(state)
    return tuple(states)


def sound_states(compiled: CompiledHeads, acting: Acting, scene: Scene) -> tuple[SoundState, ...]:
    """Every siren that is wanted, with what it sounds."""
    states = []
    for siren, possible in compiled.sirens:
        claims = [_sound_claim(item, scene) for item in possible if acting.active >> item.function_place & 1]
        if claims:
            decided = contest(claims)
            owners = tuple(claim.function for claim in decided.winners)
            tone = str(decided.winners[0].statement) if owners else ""
            states.append(SoundState(siren, tone, owners, outcomes(claims, decided)))
    return tuple(states)


def _sound_claim(item: SoundClaim, scene: Scene) -> Claim:
    tone = item.tones[scene[item.tone_at]] if item.tone_at >= 0 else item.tone
    return Claim(item.function.name, item.function.rank, item.function.rank_place, item.wins_over, tone)


def _decide(compiled: CompiledHeads, head: CompiledHead, bits: int, limits: int) -> HeadState:
    active = [claim for place, claim in enumerate(head.claims) if bits >> place & 1]
    claims = [item.claim for item in active]
    decided = contest(claims)
    if not decided.winners:
        return HeadState(head.id, (), (), decided.ambiguous, outcomes(claims, decided))
    shows = {item.claim.function: item for item in active}
    taken = [decided.winners]
    unclear: Contest | None = None
    if head.burns_together and decided.winners[0].rank != ROAD and not shows[decided.winners[0].function].show.dark:
        unclear = _add_beside(claims, shows, taken)
    parts: list[ColourPart] = []
    owners: list[str] = []
    for group in taken:
        added = _parts(compiled, [shows[claim.function] for claim in group], limits, {part.colour for part in parts})
        parts += added
        if added or group is decided.winners:
            owners += [claim.function for claim in group]
    parts.sort(key=lambda part: COLOURS.index(part.colour))
    rivals = [claim.function for claim in unclear.contenders] if unclear is not None else []
    wanted = outcomes(claims, decided, beside=owners, unclear=rivals)
    return HeadState(head.id, tuple(parts), tuple(owners), unclear is not None, wanted)


def _add_beside(claims: Sequence[Claim], shows: dict[str, HeadClaim], taken: list[tuple[Claim, ...]]) -> Contest | None:
    """Who shows beside the winner; gives the contest in which nothing decides, if it came to one."""
    used = list(taken[0])
    last = taken[0]
    while shows[last[0].function].show.beside:
        following = next_best(claims, used)
        if following.ambiguous:
            return following
        if not following.winners:
            break
        used += following.winners
        if shows[following.winners[0].function].show.dark:
            continue
        last = following.winners
        taken.append(last)
    return None


def _parts(compiled: CompiledHeads, items: Sequence[HeadClaim], limits: int, named: set[str]) -> list[ColourPart]:
    """Colours of those who make one statement: each at the largest share that its owners' limits leave."""
    scaled = [(*_scale(compiled, item.function_place, limits), item) for item in items]
    scale_share, limited_by, item = max(scaled, key=lambda entry: entry[0])
    return [
        ColourPart(colour, item.claim.function, scale_share, limited_by)
        for colour in item.show.colours
        if colour.colour not in named
    ]


def _scale(compiled: CompiledHeads, function_place: int, limits: int) -> tuple[float, str]:
    """Smallest factor on a function and the limit it is from (of equal ones the first by name)."""
    scales = [
        (limit.scale_to_share, limit.name)
        for place, limit in enumerate(compiled.limits)
        if limits >> place & 1 and limit.functions >> function_place & 1
    ]
    return min(scales, default=(1.0, ""))


def statement_of(show: Show) -> Hashable:
    """Equal for two shows that say the very same of a head. A run depends on the heads it goes over."""
    return (show.dark, show.beside, frozenset(_colour_statement(show, colour) for colour in show.colours))


def _colour_statement(show: Show, colour: ColourShow) -> Hashable:
    pattern = colour.pattern
    row = show.heads if pattern is not None and pattern.word and _goes_over_a_row(pattern.word) else ()
    return (colour.colour, colour.manner, pattern, colour.sides, colour.share, colour.signal, row)


def colour_text(show: ColourShow) -> str:
    """A colour as shown, in words that are equal where the light is."""
    said = {
        "steady": "steady",
        "follow": f"following {show.signal}",
        "pattern": f"{show.pattern.text if show.pattern is not None else ''} {show.sides}".rstrip(),
    }
    return f"{show.colour} {said[show.manner]}"


def _goes_over_a_row(word: str) -> bool:
    return word.startswith("run-") or word == "four-corner"


def compile_heads(
    model: Model, functions: tuple[CompiledFunction, ...], limits: tuple[CompiledLimit, ...], first_memory: int
) -> CompiledHeads:
    """Every claim there can be on every head and siren."""
    place_of = {head.id: place for place, head in enumerate(model.heads)}
    claims: list[list[HeadClaim]] = [[] for _ in model.heads]
    bids = []
    for place, function in enumerate(functions):
        wins_over = frozenset(model.functions[place].wins_over)
        per_variant = []
        for variant in function.variants:
            own = []
            for head_id, show in variant.shows:
                head = place_of[head_id]
                claim = Claim(function.name, function.rank, function.rank_place, wins_over, statement_of(show))
                own.append((head, 1 << _number(claims[head], HeadClaim(claim, show, place))))
            per_variant.append(tuple(own))
        bids.append(tuple(per_variant))
    return CompiledHeads(
        tuple(
            CompiledHead(head.id, head.burns_together, tuple(own))
            for head, own in zip(model.heads, claims, strict=True)
        ),
        tuple(bids),
        _sirens(model, functions, first_memory),
        limits,
        tuple(function.name for function in functions),
    )


def _number(claims: list[HeadClaim], claim: HeadClaim) -> int:
    """Bit of this claim; levels that keep a lower level's show share its claim."""
    if claim not in claims:
        claims.append(claim)
    return claims.index(claim)


def _sirens(
    model: Model, functions: tuple[CompiledFunction, ...], first_memory: int
) -> tuple[tuple[str, tuple[SoundClaim, ...]], ...]:
    memories: dict[str, tuple[int, Memory]] = {memory.name: (at, memory) for at, memory in enumerate(model.memories)}
    found: dict[str, list[SoundClaim]] = {}
    for place, function in enumerate(functions):
        for sound in _one_per_siren(model.functions[place].sounds):
            at, tones = -1, tuple[str, ...]()
            if sound.tone_memory:
                number, memory = memories[sound.tone_memory]
                at, tones = first_memory + number, memory.values
            wins_over = frozenset(model.functions[place].wins_over)
            claim = SoundClaim(place, function, wins_over, sound.tone, at, tones)
            found.setdefault(sound.siren, []).append(claim)
    return tuple((siren, tuple(found[siren])) for siren in sorted(found))


def _one_per_siren(sounds: tuple[Sound, ...]) -> tuple[Sound, ...]:
    return tuple({sound.siren: sound for sound in sounds}.values())
