"""Everything that can be asked of control; the windows themselves stand in the five files named here."""

from coachwright.control import measures_proved, measures_required, measures_road, measures_show, measures_sound

__all__ = ["measures_proved", "measures_required", "measures_road", "measures_show", "measures_sound"]
