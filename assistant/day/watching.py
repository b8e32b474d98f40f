"""When a temperature is asked for while something heats, and when it need not be.

A heater that is not known yet is looked at early, while there is time to learn its pace; after
that shortly before the target could be there. The last stretch is counted down, for by then the
sums are nearer than a thermometer that is asked for.
"""

from assistant.advice import figures
from assistant.day.effects import TimerNews, Why
from assistant.day.hot_side import ask_in
from assistant.day.quantities import Quantity
from assistant.day.state import Timer, TimerKind
from assistant.day.timing import heated_in
from assistant.day.turn import Turn

HEAT_OFF = "heat off"
"""The name of the timer that counts heat down."""

REPLY_S = 15.0
"""What it takes a brewer to read a thermometer and say what it shows; common practice."""

COULD_BE = 1.3
"""A target is asked after so many standard deviations early: one in ten is there before."""

COUNTED_S = 150.0
SURE_S = 20.0
"""Heat is counted down from so short before its end, if that is known to so many seconds."""

PACE_SHARE = 0.06
PACE_FROM_S = 600.0
EARLY = 0.4
"""A heating that lasts, known no better than to this share, is looked at early on its way."""

LATEST_S = 1500.0
"""No heating goes longer than this without a look."""

SAME_S = 10.0
"""A countdown is not set anew for less than this."""


def watch_heating(turn: Turn, quantity: Quantity, to_c: float) -> None:
    """Ask at the right time whether a heating is there, or count the rest of it down."""
    reached = heated_in(turn.state, to_c)
    seconds, spread_s = reached.seconds, reached.spread_s
    if reached.ever and seconds <= COUNTED_S and spread_s <= SURE_S:
        _count_down(turn, quantity, max(seconds, 5.0))
        return
    turn.end_timers(lambda timer: timer.kind is TimerKind.BURST, TimerNews.CANCELLED)
    wait_s = seconds - COULD_BE * spread_s - REPLY_S
    if seconds > PACE_FROM_S and spread_s > PACE_SHARE * seconds:
        wait_s = EARLY * seconds
    ask_in(turn, quantity, min(wait_s, LATEST_S) / 60)


def _count_down(turn: Turn, quantity: Quantity, seconds: float) -> None:
    due_s = turn.now_s + seconds
    running = turn.state.timer(HEAT_OFF)
    if running is not None and abs(running.due_s - due_s) < SAME_S:
        return
    turn.end_timers(lambda timer: timer.quantity is quantity, TimerNews.CANCELLED)
    turn.set_timer(Timer(name=HEAT_OFF, kind=TimerKind.BURST, due_s=due_s))


def tell_how_long(turn: Turn, quantity: Quantity, to_c: float) -> None:
    """Say how much longer a heating takes, and watch it on."""
    seconds = heated_in(turn.state, to_c).seconds
    watch_heating(turn, quantity, to_c)
    counted = turn.state.timer(HEAT_OFF) is not None
    if counted:
        turn.say(f"Heat off in {figures.duration(max(seconds, 5.0))}.", Why.ANSWER)
    elif seconds >= 60:
        turn.say(f"About {figures.duration(round(seconds / 60) * 60)} more.", Why.ANSWER)
