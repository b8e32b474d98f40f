"""A simulated kettle: water, grain and wort as masses, one temperature, stepped through time.

It has its own arithmetic, so that advice is judged by another model than the one that gave it.
One well-stirred body gains the heater's power and loses heat to the room (Newton's law of
cooling); at the boiling point what is left over makes steam. Masses of water and extract are
conserved. With the lid off, the heat lost below the boil is a few times as much, all of the
difference taken by steam. Extract dissolves towards the grist's yield with a time constant. Other
forms of this are told by a :class:`~assistant.rehearsal.structure.Structure`.
"""

import math
from dataclasses import dataclass, field
from functools import cached_property

from assistant.brewing.water import GRAIN_DISPLACES_L_KG, WATER_KG_L, volume_hot
from assistant.rehearsal.bittering import Bittering
from assistant.rehearsal.chilling import cooling_w
from assistant.rehearsal.structure import FREER_IN_LIQUID, Structure
from assistant.rehearsal.true_card import STEAM_J_KG, TrueCard
from assistant.rehearsal.truths import Truths
from assistant.rehearsal.two_bodies import exchanged
from assistant.rehearsal.wort import Fermenter, gravity_of, water_in_kg
from assistant.schedule.model import ChillMethod, Kettle, Schedule

STEP_S = 5.0
WATER_J_KG_K = 4186.0
EXTRACT_J_KG_K = 1400.0
"""Specific heat of dissolved extract; sucrose in solution, from memory, unchecked."""

GRAIN_J_KG_K = 1670.0
DRY_EXTRACT_YIELD = 0.96
DAMP_J_K = 1.0
"""An empty kettle is never quite dry."""


