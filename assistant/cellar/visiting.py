"""A visit begins: where the beer stands, what is due, what is wanted."""

from dataclasses import replace

from assistant.advice import figures
from assistant.cellar.assessing import Progress, assess
from assistant.cellar.dates import FIRST_READING_DAYS, coming
from assistant.cellar.events import Errand, VisitBegan
from assistant.cellar.packaging import begin_packaging
from assistant.cellar.state import DAY_S, CellarState, wanted_of
from assistant.cellar.turn import Turn
from assistant.cellar.words import age_words, came_to, coming_words, progress_words
from assistant.day.ear_troubles import Ear
from assistant.day.effects import Why
from assistant.day.quantities import Quantity
from assistant.day.sensor_state import Sensing

GRAVITY_AGAIN_DAYS = 0.9
"""A gravity read less long ago than this is not asked for again."""


UNSURE = (
    "The computer's clock was set back since I last ran. I may count too few days: check its date."
)


def visit_began(turn: Turn, event: VisitBegan) -> None:
    """Tell the brewer where the beer stands, and ask what a visit is for."""
    state = turn.state
    turn.change(
        schedule=replace(state.schedule, units=event.units or turn.units),
        visited=True,
        errand=event.errand,
        found_final=event.final_gravity or state.found_final,
        opened=(),
        advised=None,
        asks=(),
        question=None,
        doubt=None,
        unwise="",
        over=False,
        ear=Ear(),
        sensing=Sensing(),
        record=None,
        history=(),
    )
    if event.errand is Errand.PACKAGE:
        # What was wanted on an earlier visit, such as more gas in thick glass, is not any more.
        turn.change(
            wanted=event.package or wanted_of(state.schedule),
            bottle_ml=event.bottle_ml,
            serving_c=event.serving_c,
        )
    if event.unsure:
        turn.say(UNSURE, Why.WARNING)
    if not turn.quiet:
        _tell_where(turn)
    if turn.state.packaged is not None:
        return
    if event.errand is Errand.PACKAGE:
        begin_packaging(turn)
        return
    _ask(turn)


def _tell_where(turn: Turn) -> None:
    state = turn.state
    turn.say(where_words(state), Why.PROMPT)
    if state.packaged is not None:
        turn.say(next_words(state), Why.PROMPT)
        return
    for text in progress_words(state, assess(state)):
        turn.say(text, Why.PROMPT)


def where_words(state: CellarState) -> str:
    """``Breakwater Amber, day 5: last 1.020, 60 percent fermented, 3.9 percent alcohol.``"""
    beer = state.schedule.beer
    if state.packaged is not None:
        days = figures.counted(str(int((state.now_s - state.packaged.at) / DAY_S)), "day")
        return f"{beer}: in {state.packaged.into.value} for {days}."
    assessed = assess(state)
    if assessed.gravity is None:
        return f"{beer}, {age_words(state)} of fermentation."
    parts = [f"last {figures.gravity(assessed.gravity)}", came_to(assessed)]
    return f"{beer}, {age_words(state)}: {', '.join(filter(None, parts))}."


def gravity_is_wanted(state: CellarState) -> bool:
    """Whether a gravity is worth a sample now: not too early, not just read, not over."""
    if assess(state).progress is Progress.FINISHED or state.age_days < FIRST_READING_DAYS - 0.5:
        return False
    last = state.last(Quantity.GRAVITY)
    return last is None or (state.now_s - last.at) / DAY_S >= GRAVITY_AGAIN_DAYS


def _ask(turn: Turn) -> None:
    turn.ask(Quantity.FERMENTER_TEMPERATURE, "how warm it ferments")
    if gravity_is_wanted(turn.state):
        turn.ask(Quantity.GRAVITY, "how far it has come")
        turn.say("Beer temperature, and gravity?", Why.QUESTION)
    else:
        turn.say("Beer temperature?", Why.QUESTION)


def next_words(state: CellarState) -> str:
    """What comes next and when, in one sentence."""
    ahead = coming(state)
    return f"{coming_words(state, ahead[0])}." if ahead else "Nothing is to come."
