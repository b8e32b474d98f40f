"""A brew day in a garage by the sea: a small schedule, and a day driven through the core."""

from dataclasses import dataclass, field

from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.effects import Refused
from assistant.day.events import (
    CommandGiven,
    DayBegan,
    DayResumed,
    Event,
    NoteTaken,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    TimePassed,
    TimerRequested,
)
from assistant.day.quantities import Quantity
from assistant.day.state import State, new_day
from assistant.schedule import Schedule, load_text

SMALL_SCHEDULE = """
beer: Slipway Bitter
volume: 18 L
kettle: {holds: 32 L, heater: {power: 2.6 kW}}
grist: [{malt: pale ale malt, weight: 3.6 kg, extract: 80 %, colour: 6 EBC}]
mash: [{rest: single, at: 66 degC, for: 60 min}]
boil: {for: 60 min}
additions:
  - {add: Target, kind: hops, weight: 22 g, alpha: 10 %, at: 45 min}
  - {add: kettle finings, kind: finings, weight: 3 g, at: 12 min}
  - {add: Bramling, kind: hops, weight: 20 g, alpha: 6 %, at: flameout}
  - {add: Bramling, kind: hops, weight: 30 g, alpha: 6 %, at: day 4}
yeast: {name: ale yeast}
"""


def small_schedule() -> Schedule:
    return load_text(SMALL_SCHEDULE, "slipway.yaml")


@dataclass
class Brewed:
    """A day as the core has it, with every event that made it."""

    schedule: Schedule
    state: State
    events: list[Event] = field(default_factory=list)

    def happen(self, event: Event) -> None:
        self.state, effects = advance(self.state, event)
        refused = [effect.text for effect in effects if isinstance(effect, Refused)]
        assert refused == [], f"{event} was not used"
        self.events.append(event)

    def say(self, minute: float, command: Command, subject: str | None = None) -> None:
        self.happen(CommandGiven(at=minute * 60, command=command, subject=subject))

    def read(
        self,
        minute: float,
        quantity: Quantity,
        value: float,
        unit: str,
        sample_c: float | None = None,
    ) -> None:
        self.happen(
            ReadingTaken(
                at=minute * 60, quantity=quantity, value=value, unit=unit, sample_c=sample_c
            )
        )
        if self.state.question is not None:
            self.say(minute, Command.YES)

    def take_advice(self, minute: float, say: str) -> None:
        self.happen(OptionChosen(at=minute * 60, say=say))


def morning(schedule: Schedule) -> Brewed:
    """From the start to the boil: a mash that lands low and is warmed, a slip that is undone."""
    day = Brewed(schedule=schedule, state=new_day(schedule, make_plan(schedule)))
    day.happen(DayBegan(at=0.0))
    day.happen(NoteTaken(at=300.0, text="fan on the left, ladle in the bucket"))
    day.say(10, Command.SKIP)
    day.read(40, Quantity.WATER_TEMPERATURE, 71.5, "degC")
    day.say(41, Command.WATER_READY)
    day.say(48, Command.GRAIN_IN)
    day.happen(TimePassed(at=3000.0))
    day.read(52, Quantity.MASH_TEMPERATURE, 63.0, "degC")
    day.take_advice(53, "heat")
    day.happen(DayResumed(at=3400.0))
    day.read(58, Quantity.MASH_TEMPERATURE, 149.9, "degF")
    day.happen(TimerRequested(at=3600.0, seconds=600.0, name="yeast"))
    day.read(65, Quantity.MASH_PH, 5.4, "pH")
    day.say(66, Command.UNDO)
    day.say(112, Command.BAG_OUT)
    day.read(116, Quantity.KETTLE_VOLUME, 23.5, "L")
    day.happen(NumberSaid(at=7020.0, value=1.04))
    if day.state.question is not None:
        day.say(117, Command.YES)
    day.say(130, Command.BOILING)
    return day


def whole_day(schedule: Schedule) -> Brewed:
    """The day to its end: hops five minutes late, finings forgotten, yeast in the afternoon."""
    day = morning(schedule)
    if day.state.advice is not None:
        day.take_advice(131, "leave it")
    day.say(150, Command.ADDED, "Target")
    if day.state.advice is not None:
        day.take_advice(151, "leave it")
    day.say(180, Command.MISSED, "kettle finings")
    day.say(190, Command.FLAME_OUT)
    day.say(191, Command.ADDED, "Bramling at flameout")
    day.say(210, Command.WHIRLPOOL_DONE)
    day.say(230, Command.CHILLED)
    day.say(240, Command.TRANSFERRED)
    day.read(242, Quantity.FERMENTER_VOLUME, 17.6, "L")
    day.read(243, Quantity.GRAVITY, 1.047, "SG", sample_c=21.0)
    day.read(250, Quantity.FERMENTER_TEMPERATURE, 19.5, "degC")
    day.say(255, Command.PITCHED)
    day.happen(NoteTaken(at=15360.0, text="pitched\x1b[2J\u202elate"))
    day.say(280, Command.CLEANED)
    assert day.state.stage is Stage.FINISHED
    return day
