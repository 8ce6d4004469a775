"""What is a row of the speed table?"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Agreement:
    """How far two answers to the same question lie apart."""

    holds: bool
    """Whether they are the same within what the row promises."""
    says: str
    """The difference in words and figures, as it is printed."""


@dataclass(frozen=True, slots=True)
class Job:
    """The work of a row at one scale, prepared: only what is called here is timed.

    Whatever a user would pay only once (compiling, reading files) is done before; what is paid each time belongs into
    `ours` and `peer`, alike on both sides.
    """

    ours: Callable[[], object]
    peer: Callable[[], object] | None = None
    agree: Callable[[object, object], Agreement] | None = None
    """Compares the answer of `ours` with the answer of `peer`."""
    size: str = ""
    """How large this is, in words: "60 heads, 936 directions"."""


@dataclass(frozen=True, slots=True)
class Bench:
    """A row timed against a peer."""

    name: str
    """Short and unique: what `python -m benchmarks NAME` asks for."""
    work: str
    """What is done, in a sentence."""
    peer: str
    """Who does the same, with what makes it a fair comparison."""
    goal_times: float
    """How many times faster than the peer it has to be."""
    job: Callable[[int], Job]
    """Prepares the work at scale 1, 2 or 4."""
    packages: tuple[str, ...] = ()
    """Distributions whose versions are printed."""
    threads: Callable[[], str] = field(default=lambda: "1 and 1")
    """Thread counts, ours and the peer's, read when the row has run."""
    growth_at_most: Mapping[int, float] = field(default_factory=dict)
    """Scale -> how many times the time of scale 1 it may take."""
    peer_at: tuple[int, ...] = (1,)
    """The scales at which the peer runs as well."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a trial ended."""

    met: bool
    lines: tuple[str, ...]
    """What was found, with the peer's figure beside each of ours."""


@dataclass(frozen=True, slots=True)
class Trial:
    """A row judged by the worth of its answer (fewer steps, lower peak) and not by its seconds."""

    name: str
    work: str
    peer: str
    goal: str
    """What `met` means, in a sentence."""
    run: Callable[[], Outcome]
    packages: tuple[str, ...] = ()
    threads: Callable[[], str] = field(default=lambda: "1 and 1")


Row = Bench | Trial
