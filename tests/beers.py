"""A beer in its fermenter, driven from a test: what happened on which day, what it comes to."""

from dataclasses import dataclass, field, replace
from typing import TypeVar

from assistant.brewing.fermentation import final_gravity
from assistant.cellar.advance import advance
from assistant.cellar.assessing import Assessment, assess
from assistant.cellar.beer import Beer
from assistant.cellar.coming import Coming, Kind
from assistant.cellar.dates import coming
from assistant.cellar.events import BeerEvent, Errand, VisitBegan
from assistant.cellar.state import DAY_S, CellarState, new_beer
from assistant.day.commands import Command
from assistant.day.effects import Effect, Refused, Say
from assistant.day.events import CommandGiven, ReadingTaken, Source, TimePassed
from assistant.day.quantities import Quantity
from assistant.schedule import Schedule, load_text

SCHEDULE = """
beer: {name}
volume: 20 L
kettle: {{holds: 32 L, heater: {{power: 2.6 kW}}{kettle}}}
grist: [{{malt: pale ale malt, weight: 4.2 kg, extract: 80 %, colour: 6 EBC}}]
mash: [{{rest: single, at: 66 degC, for: 60 min}}]
boil: {{for: 60 min}}
additions:
  - {{add: Target, kind: hops, weight: 22 g, alpha: 10 %, at: 45 min}}
{additions}
yeast: {{name: ale yeast}}
{text}
"""

PITCHED_S = 18_000.0
"""Five hours after the day began."""

Sort = TypeVar("Sort")


def schedule_with(
    text: str = "", *, additions: str = "", kettle: str = "", name: str = "Slipway Bitter"
) -> Schedule:
    """A small beer, with lines of a schedule, additions and keys of the kettle put to it."""
    lines = SCHEDULE.format(name=name, kettle=kettle, additions=additions.rstrip(), text=text)
    return load_text(lines, "slipway.yaml")


def beer(original: float = 1.050, final: float | None = None, volume_l: float = 20.0) -> Beer:
    """A beer as read in the fermenter; without ``final`` its yeast takes 75 %."""
    if final is None:
        final = float(final_gravity(original_gravity=original, attenuation=0.75))
    return Beer(
        pitched_s=PITCHED_S,
        volume_l=volume_l,
        volume_read=True,
        original_gravity=original,
        gravity_read=True,
        original_brix=None,
        final_gravity=final,
        ibu=32.0,
        planned_volume_l=volume_l,
        planned_original_gravity=original,
        planned_final_gravity=final,
    )


@dataclass
class Tended:
    """A beer with what its last event came to, told in days since its yeast went in."""

    state: CellarState
    effects: tuple[Effect, ...] = ()
    events: list[BeerEvent] = field(default_factory=list)

    def happen(self, event: BeerEvent) -> "Tended":
        self.state, self.effects = advance(self.state, event)
        self.events.append(event)
        return self

    def visit(self, day: float, errand: Errand = Errand.TEND, **wanted: object) -> "Tended":
        began = VisitBegan(at=at_day(day), errand=errand)
        return self.happen(replace(began, **wanted))  # type: ignore[arg-type]

    def wait(self, day: float) -> "Tended":
        return self.happen(TimePassed(at=at_day(day)))

    def say(self, command: Command, subject: str | None = None) -> "Tended":
        return self.happen(CommandGiven(at=self.state.now_s, command=command, subject=subject))

    def read(
        self,
        quantity: Quantity,
        value: float,
        unit: str,
        *,
        day: float | None = None,
        sample_c: float | None = None,
        source: Source = Source.WORDS,
    ) -> "Tended":
        return self.happen(
            ReadingTaken(
                at=self.state.now_s if day is None else at_day(day),
                quantity=quantity,
                value=value,
                unit=unit,
                sample_c=sample_c,
                source=source,
            )
        )

    def gravity(self, day: float, gravity: float) -> "Tended":
        return self.read(Quantity.GRAVITY, gravity, "SG", day=day)

    def brix(self, day: float, brix: float) -> "Tended":
        return self.read(Quantity.BRIX, brix, "brix", day=day)

    def warm(self, day: float, temperature_c: float) -> "Tended":
        return self.read(Quantity.FERMENTER_TEMPERATURE, temperature_c, "degC", day=day)

    def volume(self, litres: float) -> "Tended":
        return self.read(Quantity.FERMENTER_VOLUME, litres, "L")

    def said(self) -> str:
        return " ".join(effect.text for effect in self.effects if isinstance(effect, Say))

    def refused(self) -> list[str]:
        return [effect.text for effect in self.effects if isinstance(effect, Refused)]

    def of(self, sort: type[Sort]) -> list[Sort]:
        return [effect for effect in self.effects if isinstance(effect, sort)]

    @property
    def assessed(self) -> Assessment:
        return assess(self.state)

    @property
    def days(self) -> dict[str, float]:
        """What is to come and on which day after the pitching, by its key."""
        return {each.key: (each.at_s - PITCHED_S) / DAY_S for each in coming(self.state)}

    def ahead(self, kind: Kind) -> Coming | None:
        return next((each for each in coming(self.state) if each.kind is kind), None)


def at_day(day: float) -> float:
    return PITCHED_S + day * DAY_S


def tended(
    schedule: Schedule | None = None, of: Beer | None = None, *, visit: float | None = 0.1
) -> Tended:
    """A beer on its first visit, on that day."""
    found = Tended(new_beer(schedule or schedule_with(), of or beer()))
    return found if visit is None else found.visit(visit)


def steady(day: float = 10.0, gravity: float = 1.012, **kwargs: object) -> Tended:
    """A beer that the hydrometer shows the same for three days up to ``day``."""
    found = tended(**kwargs)  # type: ignore[arg-type]
    return found.gravity(day - 3, gravity).gravity(day, gravity)
