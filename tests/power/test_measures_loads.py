"""What can be asked about channels and disconnects, on builds whose channels are settled."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from types import ModuleType

import pytest

from coachwright.build import settling
from coachwright.build.lock import Lock
from coachwright.build.model import Model
from coachwright.kit import measure
from coachwright.kit.measure import Measure
from coachwright.power.allocate import CHANNELS
from tests.power.vehicles import BY_CHANNEL, BY_LINE, NAMES, again, example, read, small, text_of


@pytest.fixture
def windows(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """The windows, with registries of their own: what other tests ask of the rooms stays as it is."""
    monkeypatch.setattr(settling, "SOLVERS", {})
    monkeypatch.setattr(measure, "WINDOWS", {})
    return importlib.reload(importlib.import_module("coachwright.power.measures_loads"))


def with_channels(text: str) -> Model:
    """The build once its channels are settled."""
    settled = settling.settle([read(text)], Lock("build.lock.yaml"), {"channels": CHANNELS})
    return read(text, lock=again(settled))


def ask(windows: ModuleType, name: str, model: Model, **arguments: str) -> tuple[Measure, ...]:
    """A window's answers."""
    answer: Callable[..., tuple[Measure, ...]] = getattr(windows, name)
    return answer(model, **arguments)


def test_the_solver_is_known_once_the_windows_are(windows: ModuleType) -> None:
    """Case: whoever opens the room settles channels; six windows answer."""
    assert settling.SOLVERS == {"channels": windows.CHANNELS}
    assert sorted(measure.WINDOWS) == [
        "power.alternator-behind-disconnect",
        "power.bank-share",
        "power.channel-share",
        "power.memory-behind-disconnect",
        "power.spare-channels-share",
        "power.starter-behind-disconnect",
    ]


@pytest.mark.parametrize("name", NAMES)
def test_channels_of_the_examples_are_within_their_heat(windows: ModuleType, name: str) -> None:
    """Case: every situation of the examples keeps channel and controller under what is left at their heat."""
    model = with_channels(text_of(name))
    for situation in model.situations:
        (channel,) = ask(windows, "channel_share", model, situation=situation.name)
        (bank,) = ask(windows, "bank_share", model, situation=situation.name)
        assert isinstance(channel.value, float)
        assert isinstance(bank.value, float)
        assert 0 <= channel.value <= 1
        assert 0 <= bank.value <= 1
        assert channel.facts["channel"].isdecimal()
        assert bank.facts["bank"] == "all"


def test_a_channel_is_measured_by_its_peak(windows: ModuleType) -> None:
    """Print: on quillback answering, 3 red and 4 white heads of the left front: 7 heads at once, by their sheets.

    Red 3 x 0.62 + 4 x 0.62 A and white 3 x 0.82 + 4 x 0.90 A alternate; the larger over 8.5 A (10 A at 60 degC: 85 %).
    """
    model = with_channels(text_of("quillback"))
    (found,) = ask(windows, "channel_share", model, situation="answering")

    assert found.value == pytest.approx((3 * 0.82 + 4 * 0.90) / 8.5, rel=1e-3)


def test_banks_are_measured_where_there_are_some(windows: ModuleType) -> None:
    """Case: a controller with banks of eight; the worst bank or all of it."""
    model = with_channels(text_of("volunteer-car", (BY_LINE, BY_CHANNEL)))
    (found,) = ask(windows, "bank_share", model, situation="answering")

    assert isinstance(found.value, float)
    assert 0 < found.value <= 1
    assert found.facts["bank"] in {"all", "1", "2", "3", "4", "5", "6"}


@pytest.mark.parametrize(("name", "free_n"), [("quillback", 7), ("volunteer-car", 12), ("service-patrol", 13)])
def test_spare_channels_are_counted(windows: ModuleType, name: str, free_n: int) -> None:
    """Case: the share of 24; before anything is settled there is no number, and the reason is said."""
    (settled,) = ask(windows, "spare_channels_share", with_channels(text_of(name)))
    (before,) = ask(windows, "spare_channels_share", example(name))

    assert settled.value == pytest.approx(free_n / 24)
    assert before.value is None
    assert "settle" in before.why_not


@pytest.mark.parametrize(
    ("change", "lost"),
    [
        (("breaks: main-battery", "breaks: main-battery"), True),
        (("spares: [controller.memory]", "spares: [controller.memory, radio.memory]"), False),
        (("spares: [controller.memory]", "spares: main"), False),
        (("breaks: main-battery", "breaks: radios"), False),
    ],
)
def test_a_radio_that_forgets_is_told(windows: ModuleType, change: tuple[str, str], lost: bool) -> None:
    """Case: its memory hangs on what the disconnect cuts, unless that wire or its feed is spared."""
    (found,) = ask(windows, "memory_behind_disconnect", small(change))

    assert found.value is lost


def test_the_memory_of_the_examples_stays_fed(windows: ModuleType) -> None:
    """Case: quillback keeps its radio on the main battery; service-patrol's van cuts it with the rest."""
    (kept,) = ask(windows, "memory_behind_disconnect", example("quillback"))
    (cut,) = ask(windows, "memory_behind_disconnect", example("service-patrol"))

    assert kept.value is False
    assert cut.value is True
    assert ask(windows, "memory_behind_disconnect", example("volunteer-car")) == ()


@pytest.mark.parametrize(("breaks", "alternator", "starter"), [("main-battery", False, True), ("radios", False, False)])
def test_what_is_behind_the_disconnect(windows: ModuleType, breaks: str, alternator: bool, starter: bool) -> None:
    """Case: one that breaks the main battery breaks the starter with it."""
    model = small(("breaks: main-battery", f"breaks: {breaks}"))

    assert [each.value for each in ask(windows, "alternator_behind_disconnect", model)] == [alternator]
    assert [each.value for each in ask(windows, "starter_behind_disconnect", model)] == [starter]
