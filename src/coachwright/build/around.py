"""What is there for functions, limits, stops and promises to name?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from coachwright.build.model import Equipment, Input, Memory, VehicleOutput
from coachwright.parts.schema import AnyPart


@dataclass(frozen=True, slots=True)
class Around:
    """What functions name.

    lost : by section, what exists and could not be understood. whole : sections lost as a whole.
    """

    inputs: Mapping[str, Input]
    memories: Mapping[str, Memory]
    equipment: Mapping[str, Equipment]
    parts: Mapping[str, AnyPart]
    outputs: Mapping[str, VehicleOutput]
    functions: frozenset[str]
    messages: frozenset[str]
    ranks: tuple[str, ...]
    ranks_lost: bool
    lost: Mapping[str, frozenset[str]]
    whole: frozenset[str]

    def is_lost(self, name: str, *sections: str) -> bool:
        """May this name be one that exists in these sections and could not be understood?"""
        return any(section in self.whole or name in self.lost.get(section, ()) for section in sections)
