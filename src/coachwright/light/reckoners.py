"""Which single calculations does the light room offer? Each file below registers its own when it is imported."""

from __future__ import annotations

from coachwright.light import reckoners_material, reckoners_photometry, reckoners_road, reckoners_seeing

__all__ = ["reckoners_material", "reckoners_photometry", "reckoners_road", "reckoners_seeing"]
