"""One day of the closed-loop benchmark: the program against a kettle with hidden truths.

The brewer does what the program says and reads what it asks for; everything goes through
``advance`` as events. What is measured is the truth of the kettle, never what was read.
"""

import random
import time
import traceback
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from loop_forecasts import MARKS, Forecasts, Mark
from loop_heatings import Heating, Heatings
from loop_hooks import begin
from loop_truth import Rested, plan_ibu, rest_error
from loop_variants import Sensor

from assistant.advice.actions import Do
from assistant.advice.learned import LearnedKettle
from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.advice.worts import boil_minutes_planned
from assistant.day.advance import advance
from assistant.day.effects import (
    AdviceOffered,
    AskOpened,
    Effect,
    ForecastChanged,
    ReadingJudged,
    Refused,
    Say,
    StageBegan,
    TaskOpened,
)
from assistant.day.events import DayBegan, Event, ReadingTaken, TimePassed
from assistant.day.listening import listening
from assistant.day.quantities import Quantity
from assistant.day.timers import next_due_s
from assistant.hearing.words import NotUnderstood, understand
from assistant.rehearsal.brewer import Brewer
from assistant.rehearsal.day import LONGEST_DAY_S, planned_pitch_min
from assistant.rehearsal.habits import Habits
from assistant.rehearsal.instruments import Noise
from assistant.rehearsal.kettle import SimulatedKettle
from assistant.rehearsal.structure import Structure
from assistant.rehearsal.telling import InEvents
from assistant.rehearsal.truths import Truths
from assistant.schedule.model import Moment, Schedule

NOISE = Noise(
    thermometer_k=0.1,
    hydrometer=0.0005,
    hydrometer_step=0.0005,
    volume_l=0.0,
    volume_share=0.01,
    volume_step=0.1,
)
HABITS = Habits(at_once_s=(5.0, 25.0), forgotten_s=(180.0, 360.0), adding_s=0.0)
FORGETS_SHARE = 0.1
TEMPERATURES = (
    Quantity.WATER_TEMPERATURE,
    Quantity.MASH_TEMPERATURE,
    Quantity.KETTLE_TEMPERATURE,
)


@dataclass(frozen=True, kw_only=True)
class Setting:
    """What a day is played with; ``learned`` is what earlier brews have taught, and a sensor tells
    the temperature every ``sensor_s``, if there is one.
    """

    seed: int
    name: str
    schedule: Schedule
    truths: Truths
    structure: Structure
    follow_advice: bool
    brew: int = 0
    learned: LearnedKettle | None = None
    sensor_s: float | None = None


@dataclass(frozen=True, kw_only=True)
class DayResult:
    """What a day came to. A day that got stuck has ``stuck`` and nothing that can be trusted."""

    setting: Setting
    stuck: str = ""
    gravity_points: float = 0.0
    volume_l: float = 0.0
    rest_rms_k: float = 0.0
    additions_s: tuple[float, ...] = ()
    ibu_share: float = 0.0
    ibu_plan_factor: float = 1.0
    late_min: float = 0.0
    asks: int = 0
    advice: int = 0
    bursts: int = 0
    predictions: Mapping[Heating, tuple[tuple[float, bool], ...]] = field(default_factory=dict)
    held: Mapping[str, float] = field(default_factory=dict)
    marks: Mapping[tuple[str, str], bool] = field(default_factory=dict)
    reading_ms: tuple[float, ...] = ()
    refused: tuple[str, ...] = ()
    cpu_s: float = 0.0


