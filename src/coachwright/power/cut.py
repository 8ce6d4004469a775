"""How are wires cut from reels so that the fewest reels are opened?

Cutting stock in one dimension: pieces of given lengths from reels of one length. Three ways to fill reels are tried,
and the best one is improved by emptying some reels and filling them anew. The bound says how few reels any plan needs;
where both are equal the plan is proved to be the best one, else a better one may exist: nobody has looked everywhere.

Searches are counted in steps, never in seconds, and draw from one seed, so the same pieces are always cut alike.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

_MM = 1000.0
MOST_PIECES = 20_000
"""More are no harness but a mistake."""
ROUNDS = 400
"""How often reels are emptied and filled anew, where the bound isn't met yet."""
SEED = 1


@dataclass(frozen=True, slots=True)
class Cutting:
    """A plan.

    reels : of each, the pieces cut from it, by their number in what was asked, longest first. too_long : pieces no reel
    has. bound_n : no plan for the others needs fewer reels. used_m, waste_m : cut off, and left on opened reels. [m]
    """

    reels: tuple[tuple[int, ...], ...]
    too_long: tuple[int, ...]
    bound_n: int
    used_m: float
    waste_m: float

    @property
    def is_proved(self) -> bool:
        """Does no plan exist with fewer reels?"""
        return len(self.reels) == self.bound_n


def cut(lengths_m: Sequence[float], *, reel_m: float, knife_m: float = 0.0, rounds_n: int = ROUNDS) -> Cutting:
    """A plan for these pieces.

    Parameters
    ----------
    lengths_m : of each piece; they are taken up to whole millimetres. [m]
    reel_m : on a reel, taken down to whole millimetres. [m]
    knife_m : lost with each cut. [m]
    rounds_n : of improvement at most.

    Raises
    ------
    ValueError : a length isn't more than nothing, or there are more than `MOST_PIECES`.

    References
    ----------
    .. [1] S. Martello, P. Toth, Lower bounds and reduction procedures for the bin packing problem (1990): bound L2.
    .. [2] J. N. D. Gupta, J. C. Ho, A new heuristic algorithm for the one-dimensional bin-packing problem (1999):
       filling reel by reel with the least left over.
    """
    if len(lengths_m) > MOST_PIECES:
        raise ValueError(f"{len(lengths_m):,} pieces are more than {MOST_PIECES:,}")
    if not reel_m > 0 or knife_m < 0 or not all(0 < each < float("inf") for each in lengths_m):
        raise ValueError("every piece and the reel are longer than nothing")
    knife_mm = _up(knife_m)
    room_mm = int(reel_m * _MM + 1e-6) + knife_mm  # the last cut of a reel costs nothing
    sizes = [_up(each) + knife_mm for each in lengths_m]
    too_long = tuple(number for number, size in enumerate(sizes) if size > room_mm)
    order = sorted((number for number in range(len(sizes)) if sizes[number] <= room_mm), key=lambda n: (-sizes[n], n))
    pieces = [sizes[number] for number in order]
    bound_n = lower_bound_n(pieces, room_mm)
    packed = _packed(pieces, room_mm, bound_n, rounds_n)
    reels = tuple(sorted(tuple(order[place] for place in sorted(reel)) for reel in packed))
    used_m = sum(lengths_m[number] for reel in reels for number in reel)
    return Cutting(reels, too_long, bound_n, used_m, len(reels) * reel_m - used_m)


