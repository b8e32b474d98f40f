"""The line of what waits to be said: the most urgent first, nothing twice, no endless queue."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.speaking.chimes import Chime
from assistant.speaking.waiting import MOST_WAITING, Item, Urgency, WaitingLine


def item(text: str, urgency: Urgency) -> Item:
    return Item(text=text, urgency=urgency)


def in_order(line: WaitingLine) -> list[str]:
    texts = []
    while line.first is not None:
        texts.append(line.first.text)
        line.remove(line.first)
    return texts


@given(st.lists(st.sampled_from(Urgency), max_size=10))
def test_the_most_urgent_comes_first_and_of_those_the_oldest(urgencies: list[Urgency]) -> None:
    line = WaitingLine()
    for place, urgency in enumerate(urgencies):
        line.add(item(f"{place}", urgency))
    wanted = sorted(range(len(urgencies)), key=lambda place: (-urgencies[place], place))
    assert in_order(line) == [f"{place}" for place in wanted]


def test_the_same_words_wait_once_at_the_higher_urgency() -> None:
    line = WaitingLine()
    line.add(item("Mash temperature?", Urgency.PROMPT))
    line.add(item("Noted.", Urgency.READBACK))
    line.add(item("Mash temperature?", Urgency.QUESTION))
    line.add(item("Noted.", Urgency.PROMPT))
    assert in_order(line) == ["Mash temperature?", "Noted."]


def test_what_was_cut_short_comes_before_others_of_its_urgency() -> None:
    line = WaitingLine()
    line.add(item("later", Urgency.PROMPT))
    line.again(item("cut", Urgency.PROMPT))
    line.add(item("noted", Urgency.READBACK))
    assert in_order(line) == ["noted", "cut", "later"]


def test_of_too_many_the_oldest_of_the_least_urgent_is_dropped_but_never_an_alarm() -> None:
    line = WaitingLine()
    for number in range(3):
        line.add(item(f"alarm {number}", Urgency.ALARM))
    line.add(item("question", Urgency.QUESTION))
    for number in range(MOST_WAITING + 5):
        line.add(item(f"prompt {number}", Urgency.PROMPT))
    texts = in_order(line)
    assert texts[:4] == ["alarm 0", "alarm 1", "alarm 2", "question"]
    assert texts[4] == "prompt 6"
    assert len(texts) == 3 + MOST_WAITING


CUTS = {
    (Urgency.ALARM, Urgency.WARNING),
    *((Urgency.ALARM, other) for other in (Urgency.QUESTION, Urgency.READBACK, Urgency.PROMPT)),
    *((Urgency.WARNING, other) for other in (Urgency.QUESTION, Urgency.READBACK, Urgency.PROMPT)),
}


@pytest.mark.parametrize(("new", "sounding"), list(itertools.product(Urgency, Urgency)))
def test_alarms_and_warnings_alone_cut_short_and_only_what_matters_less(
    new: Urgency, sounding: Urgency
) -> None:
    coming = Item(text="new", urgency=new, chime=Chime.DUE)
    assert coming.outranks(item("old", sounding)) == ((new, sounding) in CUTS)


def test_a_hush_leaves_what_matters_and_was_not_heard_at_all() -> None:
    line = WaitingLine()
    for urgency in Urgency:
        line.add(item(urgency.name, urgency))
    begun = item("begun", Urgency.ALARM)
    begun.begun = True
    line.again(begun)
    line.hush()
    assert in_order(line) == ["ALARM", "WARNING"]


def test_an_item_is_ready_with_its_chime_or_with_its_words() -> None:
    assert not item("words", Urgency.PROMPT).ready
    assert Item(text="words", urgency=Urgency.ALARM, chime=Chime.DUE).ready
    assert Item(urgency=Urgency.ALARM, chime=Chime.DUE).rendered
