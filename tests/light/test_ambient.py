"""Light and air round a warning: every figure with its source, and drafts that stay drafts."""

import pytest

from coachwright.build.load import read_build
from coachwright.kit.errors import DataWrong
from coachwright.light import ambient as rooms_own
from coachwright.light.ambient import ambient, ambients
from coachwright.light.blinded_measures import glare_veil
from coachwright.light.crossing_measures import crossing_margin
from coachwright.light.emitter_measures import emitter_time
from coachwright.light.ground_measures import ground_evenness, ground_light
from coachwright.light.notice_measures import near_light
from coachwright.parts.store import load_catalogue
from coachwright.rules.load import load_packs, pack_names
from coachwright.rules.schema import Rule

CATALOGUE = load_catalogue()
ROOMS = frozenset({"body", "control", "flash", "light", "power", "shop", "sound"})
ASKING = [
    rule
    for pack in load_packs(pack_names(), registry={}, missing_rooms=ROOMS)[0]
    for rule in pack.rules
    if "ambient" in rule.with_
]
BUILD = """
coachwright: 1
job: {name: Air, customer: nobody, number: T-1, revision: A}
vehicle: {body: crew-cab-pickup-with-cap}
lamps: {one: {part: short-red-white, at: grille, pair: mirrored}}
feeds: {box: {from: main-battery, on-while: hot}}
equipment: {emitter: {part: emitter-opt, at: windshield-top, feed: box}}
functions:
  warning: {rank: warn, when: brake, show: [{on: one, red: single}]}
situations:
  moving: {brake: "on", gear: D, speed: 40 mph}
"""


@pytest.mark.parametrize("rule", ASKING, ids=lambda rule: rule.code)
def test_a_rule_is_no_surer_than_the_ambient_it_asks_in(rule: Rule) -> None:
    """Law: where the threshold was never read the rule is a draft."""
    around = ambients()[str(rule.with_["ambient"])]

    assert rule.is_draft or around.cite.status != "draft"


def test_there_are_rules_that_ask_in_each_light() -> None:
    """Law: the law above is about something, drafts included."""
    assert {rule.with_["ambient"] for rule in ASKING} >= {"day", "fog", "lit-night"}


def test_darker_light_lets_less_be_noticed() -> None:
    """Law: by day most is needed, on a dark night least; fog is day in thick air."""
    assert ambient("day").noticed_lx > ambient("lit-night").noticed_lx > ambient("night").noticed_lx
    assert ambient("fog").noticed_lx == ambient("day").noticed_lx
    assert ambient("fog").visibility_m < ambient("day").visibility_m
    assert [name for name, found in ambients().items() if found.dark] == ["night", "lit-night"]


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"dark": "perhaps"}, "dark is yes or no"),
        ({"noticed-lx": "0"}, "more than 0"),
        ({"visibility-m": "far"}, "is no number"),
    ],
)
def test_a_figure_that_is_none_is_refused(monkeypatch: pytest.MonkeyPatch, said: dict[str, str], why: str) -> None:
    """Case: the data file is read as strictly as any other."""
    cite = {"source": "house practice", "status": "house"}
    one = {"title": "dusk", "dark": "no", "noticed-lx": "1", "visibility-m": "9", "cite": cite} | said
    monkeypatch.setattr(rooms_own, "tables_in", lambda room, file: {"dusk": one})
    ambients.cache_clear()
    with pytest.raises(DataWrong, match=why):
        ambients()
    monkeypatch.undo()
    ambients.cache_clear()


def test_a_rule_whose_figures_make_no_sense_is_not_measured() -> None:
    """Case: a shop's own pack may ask for anything; the answer says why there is none."""
    model = read_build(BUILD, file="build.yaml", catalogue=CATALOGUE).model
    assert model is not None
    found = [
        *crossing_margin(model, situation="moving", ambient="day", own=0.0, cross=10.0),
        *crossing_margin(model, situation="moving", ambient="day", own=9.0, cross=10.0, from_cross=5.0),
        *glare_veil(model, situation="moving", nearest=0.0),
        *glare_veil(model, situation="moving", aside=0.0),
        *near_light(model, situation="moving", nearest=5.0, farthest=2.0),
        *ground_light(model, situation="moving", near=3.0, far=1.0),
        *ground_evenness(model, situation="moving", near=3.0, far=1.0),
        *emitter_time(model, speed=0.0),
    ]

    assert [measure.value for measure in found] == [None] * 8
    assert all(measure.why_not.startswith("the rule's ") for measure in found)