@dataclass(kw_only=True)
class SimulatedKettle:
    """A kettle on its day; only :meth:`run` lets time pass. Volumes are litres at 20 °C."""

    card: Kettle
    truths: Truths
    temperature_c: float
    potential_kg: float
    conversion: float
    share_out: float
    structure: Structure = field(default_factory=Structure)
    metal_c: float = field(default=0.0, init=False)
    lagging_c: float = field(default=0.0, init=False)
    water_kg: float = 0.0
    extract_kg: float = 0.0
    grain_kg: float = 0.0
    undissolved_kg: float = 0.0
    poured_l: float = 0.0
    power_w: float = 0.0
    lid_on: bool = True
    cooling: ChillMethod | None = None
    clock_s: float = 0.0
    trace: list[tuple[float, float]] = field(default_factory=list)
    steam_kg: float = 0.0
    steaming: bool = False
    bittering: Bittering = field(default_factory=Bittering)
    postboil_l: float = 0.0
    fermenter: Fermenter | None = None

    def __post_init__(self) -> None:
        """Metal and thermometer are as warm as the content at first."""
        self.metal_c = self.lagging_c = self.temperature_c

    @classmethod
    def of(
        cls,
        schedule: Schedule,
        truths: Truths,
        strike_l: float,
        structure: Structure | None = None,
    ) -> "SimulatedKettle":
        """The empty kettle of a schedule, with its truths and the form of its physics.

        The card's efficiency counts what reaches the kettle from ``strike_l`` of water; more is
        dissolved in the mash by what the grain keeps.
        """
        card = schedule.kettle
        share_out = 1 - card.absorption_l_kg * schedule.grain_kg / strike_l
        return cls(
            card=card,
            truths=truths,
            temperature_c=card.room_c + truths.room_k,
            potential_kg=sum(malt.weight_kg * malt.extract for malt in schedule.grist),
            conversion=min(card.extract_efficiency * truths.extract / share_out, 0.99),
            share_out=share_out,
            structure=structure or Structure(),
        )

    @cached_property
    def true(self) -> TrueCard:
        """The card as it truly is."""
        return TrueCard(card=self.card, truths=self.truths, structure=self.structure)

    @property
    def capacity_j_k(self) -> float:
        """Heat capacity of everything in the kettle, and of the kettle."""
        return (
            self.water_kg * WATER_J_KG_K
            + self.extract_kg * EXTRACT_J_KG_K
            + self.grain_kg * GRAIN_J_KG_K
            + self.card.heat_capacity_j_k
        )

    @property
    def shown_c(self) -> float:
        """What a true thermometer shows."""
        return self.lagging_c if self.structure.thermometer_lag_s else self.temperature_c

    @property
    def gravity(self) -> float:
        """Gravity 20/20 °C of the wort, or of the liquor in a mash."""
        return gravity_of(self.water_kg, self.extract_kg)

    @property
    def volume_l(self) -> float:
        """Litres of wort, cold."""
        return (self.water_kg + self.extract_kg) / (self.gravity * WATER_KG_L)

    @property
    def volume_as_it_stands_l(self) -> float:
        """Litres at their own temperature, as a dipstick shows them: a mash with its grain."""
        if self.grain_kg > 0:
            water_l = volume_hot(self._poured_and_left_l, self.temperature_c)
            return water_l + GRAIN_DISPLACES_L_KG * self.grain_kg
        return volume_hot(self.volume_l, self.temperature_c)

    def run(self, seconds: float) -> None:
        """Let time pass."""
        while seconds > 1e-9:
            step_s = min(STEP_S, seconds)
            self._step(step_s)
            seconds -= step_s

    def heat(self, share: float) -> None:
        """Set the heater to a share of full power."""
        self.power_w = share * self.true.full_power_w

    def boil(self, share: float) -> None:
        """Boil as told: at a share of full power where that makes the boil, else by eye."""
        if self.structure.by_power:
            self.heat(share)
        else:
            self.boil_gently()

    def boil_gently(self) -> None:
        """Set the heater by eye to the boil this kettle keeps: its true boil-off, if it can."""
        self.power_w = self.true.power_by_eye_w(self._loss_w(), self._passes_w_k)

    def pour(self, litres: float, water_c: float) -> None:
        """Pour water in."""
        water_kg = litres * WATER_KG_L
        self._mix(water_kg * WATER_J_KG_K, water_c)
        self.water_kg += water_kg
        self.poured_l += litres

    def grain_in(self, grain_kg: float) -> None:
        """Put the grain in: its heat is shared, its extract begins to dissolve."""
        self._mix(grain_kg * GRAIN_J_KG_K, self.true.room_c + self.truths.grain_k)
        self.grain_kg = grain_kg
        self.undissolved_kg = self.potential_kg * self.conversion

    def lift(self) -> None:
        """Take the bag out with the wort it keeps."""
        if self.grain_kg > 0:
            self.extract_kg, self.water_kg = self._drained()
            self.grain_kg = self.undissolved_kg = 0.0

    @property
    def sample_gravity(self) -> float:
        """Gravity of a sample: of a mash, the wort that would drain from it."""
        if self.grain_kg == 0:
            return self.gravity
        extract_kg, water_kg = self._drained()
        return gravity_of(water_kg, extract_kg)

    def _drained(self) -> tuple[float, float]:
        kept_l = self.card.absorption_l_kg * self.truths.absorption * self.grain_kg
        inside_l = self._poured_and_left_l
        share = self.share_out if self.structure.plain_share else 1 - kept_l / inside_l
        extract_kg = self.extract_kg * share
        return extract_kg, water_in_kg(extract_kg, inside_l - kept_l)

    def add_extract(self, mass_kg: float, share: float) -> None:
        """Dissolve sugar or malt extract of which ``share`` is extract; it comes at room heat."""
        heat_j_k = mass_kg * (share * EXTRACT_J_KG_K + (1 - share) * WATER_J_KG_K)
        self._mix(heat_j_k, self.true.room_c)
        self.extract_kg += mass_kg * share
        self.water_kg += mass_kg * (1 - share)

    def transfer(self, most_l: float | None = None) -> None:
        """Run the wort, or so much of it, into the fermenter, leaving the trub's share behind."""
        self.postboil_l = self.volume_l
        left_l = self.card.left_behind_l * self.truths.left_behind
        moved_l = min(max(self.postboil_l - left_l, 0.1), most_l or self.postboil_l)
        moved_kg = self.extract_kg * moved_l / self.postboil_l
        self.fermenter = Fermenter(
            volume_l=moved_l,
            boiled_l=moved_l,
            extract_kg=moved_kg,
            temperature_c=self.temperature_c,
        )
        self.water_kg -= water_in_kg(moved_kg, moved_l)
        self.extract_kg -= moved_kg

    def top_up(self, litres: float, water_c: float) -> None:
        """Add water to the fermenter, if there is wort in it."""
        if self.fermenter is None:
            return
        inside = self.fermenter
        whole_l = inside.volume_l + litres
        inside.temperature_c = (inside.temperature_c * inside.volume_l + water_c * litres) / whole_l
        inside.volume_l = whole_l

    def bitterness_ibu(self) -> float:
        """Bitterness in the fermenter, with the minutes, volume and gravity there were."""
        inside = self.fermenter
        if inside is None:
            return 0.0
        return self.bittering.ibu(self.postboil_l) * inside.boiled_l / inside.volume_l

    def mean_c(self, from_s: float, to_s: float) -> float:
        """Mean temperature between two moments of the day; now's where there was no time."""
        within = [warm_c for at_s, warm_c in self.trace if from_s <= at_s <= to_s]
        return sum(within) / len(within) if within else self.temperature_c

    def _step(self, step_s: float) -> None:
        dissolved_kg = self.undissolved_kg * -math.expm1(-step_s / self.structure.dissolves_s)
        self.undissolved_kg -= dissolved_kg
        self.extract_kg += dissolved_kg
        open_w = 0.0
        if not (self.lid_on or self.steaming):
            room_k = self.temperature_c - self.true.room_c
            open_w = (self.structure.lid_off - 1) * self.true.room_w_k * room_k
        warmer_c = self._warmed_c(step_s, open_w)
        surplus_j = max(warmer_c - self.true.boiling_c, 0.0) * self._content_j_k
        self.temperature_c = min(warmer_c, self.true.boiling_c)
        self._evaporate((surplus_j + open_w * step_s) / STEAM_J_KG)
        self.steaming = surplus_j > 0
        if self.steaming:
            self.bittering.boil(step_s, self.gravity)
        if self.fermenter is None:
            self.bittering.isomerise(step_s, self.temperature_c)
        lag_s = self.structure.thermometer_lag_s
        if lag_s:
            self.lagging_c -= (self.temperature_c - self.lagging_c) * math.expm1(-step_s / lag_s)
        self.clock_s += step_s
        self.trace.append((self.clock_s, self.temperature_c))

    def _warmed_c(self, step_s: float, open_w: float) -> float:
        """How warm the content would be after a step if it could not boil."""
        taken_w = open_w + self._cooling_w()
        if self.structure.metal_w_k is None:
            gain_w = self.power_w - self._loss_w() - taken_w
            return self.temperature_c + gain_w * step_s / self.capacity_j_k
        self.metal_c, warmer_c = exchanged(
            (self.card.heat_capacity_j_k, self.metal_c, self.power_w - self._loss_w()),
            (self._content_j_k, self.temperature_c, -taken_w),
            self._passes_w_k,
            step_s,
        )
        return warmer_c

    @property
    def _content_j_k(self) -> float:
        """Heat capacity of what is as warm as the content: with the metal, unless it is a body."""
        if self.structure.metal_w_k is None:
            return self.capacity_j_k
        return max(self.capacity_j_k - self.card.heat_capacity_j_k, DAMP_J_K)

    @property
    def _passes_w_k(self) -> float:
        freer = 1.0 if self.grain_kg > 0 else FREER_IN_LIQUID
        return freer * (self.structure.metal_w_k or 0.0)

    @property
    def _poured_and_left_l(self) -> float:
        return self.poured_l - self.steam_kg / WATER_KG_L

    def _evaporate(self, steam_kg: float) -> None:
        steam_kg = min(steam_kg, self.water_kg)
        self.water_kg -= steam_kg
        self.steam_kg += steam_kg

    def _loss_w(self) -> float:
        body_c = self.temperature_c if self.structure.metal_w_k is None else self.metal_c
        more_w = self.true.more_lost_at_boil_w if self.steaming else 0.0
        return self.true.room_w_k * (body_c - self.true.room_c) + more_w

    def _cooling_w(self) -> float:
        if self.cooling is None:
            return 0.0
        return self.truths.chilling * cooling_w(
            self.cooling, volume_l=self.volume_l, wort_c=self.temperature_c, tap_c=self.true.tap_c
        )

    def _mix(self, added_j_k: float, added_c: float) -> None:
        own_j_k = self._content_j_k
        heat_j = self.temperature_c * own_j_k + added_c * added_j_k
        self.temperature_c = heat_j / (own_j_k + added_j_k)
