"""What may the file of an operation of labour say?"""

from __future__ import annotations

from typing import Literal

from coachwright.kit.fields import Count, Name, Share, Text, Time
from coachwright.parts.base import PartBase


class LabourPart(PartBase):
    """One operation of the shop. Its price is that of one hour of one person.

    hours : it takes the first time, all people working. [s] per : for each of what. people : it needs at once.
    station : where it is done. learning : time of the second piece against the first. needs : before it, in words.
    """

    kind: Literal["labour"]
    hours: Time
    per: Literal["piece", "metre", "head"] = "piece"
    people: Count = 1
    station: Name
    learning: Share = 1.0
    needs: Text = ""
