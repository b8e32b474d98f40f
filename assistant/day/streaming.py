"""Sensors that report by themselves: believed at once, acted on and spoken of seldom.

A thermometer that reports every half minute tells the sums how the kettle goes, and answers what
is asked. But nobody wants to hear of each of its readings, nor to be advised anew by each: the day
goes by what is asked, as without a sensor, and looks at an unasked reading now and then only.
"""

from dataclasses import replace
from itertools import takewhile

from assistant.advice.actions import Do
from assistant.advice.batch import Place
from assistant.advice.timeline import Stage
from assistant.day.events import ReadingTaken, Source
from assistant.day.hot_side import THERMOMETER
from assistant.day.quantities import Quantity
from assistant.day.sensor_state import Stream
from assistant.day.state import Reading, State
from assistant.day.turn import Turn
from assistant.day.unrest import RESTS_S

ACTS_EVERY_S = 300.0
"""Unasked readings are acted on this far apart: by then a mash that was stirred or warmed is even
again. A heating or a cooling under way is followed by each of them, in silence."""

DOUBTED_AGAIN_S = 1800.0
"""A sensor that goes on showing what can't be is told of again after this."""

STALLS_S, STALLS_K, STALLS_BELOW_K = 600.0, 1.0, 3.0
"""A kettle on a heater of any use gains more than this in so long, unless it is nearly there."""

STALLED = "It gets no warmer. Is the heat on, and the sensor in the kettle?"

IN_KETTLE = frozenset(THERMOMETER)
ACTED_ON = IN_KETTLE | {Quantity.ROOM_TEMPERATURE, Quantity.FERMENTER_TEMPERATURE}
"""What is acted on unasked. All else is on record only, until it is asked for: a gravity or a
volume is worth something when the wort was stirred and cooled for it, and level."""

FOLLOWED = (Do.HEAT, Do.CHILL)
SETTLES = (Do.HEAT_FOR, Do.ADD_WATER)
"""While this is being done, and for a while after it, a reading tells little."""


def reports(event: ReadingTaken) -> bool:
    """Whether a reading came from a sensor that reports by itself."""
    return event.source is Source.STREAM


def as_placed(state: State, event: ReadingTaken) -> ReadingTaken:
    """A sensor's reading under the name of what it hangs in: one kettle holds water, mash, wort."""
    if not reports(event) or event.quantity not in IN_KETTLE:
        return event
    asked = (ask.quantity for ask in state.asks if ask.quantity in IN_KETTLE)
    return replace(event, quantity=next(asked, CONTENT.get(state.stage, event.quantity)))


CONTENT = dict.fromkeys(Stage, Quantity.KETTLE_TEMPERATURE) | {
    Stage.GATHER: Quantity.WATER_TEMPERATURE,
    Stage.STRIKE: Quantity.WATER_TEMPERATURE,
    Stage.DOUGH_IN: Quantity.WATER_TEMPERATURE,
    Stage.MASH: Quantity.MASH_TEMPERATURE,
}


def hangs_in_nothing(state: State, quantity: Quantity) -> bool:
    """Whether a sensor has no wort to read any more: it is in the fermenter."""
    return quantity in IN_KETTLE and state.batch.place is Place.FERMENTER


def wanted(state: State) -> frozenset[Quantity]:
    """The quantities whose sensors are asked for now, whichever name they go by."""
    asked = frozenset(ask.quantity for ask in state.asks)
    return asked | IN_KETTLE if asked & IN_KETTLE else asked


def acts(turn: Turn, quantity: Quantity, *, asked: bool) -> bool:
    """Whether a reading is acted on, as is noted; otherwise it is only believed."""
    before = turn.state.stream(_sensor(quantity))
    settles = quantity in IN_KETTLE and turn.has_task(*SETTLES)
    followed = quantity in IN_KETTLE and (
        turn.has_task(*FOLLOWED) or turn.state.stage is Stage.BOIL_UP
    )
    rested = before.acted_s is None or turn.now_s - before.acted_s >= ACTS_EVERY_S
    acted = asked or (quantity in ACTED_ON and not settles and (followed or rested))
    if acted or settles:
        _note(turn, replace(before, acted_s=turn.now_s))
    return acted


def doubted_aloud(turn: Turn, quantity: Quantity) -> bool:
    """Whether a reading that can't well be is spoken of, as is noted.

    Once as they begin, then again after they were likely for a while, or after a long time.
    """
    before, now_s = turn.state.stream(_sensor(quantity)), turn.now_s
    aloud = (
        before.doubted_s is None
        or now_s - before.doubted_s >= DOUBTED_AGAIN_S
        or (before.fine_s is not None and now_s - before.fine_s >= RESTS_S)
    )
    if aloud or before.fine_s is not None:
        doubted_s = now_s if aloud else before.doubted_s
        _note(turn, replace(before, doubted_s=doubted_s, fine_s=None))
    return aloud


def stalls(turn: Turn, reading: Reading) -> bool:
    """Whether a kettle that is being heated has long shown no heating, as is noted, and is news.

    As a sensor postpones what would be asked, nobody else would find it.
    """
    state, before = turn.state, turn.state.stream(_sensor(reading.quantity))
    tasks = [task for task in state.tasks if task.action.do is Do.HEAT]
    since_s = max(turn.now_s - STALLS_S, state.reached[-1].at if state.reached else 0.0)
    told = before.stalled_s is not None and turn.now_s - before.stalled_s < DOUBTED_AGAIN_S
    if told or not tasks or reading.quantity not in IN_KETTLE or turn.now_s - since_s < STALLS_S:
        return False
    if (tasks[0].action.to_c or 0.0) - reading.value < STALLS_BELOW_K:
        return False
    shown = [r.value for r in _since(state, since_s) if r.quantity in IN_KETTLE]
    if max(shown) - min(shown) >= STALLS_K:
        return False
    _note(turn, replace(before, stalled_s=turn.now_s))
    return True


def _since(state: State, at_s: float) -> tuple[Reading, ...]:
    return tuple(takewhile(lambda reading: reading.at >= at_s, reversed(state.readings)))


def is_fine(turn: Turn, quantity: Quantity) -> None:
    """A reading is likely: the question of one before it that was not is over."""
    state, before = turn.state, turn.state.stream(_sensor(quantity))
    if before.doubted_s is None:
        return
    if before.fine_s is None:
        _note(turn, replace(before, fine_s=turn.now_s))
    question = state.question
    if question is None or question.reading.quantity is not quantity:
        return
    if question.reading.at == before.doubted_s:
        turn.change(question=None)


def _sensor(quantity: Quantity) -> Quantity:
    return Quantity.KETTLE_TEMPERATURE if quantity in IN_KETTLE else quantity


def _note(turn: Turn, stream: Stream) -> None:
    others = (each for each in turn.state.streams if each.quantity is not stream.quantity)
    turn.change(streams=(*others, stream))
