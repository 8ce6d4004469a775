"""Which single calculations does the power room offer? Each file below registers its own when it is imported."""

from __future__ import annotations

from coachwright.power import reckoners_supply, reckoners_wire

__all__ = ["reckoners_supply", "reckoners_wire"]
