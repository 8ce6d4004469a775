"""Single calculations of the shop room, as somebody types them."""

import pytest

from coachwright.cli.reckon_door import reckon
from coachwright.kit.reckoner import InputRefused


def test_learning_through_the_door() -> None:
    """85 %, twelve vehicles, first 100 h: 824.4 h (Heizer and Render, table E.3); 80 % by Wright 160 h for two."""
    unit = reckon("learning", ["rate=85 %", "first=100 h", "from=1", "to=12", "convention=unit"])
    average = reckon("learning", ["rate=80 %", "first=100 h", "from=1", "to=2", "convention=average"])

    assert unit.value("hours") == pytest.approx(824.4, abs=0.06)
    assert average.value("hours") == pytest.approx(160.0)


def test_network_through_the_door() -> None:
    """Eight activities: 15 weeks over A-C-E-G-H, by 16 weeks 0.7146 (Heizer and Render, from memory)."""
    tasks = "A 1 2 3; B 2 3 4; C(A) 1 2 3; D(A,B) 2 4 6; E(C) 1 4 7; F(C) 1 2 9; G(D,E) 3 4 11; H(F,G) 1 2 3"
    done = reckon("network", [f"tasks={tasks}", "by=16"])

    assert done.value("critical_path") == "A-C-E-G-H"
    assert done.value("probability") == pytest.approx(0.7146, abs=2e-4)
    assert "probability" not in reckon("network", [f"tasks={tasks}"]).as_json()["results"]


def test_order_through_the_door() -> None:
    """200 at once, 5 orders, 100 a year (operations textbook); with breaks 1000 at 4.80 (Heizer, memory)."""
    plain = reckon("order-size", ["demand=1000", "order_cost=10", "holding=0.5"])
    breaks = reckon(
        "order-size", ["demand=5000", "order_cost=49", "holding=0.2", "breaks=1 @ 5, 1000 @ 4.8, 2000 @ 4.75"]
    )

    assert [plain.value(key) for key in ("quantity", "orders", "yearly_cost")] == pytest.approx([200.0, 5.0, 100.0])
    assert [breaks.value(key) for key in ("quantity", "price")] == pytest.approx([1000.0, 4.8])


def test_sample_through_the_door() -> None:
    """Two bad of a hundred pass a sample of twenty with 0.6384, by hand; and safety is told to be tested whole."""
    done = reckon("sample-risk", ["lot=100", "bad=2", "sample=20", "accept=0"])

    assert done.value("accept_probability") == pytest.approx(0.6384, abs=5e-5)
    assert "every vehicle" in done.as_text()


@pytest.mark.parametrize(
    ("name", "words", "says"),
    [
        ("learning", ["rate=85 %", "first=1 h", "from=3", "to=2", "convention=unit"], "no less"),
        ("network", ["tasks=A(B) 1"], "which isn't here"),
        ("order-size", ["demand=1", "order_cost=1", "holding=20", "breaks=1 @ 5"], "share of the price"),
        ("order-size", ["demand=1", "order_cost=1", "holding=0.2", "breaks=10 @ 5"], "Begin with 1"),
        ("order-size", ["demand=1", "order_cost=1", "holding=0.2", "breaks=1 @ 5, 9 @ 6"], "rise or stand twice"),
        ("order-size", ["demand=1", "order_cost=1", "holding=0.2", "breaks=1 @ 5, 1 @ 4"], "rise or stand twice"),
        ("sample-risk", ["lot=10", "bad=11", "sample=1", "accept=0"], "no more bad"),
    ],
)
def test_what_cant_be_answered_says_what_to_write(name: str, words: list[str], says: str) -> None:
    """Law: one line, with the way out."""
    with pytest.raises(InputRefused, match=says):
        reckon(name, words)
