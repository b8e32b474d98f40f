"""What one glance at a day should tell: where it stands, the one next thing, what follows it.

Moments are given as seconds of the day, so that whoever draws them lets them count down.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from assistant.advice import figures
from assistant.advice.forecast import Moment
from assistant.advice.timeline import Stage
from assistant.day.answers import STAGE_WORDS
from assistant.day.quantities import QUANTITIES
from assistant.day.rests import current_rest, rest_name
from assistant.day.state import Phase, Reading, State, Timer, TimerKind
from assistant.day.timer_kinds import POLICIES, audible
from assistant.day.timing import rests_ahead, stage_ends, stages_ahead
from assistant.day.wording import addition_words

MOMENTS = (TimerKind.BURST, TimerKind.BOIL_OVER, TimerKind.CHILLER)
"""Timers named for what comes at their end rather than for what lasts until it."""


@dataclass(frozen=True, kw_only=True)
class Upcoming:
    """One thing and when: at ``due_s``, or ``left_s`` seconds off while its clock stands still.

    ``due`` tells that its moment has come and waits for the brewer, ``about`` that the moment is an
    estimate. With neither ``due_s`` nor ``left_s`` nobody knows when.
    """

    label: str
    due_s: float | None = None
    left_s: float | None = None
    due: bool = False
    about: bool = False

    def seconds_left(self, now_s: float) -> float | None:
        """Seconds until it is due, below nought after that; None where nobody knows."""
        if self.left_s is not None:
            return self.left_s
        return None if self.due_s is None else self.due_s - now_s


def place(state: State) -> str:
    """The stage, and in the mash the rest with its temperature."""
    words = STAGE_WORDS[state.stage]
    if state.stage is not Stage.MASH:
        return words
    rest = current_rest(state)
    at = figures.temperature(rest.temperature_c, state.schedule.units)
    return f"{words}, {rest.name} at {at}"


def headline(state: State) -> Upcoming:
    """The next thing: a reminder that waits, else the next to fall due, else the stage's end."""
    if state.stage is Stage.FINISHED:
        return Upcoming(label="The day is finished.")
    timers = nearest_first(state)
    if not timers:
        return _stage_headline(state)
    due = [timer for timer in timers if timer.phase is Phase.DUE]
    if due:
        words = ". ".join(_due_words(state, timer) for timer in due)
        return Upcoming(label=words, due_s=min(timer.due_s for timer in due), due=True)
    timer = timers[0]
    paused = " (paused)" if timer.left_s is not None else ""
    return _upcoming(timer, _meant(state, timer) + paused)


def following(state: State, most: int) -> tuple[Upcoming, ...]:
    """What comes after the headline: the other timers, then rests and stages, ``most`` in all."""
    if state.stage is Stage.FINISHED:
        return ()
    timers = nearest_first(state)
    if timers and timers[0].phase is Phase.DUE:
        timers = [timer for timer in timers if timer.phase is not Phase.DUE]
    else:
        timers = timers[1:]
    found = [_upcoming(timer, figures.sentence(_name(state, timer))) for timer in timers]
    if len(found) < most:
        found += [*_rests_to_come(state), *_stages_to_come(state)]
    return tuple(found[:most])


def _rests_to_come(state: State) -> Iterator[Upcoming]:
    """The rests after the one at hand, each from when it is at its temperature."""
    if state.stage is not Stage.MASH:
        return
    for ahead in rests_ahead(state, Moment(at_s=state.now_s))[1:]:
        at = figures.temperature(ahead.rest.temperature_c, state.schedule.units)
        label = f"{figures.sentence(rest_name(ahead.rest))} at {at}"
        yield Upcoming(label=label, due_s=ahead.from_s, about=True)


def _stages_to_come(state: State) -> Iterator[Upcoming]:
    for stage, begins in stages_ahead(state).items():
        label = figures.sentence(STAGE_WORDS[stage])
        yield Upcoming(label=label, due_s=begins.at_s, about=True)


def nearest_first(state: State) -> list[Timer]:
    """Timers the brewer knows of: those due, the last to fall due first, then running, paused."""
    return sorted(
        audible(state),
        key=lambda timer: (
            timer.phase is not Phase.DUE,
            timer.left_s is not None,
            abs(left_s(state, timer)),
        ),
    )


def left_s(state: State, timer: Timer) -> float:
    """Seconds until a timer is due, below nought after that; while paused those it has left."""
    return timer.due_s - state.now_s if timer.left_s is None else timer.left_s


def reading_words(state: State, reading: Reading) -> str:
    """``mash temperature 66.4 degrees``, ``24 litres``: a reading as it is kept."""
    spec = QUANTITIES[reading.quantity]
    shown = spec.show(reading.value, state.schedule.units)
    named = spec.spoken.split()[-1] in shown.split()
    return shown if named else f"{spec.spoken} {shown}"


def planned(state: State) -> tuple[str, ...]:
    """What the plan makes of the beer: gravity, volume, bitterness."""
    plan = state.plan
    return _beer(state, plan.original_gravity, plan.fermenter_volume_l, plan.ibu)


def likely(state: State, *, ranged: bool) -> tuple[str, ...]:
    """Where the day is heading, with the range of the gravity if ``ranged``; empty if unknown."""
    told = state.forecast
    if told is None:
        return ()
    gravity, *others = _beer(state, told.original_gravity, told.fermenter_volume_l, told.ibu)
    if ranged:
        low, high = (figures.gravity(value) for value in told.low_high["original_gravity"])
        gravity = f"{gravity} ({low} to {high})"
    if told.pitch_at_s > state.now_s:
        hours, minutes = divmod(round((told.pitch_at_s - state.now_s) / 60), 60)
        others.append(f"pitch in {hours}:{minutes:02} h")
    return (gravity, *others)


def _beer(state: State, gravity: float, volume_l: float, ibu: float) -> tuple[str, ...]:
    units = state.schedule.units
    return figures.gravity(gravity), figures.volume(volume_l, units), f"{ibu:.0f} IBU"


def _upcoming(timer: Timer, label: str) -> Upcoming:
    if timer.left_s is not None:
        return Upcoming(label=label, left_s=timer.left_s)
    return Upcoming(label=label, due_s=timer.due_s, due=timer.phase is Phase.DUE)


def _due_words(state: State, timer: Timer) -> str:
    words = POLICIES[timer.kind].words
    return timer.name if words is None else words(state, timer)


def _stage_headline(state: State) -> Upcoming:
    title = figures.sentence(STAGE_WORDS[state.stage])
    ends_s = stage_ends(state).at_s
    if ends_s > state.now_s:
        return Upcoming(label=f"{title}: about this long", due_s=ends_s, about=True)
    planned_for = figures.duration(state.plan.stage_minutes(state.stage) * 60)
    taken = figures.duration(state.now_s - state.stage_at_s)
    return Upcoming(label=f"{title}: {planned_for} planned, {taken} so far")


def _name(state: State, timer: Timer) -> str:
    """What a timer is called: an addition with its weight."""
    if timer.kind is TimerKind.ADDITION and timer.index is not None:
        addition = state.schedule.additions[timer.index]
        weight_g = state.additions[timer.index].weight_g
        return addition_words(addition, weight_g, state.schedule.units)
    return timer.name


def _meant(state: State, timer: Timer) -> str:
    if timer.kind is TimerKind.ADDITION or timer.kind in MOMENTS:
        return f"Next: {_name(state, timer)}"
    return f"{figures.sentence(timer.name)}: time left"
