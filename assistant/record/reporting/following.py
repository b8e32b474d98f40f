"""Going through a day again with open eyes: what the last state of it no longer tells."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from assistant.advice.batch import Place, gravity_now, volume_now_l
from assistant.advice.timeline import ORDER, Stage
from assistant.day.commands import Command
from assistant.day.course import believed_c
from assistant.day.doubts import answer_wanted, settle
from assistant.day.effects import AdviceOffered, Effect
from assistant.day.events import CommandGiven, Event, ReadingTaken, Source
from assistant.day.rests import current_rest, rest_left_s
from assistant.day.state import Reading, State
from assistant.record.replay import before_the_day, steps
from assistant.record.reporting.followed import (
    Answer,
    Asked,
    Believed,
    Followed,
    Held,
    Offered,
    Poured,
    SeenReading,
    TakenBack,
)
from assistant.schedule.model import Schedule

LOOK_S = 60.0
"""How often what is believed is looked at while nothing happens."""

MOST_LOOKS = 40
"""So often at most, in a gap of days."""

SOONEST_S = 10.0
"""No oftener than this where a thermometer reports every second."""

LEAST_POURED_L = 0.02
"""Less than this is rounding."""


def followed_through(schedule: Schedule, events: Iterable[Event]) -> tuple[State, Followed]:
    """The last state of a day and what was seen on the way there.

    Raises :class:`~assistant.record.errors.RecordError` where the events lead nowhere.
    """
    eyes = _Eyes(last=before_the_day(schedule))
    for event, state, effects in steps(schedule, events):
        eyes.see(event, state, effects)
    return eyes.last, eyes.seen()


@dataclass
class _Resting:
    rest: str
    wanted_c: float
    from_s: float
    at_s: float
    last_c: float
    kelvin_s: float = 0.0
    lowest_c: float = field(init=False)
    highest_c: float = field(init=False)

    def __post_init__(self) -> None:
        self.lowest_c = self.highest_c = self.last_c

    def at(self, at_s: float, warm_c: float) -> None:
        self.kelvin_s += (at_s - self.at_s) * (warm_c + self.last_c) / 2
        self.at_s, self.last_c = at_s, warm_c
        self.lowest_c = min(self.lowest_c, warm_c)
        self.highest_c = max(self.highest_c, warm_c)

    def held(self) -> Held:
        seconds = self.at_s - self.from_s
        return Held(
            rest=self.rest,
            wanted_c=self.wanted_c,
            from_s=self.from_s,
            until_s=self.at_s,
            mean_c=self.kelvin_s / seconds if seconds > 0 else self.last_c,
            lowest_c=self.lowest_c,
            highest_c=self.highest_c,
        )


@dataclass
class _Eyes:
    """What has been seen so far, and the state at which it was."""

    last: State
    believed: list[Believed] = field(default_factory=list)
    readings: list[SeenReading] = field(default_factory=list)
    taken_back: list[TakenBack] = field(default_factory=list)
    asked: list[Asked] = field(default_factory=list)
    offered: list[Offered] = field(default_factory=list)
    held: list[_Resting] = field(default_factory=list)
    poured: list[tuple[Event | None, Poured]] = field(default_factory=list)
    resting: _Resting | None = None
    lifted_l: float | None = None

    def see(self, event: Event, state: State, effects: tuple[Effect, ...]) -> None:
        before, self.last = self.last, state
        if before.begun:
            self._look_meanwhile(before, event.at)
        undone = _took_back(before, state)
        if undone:
            self._see_taken_back(before, state, event.at)
        self._see_readings(before, state, event)
        self._see_questions(before, state, event)
        self._see_doubts(before, state, event)
        self.offered += [
            Offered(at_s=state.now_s, offer=effect)
            for effect in effects
            if isinstance(effect, AdviceOffered)
        ]
        if not undone:
            self._see_pouring(before, state)
        if state.begun:
            self._look(state)

    def seen(self) -> Followed:
        resting = [] if self.resting is None else [self.resting]
        return Followed(
            believed=tuple(self.believed),
            readings=tuple(self.readings),
            taken_back=tuple(self.taken_back),
            asked=tuple(self.asked),
            offered=tuple(self.offered),
            held=tuple(rest.held() for rest in (*self.held, *resting)),
            poured=tuple(poured for _, poured in self.poured),
            lifted_l=self.lifted_l,
        )

    def _look_meanwhile(self, before: State, until_s: float) -> None:
        """What was believed between two things that happened."""
        gap_s = until_s - before.now_s
        looks = min(int(gap_s / LOOK_S), MOST_LOOKS)
        for look in range(1, looks + 1):
            at_s = before.now_s + gap_s * look / (looks + 1)
            self._look(replace(before, now_s=at_s))

    def _look(self, state: State) -> None:
        warm_c = believed_c(state)
        self._see_rest(state, warm_c)
        last = self.believed[-1] if self.believed else None
        batch, schedule, at_s = state.batch, state.schedule, state.now_s
        if last is not None and at_s - last.at_s < SOONEST_S and last.place is batch.place:
            return
        filled = ORDER.index(state.stage) >= ORDER.index(Stage.STRIKE)
        in_mash = batch.place is Place.MASH
        volume_l = volume_now_l(batch, schedule.kettle, at_s)
        self.believed.append(
            Believed(
                at_s=at_s,
                temperature_c=warm_c,
                volume_l=volume_l if filled else None,
                gravity=None if in_mash else gravity_now(batch, schedule, at_s),
                place=batch.place,
            )
        )

    def _see_rest(self, state: State, warm_c: float | None) -> None:
        rest = _running_rest(state)
        if self.resting is not None and (warm_c is None or self.resting.rest != rest):
            # What was believed until now still counts: it is the heating that begins here.
            self.held.append(self.resting)
            self.resting = None
        if rest is None or warm_c is None:
            return
        if self.resting is not None:
            self.resting.at(state.now_s, warm_c)
            return
        self.resting = _Resting(
            rest=rest,
            wanted_c=current_rest(state).temperature_c,
            from_s=state.now_s,
            at_s=state.now_s,
            last_c=warm_c,
        )

    def _see_taken_back(self, before: State, state: State, at_s: float) -> None:
        past = before.history[-1]
        done_s = past.event.at
        self.taken_back.append(TakenBack(at_s=at_s, what=past.what, done_s=done_s))
        self.poured = [(doing, poured) for doing, poured in self.poured if doing is not past.event]
        self._see_rests_taken_back(state, done_s)

    def _see_rests_taken_back(self, state: State, done_s: float) -> None:
        """A rest that was left by a slip was never left, and one begun by a slip never was."""
        running = _running_rest(state)
        if self.resting is not None:
            if self.resting.rest == running:
                return
            self.held.append(self.resting)
        self.held = [rest for rest in self.held if rest.from_s < done_s]
        goes_on = bool(self.held) and self.held[-1].rest == running
        self.resting = self.held.pop() if goes_on else None

    def _see_readings(self, before: State, state: State, event: Event) -> None:
        shared = min(len(before.readings), len(state.readings))
        while shared and before.readings[shared - 1] != state.readings[shared - 1]:
            shared -= 1
        gone, come = list(before.readings[shared:]), list(state.readings[shared:])
        for reading in [reading for reading in come if reading in gone]:
            # It happened again after what was before it had been taken back.
            gone.remove(reading)
            come.remove(reading)
        for reading in gone:
            self._mark_taken_back(reading, event.at)
        source = event.source if isinstance(event, ReadingTaken) else Source.WORDS
        self.readings += [SeenReading(reading=reading, source=source) for reading in come]

    def _mark_taken_back(self, reading: Reading, at_s: float) -> None:
        for place in reversed(range(len(self.readings))):
            seen = self.readings[place]
            if seen.reading == reading and seen.taken_back_s is None:
                self.readings[place] = replace(seen, taken_back_s=at_s)
                return

    def _see_questions(self, before: State, state: State, event: Event) -> None:
        old, new = before.question, state.question
        if old == new:
            return
        if old is not None:
            kept = any(
                (reading.quantity, reading.said, reading.said_unit)
                == (old.reading.quantity, old.reading.said, old.reading.said_unit)
                for reading in state.readings[len(before.readings) :]
            )
            self._answer(old.text, event.at, Answer.YES if kept else _refused(event))
        if new is not None:
            self.asked.append(Asked(at_s=state.now_s, text=new.text))

    def _see_doubts(self, before: State, state: State, event: Event) -> None:
        then = replace(before, now_s=event.at)
        old, new = before.doubt, state.doubt
        if old is not None and old != new:
            answer = _refused(event)
            if then.open_doubt() is None:
                answer = Answer.DROPPED
            elif settle(then, event, wanted=answer_wanted(then)).confirmed:
                answer = Answer.YES
            self._answer(old.text, event.at, answer)
        if new is not None and new != old:
            self.asked.append(Asked(at_s=state.now_s, text=new.text))

    def _answer(self, text: str, at_s: float, answer: Answer) -> None:
        for place in reversed(range(len(self.asked))):
            asked = self.asked[place]
            if asked.text == text and asked.answer is Answer.OPEN:
                self.asked[place] = replace(asked, answer=answer, answered_s=at_s)
                return

    def _see_pouring(self, before: State, state: State) -> None:
        old, new, now_s = before.batch, state.batch, state.now_s
        if old.place is Place.MASH and new.place is not Place.MASH:
            self.lifted_l = old.volume_l
        if new.place is Place.MASH:
            self.lifted_l = None
        changed = old is not new and old.place is new.place and old.boil_on_s == new.boil_on_s
        read = len(state.readings) != len(before.readings)
        filled = ORDER.index(before.stage) >= ORDER.index(Stage.STRIKE)
        if not changed or read or not filled:
            return
        kettle = before.schedule.kettle
        litres = volume_now_l(new, kettle, now_s) - volume_now_l(old, kettle, now_s)
        extract_kg = new.extract_kg - old.extract_kg
        if litres > LEAST_POURED_L:
            poured = Poured(
                at_s=now_s,
                place=new.place,
                litres=litres,
                extract_kg=extract_kg,
                advised_kg=new.advised_kg - old.advised_kg,
            )
            self.poured.append((state.history[-1].event if state.history else None, poured))


def _running_rest(state: State) -> str | None:
    return None if rest_left_s(state) is None else current_rest(state).name


def _took_back(before: State, state: State) -> bool:
    """Whether the last thing done is out of what can be taken back: one step adds one at most."""
    if not before.history:
        return False
    last = before.history[-1].event
    return not any(past.event is last for past in state.history[-2:])


def _refused(event: Event) -> Answer:
    no = isinstance(event, CommandGiven) and event.command is Command.NO
    return Answer.NO if no else Answer.DROPPED
