"""What is fitted, fed, carried, marked and drawn, once a build is understood? The part of the Model no lamp speaks of.

Values are SI, names are as in the file, `path` is the build path of what was written.

See Also
--------
coachwright.build.model : the rest, and the Model that holds all of it.
coachwright.build.places : at which place of the body something ends up that stands in a console, tray or locker.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from coachwright.build.condition import Condition, Plus

By = Literal["shop", "customer", "reused"]
"""Who brings a part."""
ShedOrder = int | Literal["never"] | None
"""What is shed first as the battery runs down has 1; None: it is not said."""


@dataclass(frozen=True, slots=True)
class Lamp:
    """A lamp as it was written; its heads are in Model.heads. paired : one on each side. aim, elevation : of the left.

    by : who brings it. sync : name of its sync wire, or "".
    """

    name: str
    part: str
    at: str
    paired: bool
    aim_rad: float
    elevation_rad: float
    sync: str
    by: By
    note: str
    path: str

    @property
    def count_n(self) -> int:
        """How many of the part it is."""
        return 2 if self.paired else 1


@dataclass(frozen=True, slots=True)
class Isolator:
    """Joins two batteries while `join` holds; parts them when `split` does, or else when `join` ends."""

    join: Condition
    split: Condition | None


@dataclass(frozen=True, slots=True)
class Feed:
    """Where power comes from, and when.

    Parameters
    ----------
    source : as written. source_is : what that is: a battery or the alternator of the body, a piece of equipment,
        another feed, or a lamp or output of the vehicle.
    on_while : fed while it holds; always where `hot`. hot : straight off its source.
    below_v, below_held_s : cut off once the battery has stood below that so long; None: never for that reason.
    shed : when it is shed.
    ends_with, ends_before_s : a wire of ours that is told so long before the feed ends, or "".
    sleep_after, sleep_s : what hangs on it sleeps once that has ended for so long; None: it never does.
    """

    name: str
    source: str
    source_is: Literal["main-battery", "second-battery", "alternator", "equipment", "feed", "vehicle"]
    on_while: Condition
    hot: bool
    below_v: float | None
    below_held_s: float
    shed: ShedOrder
    ends_with: str
    ends_before_s: float
    sleep_after: Condition | None
    sleep_s: float
    note: str
    path: str

    @property
    def plus_s(self) -> float:
        """How long it goes on after the rest of its condition has ended; 0 where it ends at once, or never. [s]"""
        return self.on_while.time_ms / 1000 if isinstance(self.on_while, Plus) else 0.0


@dataclass(frozen=True, slots=True)
class Bay:
    """One bay of the console. holds : the word behind its name, "" where there is none.

    equipment : what is fitted in it: that word, or what says it stands here; "" for none.
    """

    name: str
    holds: str
    is_controls: bool
    is_blank: bool
    equipment: str
    path: str


@dataclass(frozen=True, slots=True)
class Console:
    """The console. bays : from front to rear."""

    part: str
    at: str
    bays: tuple[Bay, ...]
    note: str
    path: str


@dataclass(frozen=True, slots=True)
class CargoItem:
    """Something that is carried.

    mass_kg : of one, as written, else of its part. part : "" where there is none. count_n : how many.
    panel : through which it is reached, or "". locks : of a tray. holds : what is in it.
    air : ``cabin``, ``outside``, ``sealed``, or "" where it is not said. volume_m3 : inside; 0 where nobody says.
    hold : what keeps it in place, or "". packed : it is in the vehicle when that leaves the shop.
    """

    name: str
    part: str
    mass_kg: float
    count_n: int
    at: str
    panel: str
    locks: tuple[str, ...]
    holds: tuple[str, ...]
    air: Literal["cabin", "outside", "sealed", ""]
    volume_m3: float
    hold: str
    by: By
    packed: bool
    note: str
    path: str


@dataclass(frozen=True, slots=True)
class Marking:
    """One marking with film: a band along the vehicle, stripes over panels, or a plain field.

    band_m : height of a band, 0 for none; begin, end : what it runs between, or "". slope_rad, width_m : of stripes.
    share : how much of `on` it covers at least; None where it is not said. on : panels, places and faces of the body.
    """

    name: str
    film: str
    kind: Literal["band", "stripes", "field"]
    band_m: float
    begin: str
    end: str
    slope_rad: float
    width_m: float
    share: float | None
    on: tuple[str, ...]
    by: By
    note: str
    path: str


@dataclass(frozen=True, slots=True)
class Glazing:
    """What is done to a pane of the body.

    name : the body's name of it. side : of a pair the one that is meant, "" for both.
    film : a film on its inside, or "". part : the pane that takes its place, or "".
    """

    name: str
    side: Literal["left", "right", ""]
    film: str
    part: str
    by: By
    note: str
    path: str


@dataclass(frozen=True, slots=True)
class Crossing:
    """Two roads that meet at a right angle, on one of which the vehicle comes.

    own_m_s, cross_m_s : speeds of the vehicle and of the one on the other road. [m/s]
    corner_from_cross_m, corner_from_own_m : a building's corner, from the path of the other and from the own one; both
        None in open country. [m]
    side : from which the other comes. grade_share : of the other road toward the crossing, downhill negative.
    """

    name: str
    own_m_s: float
    cross_m_s: float
    corner_from_cross_m: float | None
    corner_from_own_m: float | None
    side: Literal["left", "right", "both"]
    grade_share: float
    note: str
    path: str


@dataclass(frozen=True, slots=True)
class Trailer:
    """A trailer.

    tongue_kg : it lays on the hitch. always : the vehicle never drives without it. lamps : circuit.
    width_m, height_m, length_m : of the box it stands in, from the ground; None where nobody says. drawbar_m : from the
    coupling to that box.
    """

    name: str
    tongue_kg: float
    weight_kg: float
    lamps: str
    always: bool
    note: str
    path: str
    width_m: float | None = None
    height_m: float | None = None
    length_m: float | None = None
    drawbar_m: float = 0.0
