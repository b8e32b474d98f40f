"""Going on with a day that the program was killed in: what is open is told again, as open.

What was announced before is never announced as new; what was said last, just before the end, may
not have been heard, so it is told as what it is: said before.
"""

from assistant.advice import figures
from assistant.day.answers import where
from assistant.day.ear_troubles import Ear
from assistant.day.effects import Say, TimerChanged, Why
from assistant.day.events import DayResumed
from assistant.day.hot_side import gathering
from assistant.day.sensor_state import Sensing
from assistant.day.state import Phase
from assistant.day.timer_kinds import POLICIES
from assistant.day.turn import MOST_WORDS, Turn, advice_words
from assistant.day.undo import everything_open
from assistant.day.wording import ASK_WORDS, task_words

JUST_SAID_S = 120.0
"""After a longer break what was said last is not news, whether it was heard or not."""


def resumed(turn: Turn, event: DayResumed) -> None:
    """Tell who comes back where the day stands, from the last thing kept to all that is wanted."""
    turn.change(ear=Ear(), record=None, sensing=Sensing())
    told = {effect.name for effect in turn.effects if isinstance(effect, TimerChanged)}
    spoken, advice = turn.state.spoken, turn.state.advice
    answer_wanted = turn.state.open_doubt() or turn.state.question
    turn.effects.extend(everything_open(turn.state))
    if event.unsure:
        turn.say(UNSURE, Why.WARNING)
    _last_kept(turn)
    due = [
        timer.name
        for timer in turn.state.timers
        if timer.phase is Phase.DUE and timer.name not in told and POLICIES[timer.kind].words
    ]
    if due:
        turn.say(f"Still due: {figures.listed(due)}.", Why.REMINDER)
    where(turn)
    _also_open(turn, 0 if answer_wanted or gathering(turn.state) else 1)
    if not (due or told or advice or answer_wanted):
        _said_before(turn, spoken)
    if advice is not None:
        turn.say(advice_words(advice.finding), Why.QUESTION)


UNSURE = (
    "The computer's clock was set back while I was off. My timers may be late: check the kettle."
)


def _last_kept(turn: Turn) -> None:
    if not turn.state.history:
        return
    last = turn.state.history[-1]
    ago = figures.duration(turn.now_s - last.before.now_s)
    turn.say(f"I'm back. Last on record, {ago} ago: {last.what}.", Why.PROMPT)


def _said_before(turn: Turn, spoken: str) -> None:
    """The last words before the end, if that was a moment ago and they have not come up again."""
    again = any(isinstance(said, Say) and spoken.rstrip(".?") in said.text for said in turn.effects)
    if not again and turn.now_s - turn.before_s < JUST_SAID_S:
        turn.say(f"Said before: {spoken}", Why.PROMPT)


def _also_open(turn: Turn, told: int) -> None:
    """What is wanted besides the first ``told`` of it, which are told with where the day is."""
    state = turn.state
    wanted = [ASK_WORDS[ask.quantity].rstrip(".?").lower() for ask in state.asks]
    wanted += [task_words(task.action, turn.units) for task in state.tasks]
    if wanted[told:]:
        turn.say(_as_many_as_fit(wanted[told:]), Why.PROMPT)


def _as_many_as_fit(wanted: list[str]) -> str:
    for count in range(len(wanted), 0, -1):
        more = [f"{len(wanted) - count} more"] if count < len(wanted) else []
        words = f"Also open: {figures.listed([*wanted[:count], *more])}."
        if len(words.split()) <= MOST_WORDS:
            break
    return words