def lower_bound_n(pieces: Sequence[int], room: int) -> int:
    """Fewest reels any plan can have: the larger of all lengths over a reel, and of bound L2.

    Parameters
    ----------
    pieces : lengths, none longer than `room`, in whole units.

    Notes
    -----
    L2 = max over K <= room / 2 of  N(> room - K) + N(> room / 2, <= room - K) + what pieces of K to room / 2 need
    beyond the room left beside the middle ones.
    """
    if not pieces:
        return 0
    best = -(-sum(pieces) // room)
    for least in {0, *(size for size in pieces if 2 * size <= room)}:
        large = sum(1 for size in pieces if size > room - least)
        middle = [size for size in pieces if 2 * size > room and size <= room - least]
        small = sum(size for size in pieces if least <= size and 2 * size <= room)
        beyond = small - (len(middle) * room - sum(middle))
        best = max(best, large + len(middle) + max(0, -(-beyond // room)))
    return best


def _up(length_m: float) -> int:
    return int(-(-(length_m * _MM - 1e-6) // 1))


# ---- plans: each reel a list of places in `pieces`, which are longest first


def _packed(pieces: Sequence[int], room: int, bound_n: int, rounds_n: int) -> list[list[int]]:
    everything = list(range(len(pieces)))
    plans = (_first_fit, _best_fit, _least_left_over)
    best: list[list[int]] | None = None
    for plan in plans:
        found = plan(pieces, everything, room)
        if best is None or len(found) < len(best):
            best = found
        if len(best) == bound_n:
            return best
    assert best is not None
    return _improved(pieces, best, room, bound_n, rounds_n)


def _first_fit(pieces: Sequence[int], places: Sequence[int], room: int) -> list[list[int]]:
    """Longest first, each from the first reel that has it."""
    reels: list[list[int]] = []
    left: list[int] = []
    for place in places:
        found = next((number for number, rest in enumerate(left) if rest >= pieces[place]), None)
        if found is None:
            reels.append([])
            left.append(room)
            found = len(reels) - 1
        reels[found].append(place)
        left[found] -= pieces[place]
    return reels


def _best_fit(pieces: Sequence[int], places: Sequence[int], room: int) -> list[list[int]]:
    """Longest first, each from the reel on which least is left then."""
    reels: list[list[int]] = []
    left: list[int] = []
    for place in places:
        fits = [number for number, rest in enumerate(left) if rest >= pieces[place]]
        if fits:
            found = min(fits, key=lambda number: (left[number], number))
        else:
            reels.append([])
            left.append(room)
            found = len(reels) - 1
        reels[found].append(place)
        left[found] -= pieces[place]
    return reels


def _least_left_over(pieces: Sequence[int], places: Sequence[int], room: int) -> list[list[int]]:
    """Reel by reel: the longest piece left, then the others that leave least."""
    waiting = list(places)
    reels = []
    while waiting:
        first = waiting[0]
        rest = waiting[1:]
        beside = _fullest(pieces, rest, room - pieces[first])
        reels.append([first, *beside])
        taken = set(beside)
        waiting = [place for place in rest if place not in taken]
    return reels


def _fullest(pieces: Sequence[int], places: Sequence[int], room: int) -> list[int]:
    """Pieces whose lengths together come nearest to `room`, from above never; of equals those with longer pieces.

    Sums that can be reached are bits of one number, so thousands of millimetres are one operation.
    """
    if room <= 0:
        return []
    mask = (1 << (room + 1)) - 1
    reached = [1]
    for place in places:
        now = reached[-1]
        reached.append((now | (now << pieces[place])) & mask)
    total = reached[-1].bit_length() - 1
    chosen = []
    for number in range(len(places) - 1, -1, -1):  # short ones last: what is left out here is what longer ones make up
        if not reached[number] >> total & 1:
            chosen.append(places[number])
            total -= pieces[places[number]]
    return chosen


def _improved(pieces: Sequence[int], start: list[list[int]], room: int, bound_n: int, rounds_n: int) -> list[list[int]]:
    """Empty some reels, among them the emptiest, and fill them anew; kept where no reel more is needed."""
    draw = random.Random(SEED)
    now = best = start
    for _ in range(rounds_n):
        if len(best) <= bound_n:
            break
        tried = _filled_anew(pieces, now, room, draw)
        if _worth(pieces, tried) >= _worth(pieces, now) or draw.random() < 0.02:
            now = tried
        if len(now) < len(best):
            best = now
    return best


def _filled_anew(pieces: Sequence[int], reels: list[list[int]], room: int, draw: random.Random) -> list[list[int]]:
    by_rest = sorted(range(len(reels)), key=lambda number: (sum(pieces[place] for place in reels[number]), number))
    count_n = min(len(reels), draw.randint(3, 12))
    emptied = {by_rest[0], *draw.sample(by_rest, count_n - 1)}
    loose = [place for number in emptied for place in reels[number]]
    draw.shuffle(loose)
    head = draw.randint(0, len(loose))
    loose = sorted(loose[:head]) + sorted(loose[head:])  # longest first, in two batches
    kept = [reel for number, reel in enumerate(reels) if number not in emptied]
    return kept + min(
        (_least_left_over(pieces, loose, room), _best_fit(pieces, sorted(loose), room)),
        key=lambda plan: (len(plan), -_worth(pieces, plan)),
    )


def _worth(pieces: Sequence[int], reels: list[list[int]]) -> int:
    """The more unevenly reels are filled, the nearer is the day one of them is empty."""
    return sum(sum(pieces[place] for place in reel) ** 2 for reel in reels)


def pieces_of(cutting: Cutting) -> Iterator[tuple[int, int]]:
    """Number of the reel, counted from 1, and of the piece, in the order in which they are cut."""
    for number, reel in enumerate(cutting.reels, start=1):
        for piece in reel:
            yield number, piece
