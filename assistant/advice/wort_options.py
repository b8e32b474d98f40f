"""One remedy for a wort: what it is to do, where it leads, and how it is said."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from assistant.advice import figures
from assistant.advice.actions import Action, Do, Option
from assistant.advice.batch import Batch, Place, kettle_volume_l
from assistant.advice.ending import Outcome
from assistant.advice.forecast import Prospect, end_of, finished_ibu
from assistant.advice.happenings import with_extract, with_water
from assistant.advice.landing import (
    DRY_EXTRACT_YIELD,
    likely_top_up_l,
    look_ahead,
    stops_at_l,
)
from assistant.advice.plan import Plan
from assistant.advice.timeline import CHILLED_WATER_C
from assistant.advice.worts import Extract
from assistant.brewing.balance import dissolved_volume_l
from assistant.brewing.colour import beer_colour_ebc
from assistant.schedule.model import Schedule

ADD_EXTRACT = "add extract"
DRY_EXTRACT = "dry malt extract"

TOLD_GRAVITY = 0.0008
TOLD_VOLUME_L = 0.25
"""Nearer than both to the plan, nothing is off."""


def dry_extract(weight_kg: float) -> Extract:
    """What so much dry malt extract brings, its minutes in the boil left open."""
    return Extract(
        mass_kg=weight_kg * DRY_EXTRACT_YIELD,
        swell_l=dissolved_volume_l(weight_kg, DRY_EXTRACT_YIELD),
        boil_minutes=0.0,
    )


@dataclass(frozen=True, kw_only=True)
class Remedy:
    """One way out: minutes more (or less) of boil, dry extract, water, and what it counts."""

    boil_min: float = 0.0
    dry_kg: float = 0.0
    water_l: float = 0.0
    counts: float = 0.0


LEAVING = Remedy()


class Carrier:
    """Carries remedies of one wort to its end and puts them into words."""

    def __init__(
        self, schedule: Schedule, plan: Plan, batch: Batch, prospect: Prospect, at_s: float
    ) -> None:
        self.schedule = schedule
        self.plan = plan
        self.batch = batch
        self.prospect = prospect
        self.at_s = at_s

    def option(self, remedy: Remedy) -> Option:
        """A remedy as it is offered; the second of a pair follows with the first."""
        acts = [act(self, remedy) for size, act in ACTS.items() if getattr(remedy, size)]
        says, phrases, actions = zip(*acts, strict=True)
        return Option(
            say=" and ".join(says),
            phrase=" with ".join(
                (phrases[0], *(words.removeprefix("add ") for words in phrases[1:]))
            ),
            action=actions[0],
            effect=self.effect(remedy),
            then=tuple(actions[1:]),
        )

    def boil(self, remedy: Remedy) -> tuple[str, str, Action]:
        """A longer or shorter boil: the word that chooses it, the phrase, the action."""
        longer, minutes = remedy.boil_min > 0, abs(remedy.boil_min)
        word = "longer" if longer else "shorter"
        return (
            f"boil {word}",
            f"boil {figures.duration(minutes * 60)} {word}",
            Action(do=Do.BOIL_LONGER if longer else Do.BOIL_SHORTER, minutes=minutes),
        )

    def extract(self, remedy: Remedy) -> tuple[str, str, Action]:
        """Dry malt extract, in the same three parts."""
        grams = round(remedy.dry_kg * 100) * 10.0
        weight = figures.weight(grams, self.schedule.units)
        boiled = "boiled " if in_fermenter(self.batch) else ""
        return (
            ADD_EXTRACT,
            f"add {weight} of {boiled}extract",
            Action(do=Do.ADD, item=DRY_EXTRACT, grams=grams),
        )

    def water(self, remedy: Remedy) -> tuple[str, str, Action]:
        """Water for the kettle or the fermenter, in the same three parts."""
        litres = figures.volume(remedy.water_l, self.schedule.units)
        if in_fermenter(self.batch):
            action = Action(do=Do.TOP_UP, litres=remedy.water_l, temperature_c=CHILLED_WATER_C)
            chilled = "boiled, chilled water" if not remedy.dry_kg else "water"
            return "top up", f"add {litres} of {chilled}", action
        water_c = self.schedule.kettle.tap_water_c
        action = Action(do=Do.ADD_WATER, litres=remedy.water_l, temperature_c=water_c)
        return "add water", f"add {litres} of water", action

    def carried(self, remedy: Remedy) -> tuple[Batch, Prospect]:
        """The batch and what is to come with a remedy taken."""
        kettle = self.schedule.kettle
        batch, prospect = self.batch, with_boil(self.prospect, remedy.boil_min)
        if remedy.dry_kg:
            batch = with_extract(batch, kettle, dry_extract(remedy.dry_kg), self.at_s)
        if remedy.water_l:
            batch = with_water(batch, kettle, remedy.water_l, self.at_s)
        return batch, prospect

    def effect(self, remedy: Remedy) -> str:
        """Where a remedy leads: gravity, volume, and what else it changes."""
        end, prospect, water_l = self._end(remedy)
        ibu = finished_ibu(end, prospect.doses, prospect.boiling_c)
        fermenter_l = end.fermenter_volume_l
        if not in_fermenter(self.batch):
            # What is too much stays in the kettle.
            fermenter_l = min(fermenter_l, self.plan.fermenter_volume_l)
        parts = [
            figures.gravity(end.original_gravity),
            figures.volume(fermenter_l, self.schedule.units),
        ]
        if abs(ibu - self.plan.ibu) >= 2:
            parts.append(f"{ibu:.0f} IBU")
        colour_ebc = self._colour_ebc(remedy, end.original_gravity)
        if abs(colour_ebc - self.plan.colour_ebc) >= max(0.1 * self.plan.colour_ebc, 2.0):
            parts.append(f"{colour_ebc:.0f} EBC")
        if water_l:
            let_down = figures.volume(water_l, self.schedule.units)
            parts.append(f"let down with {let_down} in the fermenter")
        if remedy.boil_min:
            side = "later" if remedy.boil_min > 0 else "sooner"
            parts.append(f"{figures.duration(abs(remedy.boil_min) * 60)} {side}")
        return ", ".join(parts)

    def _colour_ebc(self, remedy: Remedy, gravity: float) -> float:
        """The beer's colour: the grist's own, in so much wort; pale extract adds next to none."""
        grist_share = self.batch.extract_kg / (
            self.batch.extract_kg + DRY_EXTRACT_YIELD * remedy.dry_kg
        )
        strength = grist_share * (gravity - 1.0) / max(self.plan.original_gravity - 1.0, 0.001)
        volume_l = self.plan.fermenter_volume_l / min(max(strength, 0.2), 5.0)
        return beer_colour_ebc(
            [(malt.weight_kg, malt.colour_ebc) for malt in self.schedule.grist], volume_l
        )

    def _end(self, remedy: Remedy) -> tuple[Outcome, Prospect, float]:
        """The end with a remedy, and the litres it is likely to be let down with."""
        batch, prospect = self.carried(remedy)
        ahead = look_ahead(batch, self.schedule, self.plan, prospect)
        water_l = 0.0 if remedy == LEAVING else likely_top_up_l(ahead)
        if water_l < TOLD_VOLUME_L:
            return end_of(batch, self.schedule, prospect, self.at_s), prospect, 0.0
        prospect = replace(
            prospect,
            top_up_l=prospect.top_up_l + water_l,
            most_l=stops_at_l(ahead, let_down=True),
        )
        return end_of(batch, self.schedule, prospect, self.at_s), prospect, water_l

    def why(self, remedy: Remedy) -> str:
        """The figures behind the best remedy, in one sentence."""
        units = self.schedule.units
        now_l = figures.volume(kettle_volume_l(self.batch, self.schedule, self.at_s), units)
        stands, cured = (self._end(each)[0] for each in (LEAVING, remedy))
        makes, lands = (
            f"{figures.volume(end.fermenter_volume_l, units)} of "
            f"{figures.gravity(end.original_gravity)}"
            for end in (stands, cured)
        )
        return f"As it stands {now_l} make {makes}; that way they make {lands}."


ACTS: Mapping[str, Callable[[Carrier, Remedy], tuple[str, str, Action]]] = MappingProxyType(
    {"boil_min": Carrier.boil, "dry_kg": Carrier.extract, "water_l": Carrier.water}
)
"""The word, the phrase and the action for each size of a remedy."""


def with_boil(prospect: Prospect, change_min: float) -> Prospect:
    """The prospect with the boil longer or shorter: hops already in the kettle get it too."""
    return replace(
        prospect,
        boil_minutes_left=prospect.boil_minutes_left + change_min,
        doses=tuple(
            replace(dose, minutes=dose.minutes + change_min)
            if dose.in_kettle and dose.minutes is not None
            else dose
            for dose in prospect.doses
        ),
    )


def in_fermenter(batch: Batch) -> bool:
    """Whether the wort has left the kettle."""
    return batch.place is Place.FERMENTER
