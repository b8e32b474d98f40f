"""The sample day, word for word, and how it sounds from two metres away."""

import pytest
from golden import GOLDEN, as_text, golden_day

from assistant.day.effects import Why
from assistant.rehearsal.rehearsed import Line, Rehearsed, Who


@pytest.fixture(scope="module")
def day() -> Rehearsed:
    return golden_day()


def spoken(day: Rehearsed) -> list[Line]:
    return [line for line in day.log if line.who is Who.PROGRAM]


def test_every_word_is_as_it_was_when_last_read_by_a_person(day: Rehearsed) -> None:
    assert as_text(day) == GOLDEN.read_text(), "run python tests/golden.py and read the difference"


def test_no_prompt_is_longer_than_twenty_words(day: Rehearsed) -> None:
    assert [line.text for line in spoken(day) if len(line.text.split()) > 20] == []


def test_no_figure_has_more_places_than_a_brewer_says(day: Rehearsed) -> None:
    import re

    for line in spoken(day):
        for figure in re.findall(r"\d+\.\d+", line.text):
            places = len(figure.split(".")[1])
            assert places <= (3 if figure.startswith(("0.9", "1.0", "1.1")) else 2), line.text


def test_the_program_asks_no_more_than_thirty_times(day: Rehearsed) -> None:
    assert sum(line.why is Why.QUESTION for line in spoken(day)) <= 30
