"""Which single calculations does the body room offer? Each file below registers its own when it is imported."""

from __future__ import annotations

from coachwright.body import reckoners_air_and_radio, reckoners_weight

__all__ = ["reckoners_air_and_radio", "reckoners_weight"]
