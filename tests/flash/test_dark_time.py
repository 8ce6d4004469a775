"""How long a light is dark between two flashes, worked out with a pencil."""

import pytest

from coachwright.build.load import read_build
from coachwright.flash.measures import dark_time
from coachwright.parts.store import load_catalogue

BUILD = """
coachwright: 1
job: {{name: Dark}}
vehicle: {{body: crew-cab-pickup-with-cap}}
lamps: {{one: {{part: short-red-white, at: grille.left}}}}
controls: {{slide: {{kind: slide, positions: ["off", full], at: console.panel}}}}
functions:
  warning: {{rank: warn, by: slide, levels: {{full: [{{on: one, red: "{red}"}}]}}}}
situations: {{calling: {{slide: full, stands-for: calling}}}}
"""


def asked(red: str) -> list[object]:
    """The answers for one lamp that shows this."""
    loaded = read_build(BUILD.format(red=red), catalogue=load_catalogue())
    assert loaded.model is not None, [dict(finding.values) for finding in loaded.findings]
    return [each.value for each in dark_time(loaded.model, situation="calling")]


@pytest.mark.parametrize(
    ("red", "expected_s"),
    [("lit 200 ms, dark 300 ms", 0.3), ("lit 50 ms, dark 50 ms, lit 50 ms, dark 350 ms", 0.35)],
)
def test_a_train_of_pulses_is_one_flash_as_sae_j595_has_it(red: str, expected_s: float) -> None:
    """One pulse or a train of pulses counts as one flash (SAE J595, 2021, public page): the gap after the train."""
    assert asked(red) == [pytest.approx(expected_s)]


def test_a_steady_light_has_no_dark_time() -> None:
    """Law: what doesn't flash isn't asked."""
    assert asked("steady 50 %") == []
