"""Tables: what may stand in them, and how they are looked up."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.table import Cell, Column, Table

BEARINGS = Table(
    (Column("lamp", "word", "Lamp"), Column("light", "luminous-intensity", "Light"), Column("seen", "yes-no")),
    (("grille", 150.0, True), ("corner", 68.0, False), ("tail", None, None), ("visor", 68.0, True)),
)

numbers = st.one_of(st.none(), st.integers(-1000, 1000), st.floats(-1e6, 1e6))
tables = st.lists(st.tuples(st.sampled_from(["a", "b", "c"]), numbers), max_size=12).map(
    lambda rows: Table((Column("name", "word"), Column("value", "length")), tuple(rows))
)


def test_worst_row_is_found_with_its_neighbours_in_it() -> None:
    """Case: the dimmest lamp is the corner lamp, the first of two equals."""
    assert BEARINGS.worst("light", lowest=True) == {"lamp": "corner", "light": 68.0, "seen": False}
    assert BEARINGS.worst("light", lowest=False) == {"lamp": "grille", "light": 150.0, "seen": True}


def test_nothing_measured_has_no_worst_row() -> None:
    """Case: silence is not a pass, so it is not a number either."""
    assert BEARINGS.where({"lamp": "tail"}).worst("light", lowest=True) is None


def test_rows_are_looked_up_by_their_entries() -> None:
    """Case: one lookup by a word, one by two entries."""
    assert BEARINGS.where({"lamp": "grille"}).rows == (("grille", 150.0, True),)
    assert [row["lamp"] for row in BEARINGS.where({"light": 68.0, "seen": True})] == ["visor"]


def test_true_is_not_one() -> None:
    """Case: Python says True == 1; a table of counts and answers must not."""
    counts = Table((Column("n", "count"), Column("ok", "yes-no")), ((1, True), (0, False)))

    assert counts.where({"ok": 1}).rows == ()
    assert counts.where({"n": 1}).rows == ((1, True),)


def test_records_become_rows_and_gaps_stay_unmeasured() -> None:
    """Case: a record that leaves a column out."""
    table = Table.of(BEARINGS.columns, [{"lamp": "grille", "light": 1.0}, {"seen": True}])

    assert table.rows == (("grille", 1.0, None), (None, None, True))
    assert next(iter(table))["lamp"] == "grille"


def test_a_heading_falls_back_on_the_name() -> None:
    """Case: papers never print an empty head."""
    assert Column("dark-time", "time").heading == "dark time"
    assert BEARINGS.columns[0].heading == "Lamp"


@pytest.mark.parametrize(
    ("columns", "rows", "said"),
    [
        ((Column("a", "length"), Column("a", "length")), (), "one name"),
        ((Column("a", "length"),), ((1.0, 2.0),), "row 1 has 2 entries"),
        ((Column("a", "length"),), (("long",),), "'long' is no length"),
        ((Column("a", "length"),), ((True,),), "True is no length"),
        ((Column("a", "length"),), ((math.nan,),), "nan is no length"),
        ((Column("a", "word"),), ((1,),), "1 is no word"),
        ((Column("a", "yes-no"),), ((1,),), "1 is no yes-no"),
    ],
)
def test_what_does_not_fit_is_refused(
    columns: tuple[Column, ...], rows: tuple[tuple[Cell, ...], ...], said: str
) -> None:
    """Case: each way in which rows and columns can disagree, named with its place."""
    with pytest.raises(ValueError, match=said):
        Table(columns, rows)


def test_an_unknown_column_names_the_known_ones() -> None:
    """Case: the message says what there is."""
    with pytest.raises(KeyError, match="there are lamp, light, seen"):
        BEARINGS.column("lihgt")
    with pytest.raises(KeyError, match="there are lamp, light, seen"):
        Table.of(BEARINGS.columns, [{"lihgt": 1.0}])


@given(tables)
def test_sorting_keeps_every_row(table: Table) -> None:
    """Law: sorting is a permutation, ordered, with what was not measured at the end, and done twice changes nothing."""
    ordered = table.sorted_by("value")
    values = [value for value in ordered.column("value") if value is not None]

    assert sorted(map(repr, ordered.rows)) == sorted(map(repr, table.rows))
    assert values == sorted(values, key=float)
    assert all(value is None for value in ordered.column("value")[len(values) :])
    assert ordered.sorted_by("value") == ordered


@given(tables)
def test_worst_is_the_end_of_the_sorted_table(table: Table) -> None:
    """Law: the worst row is one of the table, and no measured row is worse."""
    values = [value for value in table.column("value") if value is not None]
    worst = table.worst("value", lowest=True)
    best = table.worst("value", lowest=False)

    assert (worst is None) == (not values)
    if worst and best:
        assert worst["value"] == min(values, key=float)
        assert best["value"] == max(values, key=float)
        assert worst in list(table)


@given(tables)
def test_equal_tables_are_one_key(table: Table) -> None:
    """Law: a table made again is equal and hashes alike."""
    again = Table(table.columns, tuple(list(row) for row in table.rows))  # type: ignore[misc]

    assert again == table
    assert hash(again) == hash(table)
