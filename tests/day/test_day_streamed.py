"""A thermometer that reports all day long: nothing grows without bound, and undo stays true."""

from days import Driven, begun

from assistant.day.commands import Command
from assistant.day.effects import Refused
from assistant.day.events import NoteTaken, ReadingTaken, Source
from assistant.day.quantities import Quantity
from assistant.day.state import State
from assistant.day.undo import STREAMED
from assistant.schedule import Schedule


def streamed(day: Driven, count: int) -> Driven:
    for number in range(count):
        day.wait(1).read(Quantity.MASH_TEMPERATURE, 64.0 + number % 7 / 10, "degC")
    return day


def undone(day: Driven, times: int = 1) -> Driven:
    for _ in range(times):
        day.command(Command.UNDO)
        assert not day.of(Refused)
    return day


def judged(state: State) -> tuple[object, ...]:
    return state.stage, state.readings, state.notes, state.batch, state.timers, state.tasks


def test_only_the_last_of_streamed_readings_are_held_to_be_taken_back(amber: Schedule) -> None:
    day = streamed(begun(amber).command(Command.GRAIN_IN), 3 * STREAMED)
    assert len(day.state.history) == STREAMED + 1
    assert len(day.state.readings) == 3 * STREAMED


def test_what_was_done_before_them_can_still_be_taken_back_and_leaves_them_as_they_were(
    amber: Schedule,
) -> None:
    noted = begun(amber).command(Command.GRAIN_IN)
    noted.happen(NoteTaken(at=noted.at, text="a thick mash"))
    without = Driven(noted.state.history[-1].before, at=noted.at)
    streamed(noted, STREAMED + 20)
    readings = noted.state.readings
    undone(noted, STREAMED + 1)
    assert noted.state.notes == ()
    assert noted.state.readings == readings[:20]
    streamed(without, 20)
    without.wait(STREAMED)
    assert judged(noted.state) == judged(without.state)


def test_a_reading_in_words_is_never_folded(amber: Schedule) -> None:
    day = begun(amber).command(Command.GRAIN_IN)
    for number in range(STREAMED + 10):
        day.wait(10).happen(
            ReadingTaken(
                at=day.at,
                quantity=Quantity.MASH_TEMPERATURE,
                value=64.0 + number % 5 / 10,
                unit="degC",
                source=Source.WORDS,
            )
        )
    assert len(day.state.history) > STREAMED + 10


def test_without_anything_before_them_the_oldest_are_let_go(amber: Schedule) -> None:
    day = begun(amber)
    for number in range(STREAMED + 5):
        day.wait(1).read(Quantity.ROOM_TEMPERATURE, 18.0 + number % 3 / 10, "degC")
    assert len(day.state.history) == STREAMED
    undone(day, STREAMED)
    assert len(day.state.readings) == 5
    assert day.command(Command.UNDO).of(Refused)