class LoopDay:
    """A day as it is played; :meth:`run` plays it to its end."""

    def __init__(self, setting: Setting) -> None:
        self.setting = setting
        self.state = begin(setting.schedule, setting.learned)
        # The truth hangs on the card as it is written, whatever has been learned of it.
        by_card = make_plan(setting.schedule)
        self.kettle = SimulatedKettle.of(
            setting.schedule, setting.truths, by_card.strike_volume_l, setting.structure
        )
        source = random.Random(f"brewer {setting.seed} {setting.brew}")
        kept = range(len(setting.schedule.additions))
        self.brewer = Brewer(
            setting.schedule,
            self.kettle,
            source,
            follow_advice=setting.follow_advice,
            forgets=frozenset(index for index in kept if source.random() < FORGETS_SHARE),
            habits=HABITS,
            noise=NOISE,
            telling=InEvents,
        )
        self.sensor = Sensor(self.kettle, setting.sensor_s, setting.seed)
        self.heatings = Heatings(self.kettle.true.boiling_c)
        self.rests: list[Rested] = []
        self.resting: Rested | None = None
        self.forecasts = Forecasts()
        self.asks = self.advice = self.bursts = 0
        self.reading_ms: list[float] = []
        self.refused: list[str] = []

    def run(self) -> DayResult:
        """Play the day; what it came to."""
        began_s = time.process_time()
        try:
            stuck = self._play()
        except Exception as error:
            # One broken day is told of; the others are still worth their table.
            where = traceback.extract_tb(error.__traceback__)[-1]
            stuck = f"{type(error).__name__}: {error} in {where.filename}:{where.lineno}"
        if stuck or self.kettle.fermenter is None:
            return DayResult(setting=self.setting, stuck=stuck or "no wort in the fermenter")
        return replace(self._result(), cpu_s=time.process_time() - began_s)

    def _play(self) -> str:
        self._happen(DayBegan(at=0.0, learned=self.setting.learned))
        self.brewer.look(self.state)
        while self.state.stage is not Stage.FINISHED:
            act_s, told_s = self.brewer.next_act_s, self.sensor.next_s(self.state)
            due_s = next_due_s(self.state)
            moments = [moment for moment in (act_s, told_s, due_s) if moment is not None]
            at = max(min(moments, default=LONGEST_DAY_S), self.state.now_s)
            if at >= LONGEST_DAY_S:
                return f"stands still in {self.state.stage.value} at {self.state.now_s:.0f} s"
            self._pass(at)
            self._happen(TimePassed(at=at))
            self.brewer.look(self.state)
            if told_s == at and self.sensor.next_s(self.state) == at:
                self._happen(self.sensor.reading(self.state, at))
                self.brewer.look(self.state)
            if act_s is not None and act_s <= at:
                for told in self.brewer.act(self.state):
                    self._tell(told, at)
                    self.brewer.look(self.state)
        return ""

    def _pass(self, at: float) -> None:
        """Let the kettle go on, and note when the water is hot enough and when the wort boils."""
        kettle, first = self.kettle, len(self.kettle.trace)
        kettle.run(at - kettle.clock_s)
        self.heatings.passed(self.state, kettle.trace[first:])

    def _tell(self, told: str | Event, at: float) -> None:
        if not isinstance(told, str):
            self._happen(replace(told, at=at))
            return
        try:
            self._happen(understand(told, listening(self.state), at))
        except NotUnderstood as error:
            self.refused.append(f"{told}: {error}")

    def _happen(self, event: Event) -> None:
        began_s = time.perf_counter()
        self.state, effects = advance(self.state, event)
        if isinstance(event, ReadingTaken):
            self.reading_ms.append(1000 * (time.perf_counter() - began_s))
        for effect in effects:
            self._note(effect, event)
        boil, now_s = self.state.boil, self.state.now_s
        if self.state.stage is Stage.BOIL and boil and now_s >= (boil.start_s + boil.end_s) / 2:
            self.forecasts.mark(Mark.MID_BOIL, now_s, self.state.forecast)

    def _note(self, effect: Effect, event: Event) -> None:
        at = event.at
        match effect:
            case AskOpened():
                self.asks += 1
            case AdviceOffered():
                self.advice += 1
            case Refused():
                what = type(event).__name__
                self.refused.append(f"{what} in {self.state.stage.value}: {effect.text}")
            case TaskOpened() if effect.action.do is Do.HEAT_FOR:
                self.bursts += 1
            case TaskOpened() if effect.action.do is Do.HOLD and self.resting:
                if self.resting.held_s is None:
                    self.resting = replace(self.resting, held_s=at)
            case StageBegan():
                self._stage(effect.stage, at)
            case ReadingJudged() if effect.accepted and effect.quantity in TEMPERATURES:
                self.heatings.readings += 1
            case ForecastChanged():
                self.forecasts.tell(at, effect)
                self.heatings.forecast(effect, at)
            case Say():
                self.heatings.said(self.state.stage, effect.text, at)
            case _:
                pass

    def _stage(self, stage: Stage, at: float) -> None:
        self.heatings.stage(stage, self.kettle.trace)
        if self.resting is not None:
            self.rests.append(replace(self.resting, over_s=at))
            self.resting = None
        if stage is Stage.MASH:
            rest = self.state.schedule.mash[self.state.rest]
            self.resting = Rested(
                wanted_c=rest.temperature_c,
                began_s=at,
                over_s=at,
                landed=self.state.rest == 0,
            )
        if stage in MARKS:
            self.forecasts.mark(MARKS[stage], at, self.state.forecast)

    def _result(self) -> DayResult:
        state, plan, inside = self.state, self.state.plan, self.kettle.fermenter
        pitched_s = max(r.at for r in state.reached if r.stage is Stage.CLEAN)
        true_ibu = self.kettle.bitterness_ibu()
        wanted_ibu = plan_ibu(self.setting.schedule, plan)
        assert inside is not None
        truth = {
            "original_gravity": inside.gravity,
            "fermenter_volume_l": inside.volume_l,
            "ibu": true_ibu,
            "pitch_at_s": pitched_s,
        }
        heated = {"strike_at_s": self.heatings.strike_s, "boil_at_s": self.heatings.boil_s}
        truth |= {name: at for name, at in heated.items() if at is not None}
        return DayResult(
            setting=self.setting,
            gravity_points=1000 * (inside.gravity - plan.original_gravity),
            volume_l=inside.volume_l - plan.fermenter_volume_l,
            rest_rms_k=rest_error(self.rests, self.kettle.trace),
            additions_s=tuple(self._additions_s()),
            ibu_share=true_ibu / wanted_ibu - 1 if wanted_ibu else 0.0,
            ibu_plan_factor=wanted_ibu / plan.ibu if plan.ibu else 1.0,
            late_min=pitched_s / 60 - planned_pitch_min(plan),
            asks=self.asks,
            advice=self.advice,
            bursts=self.bursts,
            predictions={heating: self.heatings.errors(heating) for heating in Heating},
            held=self.forecasts.held(truth),
            marks=self.forecasts.held_at_marks(truth),
            reading_ms=tuple(self.reading_ms),
            refused=tuple(self.refused),
        )

    def _additions_s(self) -> list[float]:
        """How much longer than planned each addition boiled that the brewer was prompt with."""
        hands, schedule = self.brewer.hands_at, self.setting.schedule
        flameout_s = hands.get(None)
        if flameout_s is None:
            return []
        return [
            flameout_s
            - hands[index]
            - 60 * (boil_minutes_planned(addition, schedule.boil_minutes) or 0)
            for index, addition in enumerate(schedule.additions)
            if addition.moment in (Moment.BOIL_START, Moment.BEFORE_END)
            and index in hands
            and index not in self.brewer.forgets
        ]
