"""A whole day on a virtual clock: the core, the simulated kettle and the simulated brewer."""

import random

from assistant.advice.actions import Do
from assistant.advice.plan import Plan, make_plan
from assistant.advice.timeline import Stage
from assistant.day.additions import BOIL_MOMENTS
from assistant.day.advance import advance
from assistant.day.doubts import answer_wanted, settle
from assistant.day.effects import (
    AdviceOffered,
    Effect,
    Refused,
    Say,
    StageBegan,
    TaskOpened,
    Why,
)
from assistant.day.events import DayBegan, Event, OptionChosen, TimePassed
from assistant.day.listening import listening
from assistant.day.state import new_day
from assistant.day.timers import next_due_s
from assistant.hearing.words import NotUnderstood, understand
from assistant.rehearsal.brewer import Brewer
from assistant.rehearsal.kettle import SimulatedKettle
from assistant.rehearsal.rehearsed import Answered, Line, Reached, Rehearsed, Rested, Who
from assistant.rehearsal.saying import Ear, Noted, Saying, Sentence
from assistant.rehearsal.truths import Truths
from assistant.schedule.model import Schedule

LONGEST_DAY_S = 36 * 3600.0


class Stuck(Exception):
    """The day did not come to its end: nothing would happen any more, or not within 36 hours."""

    def __init__(self, stage: Stage, at: float) -> None:
        super().__init__(
            f"The rehearsal stands still in {stage.value}, {at / 3600:.1f} hours into the day."
        )
        self.stage = stage
        self.at = at


def rehearse(
    schedule: Schedule,
    truths: Truths,
    seed: int,
    follow_advice: bool,
    ear: Ear | None = None,
) -> Rehearsed:
    """The day of a schedule from start to finished, with a kettle that truly is as ``truths``.

    With an ``ear`` the brewer is heard by it, else understood as typed. The same arguments give
    the same day. Raises :class:`Stuck` if it does not come to its end, and what ``ear`` raises.
    """
    return _Day(schedule, truths, seed, follow_advice, ear).run()


