"""docs/control.md: every example on the page is a story that the machine lives through."""

from __future__ import annotations

import re

import pytest

from tests.control.page import PAGE, Story, begin, do, is_true, stories

STORIES = tuple(stories())


@pytest.mark.parametrize("story", STORIES, ids=lambda story: story.place)
def test_the_page_says_what_the_machine_does(story: Story) -> None:
    """docs/control.md: the project's own language, so its page is the source."""
    told = begin(story)
    for done, then in story.steps:
        do(told, story, done)
        assert [said for said in then if not is_true(told, said)] == [], f"after: {done}"


@pytest.mark.parametrize("story", STORIES, ids=lambda story: story.place)
def test_an_example_is_not_true_before_it_begins(story: Story) -> None:
    """Law: what a line claims isn't all true in a machine to which nothing was done, or it would show nothing."""
    claims = [said for done, then in story.steps for said in then if not done.startswith(("nothing", "at power-up"))]
    told = begin(story)

    assert not claims or any(not is_true(told, said) for said in claims)


def test_every_section_but_the_words_has_an_example() -> None:
    """docs/control.md: each section that decides something shows it."""
    headings = re.findall(r"^## (.*)$", PAGE.read_text(encoding="utf-8"), re.MULTILINE)
    shown = {story.place.rpartition("-")[0] for story in STORIES}

    lacking = {heading for heading in headings if heading.lower().replace(" ", "-") not in shown}
    assert lacking == {"Situations"}  # tests/control/test_situations.py holds those
