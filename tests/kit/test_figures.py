"""A room's data files: read whole or refused with the place."""

import pytest

from coachwright.kit.cite import Cite
from coachwright.kit.errors import DataWrong
from coachwright.kit.figures import cite_of, named, number_of, numbers_of, source_of, table_of, tables_in
from coachwright.light.colour import colour_fields
from coachwright.light.retro import film_figures


def test_read_figures_say_where_and_when() -> None:
    """Law: a figure counts as read only with source and date; laws we read are those of the CFR (2015 edition)."""
    cites = {field.cite for field in colour_fields()} | {figure.cite for figure in film_figures()}
    read = {cite.source[:10] for cite in cites if cite.status == "read"}

    assert read == {"49 CFR 571", "49 CFR 224"}
    assert all(cite.checked_on for cite in cites if cite.status == "read")


def test_what_is_said_to_be_from_memory_is_draft() -> None:
    """Law: memory never turns green."""
    cites = {field.cite for field in colour_fields()} | {figure.cite for figure in film_figures()}

    assert {cite.status for cite in cites if "memory" in cite.source} == {"draft"}


def test_wrong_data_is_refused_with_its_place() -> None:
    """Law: the file and what is wrong are in the text."""
    with pytest.raises(DataWrong, match=r"films\.yaml: a table"):
        table_of("word", "films.yaml")
    with pytest.raises(DataWrong, match="title is missing"):
        named({}, "title", "films.yaml")
    with pytest.raises(DataWrong, match="status 'sure'"):
        cite_of({"cite": {"source": "s", "status": "sure"}}, "films.yaml")


@pytest.mark.parametrize("text", ["word", "nan", "inf", ""])
def test_a_figure_is_a_finite_number(text: str) -> None:
    """Law: what isn't a number is refused with its place."""
    assert numbers_of({"a": "1.5"}, "f.yaml") == {"a": 1.5}
    with pytest.raises(DataWrong, match=r"f\.yaml, b: .* is no number"):
        numbers_of({"b": text}, "f.yaml")
    with pytest.raises(DataWrong, match="is no number"):
        number_of(["1"], "f.yaml")


def test_a_file_is_read_whole() -> None:
    """Case: the table of films, by its room and name."""
    assert "dot-c2" in table_of(tables_in("coachwright.light", "retroreflection.yaml")["films"], "films")


def test_a_cite_that_was_not_read_prints_as_draft() -> None:
    """Law: only a page somebody read is called read."""
    read = source_of(Cite("49 CFR 1", edition="2015", clause="a", checked_on="2026-11-25", status="read"))

    assert (str(read), read.state) == ("49 CFR 1, 2015, a", "read")
    assert {source_of(Cite("a", status=status)).state for status in ("draft", "house", "contract")} == {"draft"}  # type: ignore[arg-type]
