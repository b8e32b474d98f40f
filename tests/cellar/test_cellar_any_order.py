"""Whatever is said of a beer, read or done, in whatever order, what is believed holds together."""

import math
import re
from dataclasses import replace

from any_visits import ANY_BEER, ANY_VISITS, BEERS, SCHEDULES, Step, event_of
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.cellar.advance import advance
from assistant.cellar.assessing import Progress, assess
from assistant.cellar.coming import Kind
from assistant.cellar.dates import coming, due
from assistant.cellar.events import BeerEvent, Errand, VisitBegan, brewing_of, visits_of
from assistant.cellar.history import can_be_undone
from assistant.cellar.listening import listening
from assistant.cellar.state import CellarState, new_beer
from assistant.day.commands import Command
from assistant.day.ear_troubles import Ear
from assistant.day.effects import Effect, Refused, Say, Why
from assistant.day.events import CommandGiven, HeardUnsurely, NoteTaken, TimePassed
from assistant.day.sensor_state import Sensing
from assistant.record.codec import beer_from, beer_text, event_from, event_text
from assistant.visit_wire import beer_json

WEEKS = settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow])


def begun(of: tuple[int, int]) -> CellarState:
    schedule, beer = SCHEDULES[of[0]], BEERS[of[1]]
    state, _ = advance(
        new_beer(schedule, beer), VisitBegan(at=beer.pitched_s + 3600, errand=Errand.TEND)
    )
    return state


def told(
    of: tuple[int, int], steps: list[Step]
) -> list[tuple[CellarState, BeerEvent, CellarState, tuple[Effect, ...]]]:
    """Each event with the beer before it and after, and what it came to."""
    state, found = begun(of), []
    for step in steps:
        event = event_of(state, step)
        after, effects = advance(state, event)
        found.append((state, event, after, effects))
        state = after
    return found


def alike(state: CellarState) -> CellarState:
    """A beer without what undo leaves as it was: numbers, and what was told of ear and sensors."""
    return replace(
        state,
        next_id=0,
        spoken="",
        now_s=0.0,
        doubt=None,
        ear=Ear(),
        sensing=Sensing(),
        doubted=(),
        record=None,
        incidents=(),
    )


def goes_back(event: BeerEvent) -> bool:
    return isinstance(event, CommandGiven) and event.command in (Command.UNDO, Command.NO)


@WEEKS
@given(ANY_BEER, ANY_VISITS)
def test_a_beer_is_the_fold_of_its_events(of: tuple[int, int], steps: list[Step]) -> None:
    day = told(of, steps)
    again = begun(of)
    for _, event, _, _ in day:
        kind, body = event_text(event)
        read = event_from(kind, body, "row 1 of day 1")
        assert read == event
        again, _ = advance(again, read)
    if day:
        assert again == day[-1][2]
        assert again.history == day[-1][2].history
    beer = again.beer
    assert beer_from(beer_text(beer), "day 1") == beer


@WEEKS
@given(ANY_BEER, ANY_VISITS)
def test_what_is_refused_changes_nothing(of: tuple[int, int], steps: list[Step]) -> None:
    for before, event, after, effects in told(of, steps):
        if any(isinstance(effect, Refused) for effect in effects):
            passed, _ = advance(before, TimePassed(at=event.at))
            assert after == passed


@WEEKS
@given(ANY_BEER, ANY_VISITS)
def test_undo_restores_the_beer_before(of: tuple[int, int], steps: list[Step]) -> None:
    for before, event, after, effects in told(of, steps):
        passed, _ = advance(before, TimePassed(at=event.at))
        refused = any(isinstance(effect, Refused) for effect in effects)
        if can_be_undone(event) and not refused and not goes_back(event) and not before.doubt:
            assert len(after.history) == min(len(before.history) + 1, 50)
            undone, _ = advance(after, CommandGiven(at=after.now_s, command=Command.UNDO))
            assert alike(undone) == alike(passed)


@WEEKS
@given(ANY_BEER, ANY_VISITS, st.sampled_from([0.0, 3600.0, 86400.0, 5 * 86400.0]))
def test_undo_leaves_what_time_alone_would_have_come_to(
    of: tuple[int, int], steps: list[Step], wait_s: float
) -> None:
    for before, event, after, effects in told(of, steps):
        refused = any(isinstance(effect, Refused) for effect in effects)
        if can_be_undone(event) and not refused and not goes_back(event) and not before.doubt:
            later_s = event.at + wait_s
            alone, _ = advance(before, TimePassed(at=event.at))
            alone, _ = advance(alone, TimePassed(at=later_s))
            waited, _ = advance(after, TimePassed(at=later_s))
            undone, _ = advance(waited, CommandGiven(at=later_s, command=Command.UNDO))
            assert {each.key for each in undone.opened} == {each.key for each in alone.opened}
            assert alike(replace(undone, opened=())) == alike(replace(alone, opened=()))
            assert advance(undone, TimePassed(at=later_s)) == (undone, ())


