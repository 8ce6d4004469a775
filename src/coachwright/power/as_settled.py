"""The harness with every wire as it is: fixed by the lead, held by the lock, or sized.

See Also
--------
coachwright.power.harness : what it consists of. coachwright.power.sizes : the wires.
"""

from __future__ import annotations

from coachwright.build.model import Model
from coachwright.kit.by_digest import by_digest
from coachwright.power.harness import Harness, harness_of
from coachwright.power.sizes import wires_by_subject


@by_digest
def settled_harness(model: Model) -> Harness:
    """The harness of a build."""
    return harness_of(model, sizes=wires_by_subject(model))