class _Day:
    def __init__(
        self,
        schedule: Schedule,
        truths: Truths,
        seed: int,
        follow_advice: bool,
        ear: Ear | None,
    ) -> None:
        self.schedule = schedule
        self.plan = make_plan(schedule)
        self.state = new_day(schedule, self.plan)
        self.kettle = SimulatedKettle.of(schedule, truths, self.plan.strike_volume_l)
        self.brewer = Brewer(
            schedule,
            self.kettle,
            random.Random(seed),
            follow_advice=follow_advice,
            forgets=first_in_the_boil(schedule),
        )
        self.log: list[Line] = []
        self.answers: list[Answered] = []
        self.not_used: list[str] = []
        self.rests: list[Rested] = []
        self.resting: tuple[str, float, float] | None = None
        self.offering = False
        self.saying = None if ear is None else Saying(self, ear)
        self.sentences: list[Sentence] = []

    def run(self) -> Rehearsed:
        self.happen(DayBegan(at=0.0))
        self.brewer.look(self.state)
        while self.state.stage is not Stage.FINISHED:
            act_s, due_s = self.brewer.next_act_s, next_due_s(self.state)
            moments = [moment for moment in (act_s, due_s) if moment is not None]
            at = max(min(moments, default=LONGEST_DAY_S), self.state.now_s)
            if at >= LONGEST_DAY_S:
                raise Stuck(self.state.stage, self.state.now_s)
            self.kettle.run(at - self.kettle.clock_s)
            self.happen(TimePassed(at=at))
            self.brewer.look(self.state)
            if act_s is not None and act_s <= at:
                for told in self.brewer.act(self.state):
                    if isinstance(told, str):
                        self._hear(told, at)
        return self._rehearsed()

    def _hear(self, words: str, at: float) -> None:
        if self.saying is None:
            self.type(words, at)
        else:
            self._hear_by_sound(self.saying, words, at)
        self.brewer.look(self.state)

    def _hear_by_sound(self, saying: Saying, words: str, at: float) -> None:
        try:
            meant = understand(words, listening(self.state), at)
        except NotUnderstood:
            self.type(words, at)
            return
        self.sentences.append(saying.say(words, meant, at))

    def type(self, words: str, at: float) -> None:
        """See :class:`~assistant.rehearsal.saying.Talk`."""
        self.said(words, at, "" if self.saying is None else "typed")
        try:
            event = understand(words, listening(self.state), at)
        except NotUnderstood as error:
            self.not_used.append(f"{words}: {error}")
            return
        self.happen(event, words)

    def said(self, words: str, at: float, note: str = "") -> None:
        """See :class:`~assistant.rehearsal.saying.Talk`."""
        self.log.append(Line(at=at, who=Who.BREWER, text=words, note=note))

    def happen(self, event: Event, words: str = "") -> None:
        """See :class:`~assistant.rehearsal.saying.Talk`."""
        event_taken = settle(self.state, event, wanted=answer_wanted(self.state)).event
        if isinstance(event_taken, OptionChosen) and self.state.advice is not None:
            finding = self.state.advice.finding
            self.answers.append(
                Answered(
                    at=event.at, about=finding.about, finding=finding.finding, say=event_taken.say
                )
            )
        self.state, effects = advance(self.state, event)
        for effect in effects:
            self._note(effect, event.at, words)

    def noted(self) -> Noted:
        """See :class:`~assistant.rehearsal.saying.Talk`."""
        return Noted(
            lines=len(self.log),
            answers=len(self.answers),
            rests=len(self.rests),
            resting=self.resting,
        )

    def forget(self, since: Noted) -> None:
        """See :class:`~assistant.rehearsal.saying.Talk`; what was said stays said."""
        talked = [line for line in self.log[since.lines :] if line.who is not Who.DAY]
        self.log[since.lines :] = talked
        del self.answers[since.answers :]
        del self.rests[since.rests :]
        self.resting = since.resting

    def _note(self, effect: Effect, at: float, words: str) -> None:
        match effect:
            case Say():
                self.log.append(
                    Line(
                        at=at,
                        who=Who.PROGRAM,
                        text=effect.text,
                        why=effect.why,
                        advice=self.offering,
                    )
                )
                self.offering = False
            case AdviceOffered():
                self.offering = True
            case Refused():
                self.log.append(Line(at=at, who=Who.PROGRAM, text=effect.text, why=Why.ANSWER))
                if words:
                    self.not_used.append(f"{words}: {effect.text}")
            case StageBegan():
                self._close_rest(at)
                text = effect.stage.value if effect.rest is None else f"mash: {effect.rest}"
                self.log.append(Line(at=at, who=Who.DAY, text=text))
            case TaskOpened() if effect.action.do is Do.HOLD:
                rest = self.schedule.mash[self.state.rest]
                self.resting = (rest.name, rest.temperature_c, at)
            case _:
                pass

    def _close_rest(self, at: float) -> None:
        if self.resting is None:
            return
        name, wanted_c, from_s = self.resting
        mean_c = self.kettle.mean_c(from_s, at)
        self.rests.append(
            Rested(name=name, wanted_c=wanted_c, mean_c=mean_c, from_s=from_s, to_s=at)
        )
        self.resting = None

    def _rehearsed(self) -> Rehearsed:
        inside = self.kettle.fermenter
        if inside is None:
            raise Stuck(self.state.stage, self.state.now_s)
        pitched_s = max(r.at for r in self.state.reached if r.stage is Stage.CLEAN)
        reached = Reached(
            original_gravity=inside.gravity,
            fermenter_volume_l=inside.volume_l,
            ibu=self.kettle.bitterness_ibu(),
            rests=tuple(self.rests),
            pitched_at_s=pitched_s,
            late_min=pitched_s / 60 - planned_pitch_min(self.plan),
        )
        return Rehearsed(
            schedule=self.schedule,
            plan=self.plan,
            state=self.state,
            log=tuple(self.log),
            answers=tuple(self.answers),
            not_used=tuple(self.not_used),
            reached=reached,
            boiled_s=self.kettle.bittering.boil_s,
            sentences=tuple(self.sentences),
        )


def first_in_the_boil(schedule: Schedule) -> tuple[int, ...]:
    """The first bittering addition to the boil, by its place: the one that is forgotten a while."""
    boiled = [
        index
        for index, addition in enumerate(schedule.additions)
        if addition.moment in BOIL_MOMENTS and addition.alpha is not None
    ]
    return tuple(boiled[:1])


def planned_pitch_min(plan: Plan) -> float:
    """When the yeast should go in by the plan, in minutes of the day."""
    return next(stage.starts_min for stage in plan.stages if stage.stage == Stage.CLEAN.value)