@WEEKS
@given(ANY_BEER, ANY_VISITS)
def test_what_falls_due_is_told_once_a_visit(of: tuple[int, int], steps: list[Step]) -> None:
    once: list[str] = []
    for _, event, after, effects in told(of, steps):
        if isinstance(event, VisitBegan):
            once = []
        reminders = [e.text for e in effects if isinstance(e, Say) and e.why is Why.REMINDER]
        for text in reminders:
            assert text not in once, f"{text!r} was told already"
        once += reminders
        assert {each.key for each in due(after)} <= {opened.key for opened in after.opened}
        assert len({opened.task.id for opened in after.opened}) == len(after.opened)
        again, silence = advance(after, TimePassed(at=after.now_s))
        assert (again, silence) == (after, ())


@WEEKS
@given(ANY_BEER, ANY_VISITS)
def test_what_is_to_come_is_in_order_and_packaging_last(
    of: tuple[int, int], steps: list[Step]
) -> None:
    for _, _, state, _ in told(of, steps):
        ahead = coming(state)
        moments = [each.at_s for each in ahead]
        assert all(math.isfinite(at_s) and at_s >= state.beer.pitched_s for at_s in moments)
        assert moments == sorted(moments)
        assert len({each.key for each in ahead}) == len(ahead)
        for each in ahead:
            low_s, high_s = (each.at_s if s is None else s for s in (each.low_s, each.high_s))
            assert low_s <= each.at_s <= high_s
        if state.packaged is None:
            assert ahead[-1].kind is Kind.PACKAGE
        else:
            assert [each.kind for each in ahead] == [Kind.READY]
        beer_json(state)


@WEEKS
@given(ANY_BEER, ANY_VISITS)
def test_no_sentence_has_more_than_twenty_words(of: tuple[int, int], steps: list[Step]) -> None:
    for _, event, _, effects in told(of, steps):
        if isinstance(event, NoteTaken):
            continue
        for effect in effects:
            if isinstance(effect, Say):
                for sentence in re.split(r"(?<=[.?!]) ", effect.text):
                    assert len(sentence.split()) <= 20, sentence


@WEEKS
@given(ANY_BEER, ANY_VISITS)
def test_what_can_be_heard_can_be_told(of: tuple[int, int], steps: list[Step]) -> None:
    for _, _, state, _ in told(of, steps):
        context = listening(state)
        assert all(low <= high for low, high in context.likely.values())
        assert context.expected.keys() <= context.likely.keys()


@WEEKS
@given(ANY_BEER, ANY_VISITS)
def test_a_doubt_is_on_no_record_until_it_is_settled(
    of: tuple[int, int], steps: list[Step]
) -> None:
    for before, event, after, _ in told(of, steps):
        if isinstance(event, HeardUnsurely) and after.doubt is not None:
            passed, _ = advance(before, TimePassed(at=event.at))
            assert replace(after, doubt=None, spoken="", ear=Ear()) == replace(
                passed, doubt=None, spoken="", ear=Ear()
            )


@WEEKS
@given(ANY_BEER, ANY_VISITS)
def test_only_the_hydrometer_calls_it_finished_and_only_yes_packages_what_is_not(
    of: tuple[int, int], steps: list[Step]
) -> None:
    for before, event, after, _ in told(of, steps):
        if assess(after).progress is Progress.FINISHED:
            read = [reading for reading in after.readings if reading.by_hydrometer]
            assert len(read) >= 2
            assert read[-1].at - read[0].at >= 3 * 86400 - 1
        if after.packaged is not None and before.packaged is None:
            passed, _ = advance(before, TimePassed(at=event.at))
            finished = assess(passed).progress is Progress.FINISHED
            assert finished or passed.unwise or before.doubt or goes_back(event)
            assert finished or after.packaged.sugar_g is None


@WEEKS
@given(ANY_BEER, ANY_VISITS)
def test_every_row_of_a_visit_is_the_beers(of: tuple[int, int], steps: list[Step]) -> None:
    began = VisitBegan(at=0.0, errand=Errand.TEND)
    events = [
        event
        for _, event, after, effects in told(of, steps)
        if not any(isinstance(effect, Refused) for effect in effects)
    ]
    assert visits_of([began, *events]) == (began, *events)
    assert brewing_of([began, *events]) == ()
