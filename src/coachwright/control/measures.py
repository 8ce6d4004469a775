"""Everything that can be asked of control; the windows themselves stand in the three files named here."""

from coachwright.control import measures_road, measures_show, measures_sound

__all__ = ["measures_road", "measures_show", "measures_sound"]
