"""Which sets of rules judge this job?"""

from __future__ import annotations

from coachwright.build.sections.base import Name, Section

SECTION = Section("packs", "list", Name, "Which sets of rules judge this job?", "packs: [us-road-law, house]")
