"""The room's data files: read whole or refused with the place."""

import pytest

from coachwright.kit.errors import DataWrong
from coachwright.light.colour import colour_fields
from coachwright.light.figures import cite_of, named, table_of
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
