"""A kettle card as it truly is: its figures with the day's truths, in the form of its physics."""

from dataclasses import dataclass
from functools import cached_property

from assistant.brewing.heat import boiling_point_c
from assistant.brewing.water import WATER_KG_L
from assistant.rehearsal.structure import Structure
from assistant.rehearsal.truths import Truths
from assistant.schedule.model import Kettle

STEAM_J_KG = 2_256_500.0
LEAST_BOIL_POWER = 0.3
"""No boil is turned lower than this share of full power; common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class TrueCard:
    """The card, what is true of it, and the form that truth has."""

    card: Kettle
    truths: Truths
    structure: Structure

    @cached_property
    def room_c(self) -> float:
        """The true room."""
        return self.card.room_c + self.truths.room_k

    @cached_property
    def tap_c(self) -> float:
        """The true tap water."""
        return self.card.tap_water_c + self.truths.tap_k

    @cached_property
    def boiling_c(self) -> float:
        """The boiling point of water here; wort's is 0.2 °C higher, left out."""
        return boiling_point_c(self.card.altitude_m)

    @cached_property
    def full_power_w(self) -> float:
        """What truly reaches the wort at full power."""
        heater = self.card.heater
        return heater.power_w * min(heater.efficiency * self.truths.heater, 1.0)

    @cached_property
    def room_w_k(self) -> float:
        """What is truly lost to the room, lid on, for each kelvin above it."""
        return self.card.heat_loss_w_k * self.truths.heat_loss

    @cached_property
    def steam_w(self) -> float:
        """What the kettle's own rate of boil-off takes."""
        return self._card_steam_w * self.truths.boil_off

    @cached_property
    def more_lost_at_boil_w(self) -> float:
        """What a boil loses beyond Newton's loss, where it goes by its power.

        It is such that the power the card implies boils off what the kettle truly does; but what a
        boil loses in all is never below nothing.
        """
        if not self.structure.by_power:
            return 0.0
        card_loss_w = self.card.heat_loss_w_k * (self.boiling_c - self.card.room_c)
        implied = (self._card_steam_w + card_loss_w) / self.card.heater.reaches_w
        implied_w = min(max(implied, LEAST_BOIL_POWER), 1.0) * self.full_power_w
        return max(implied_w - self.steam_w, 0.0) - self.room_w_k * (self.boiling_c - self.room_c)

    def power_by_eye_w(self, loss_w: float, passes_w_k: float) -> float:
        """The power that keeps the kettle's own rate of boil-off, if the heater has it.

        ``loss_w`` is what one body loses as it is; hot metal, which passes ``passes_w_k``, is
        hotter than the wort by its power over that, and loses more.
        """
        wanted_w = self.steam_w + loss_w
        if self.structure.metal_w_k is not None:
            at_boil_w = self.room_w_k * (self.boiling_c - self.room_c)
            wanted_w = (self.steam_w + at_boil_w) / (1 - self.room_w_k / passes_w_k)
        return min(wanted_w, self.full_power_w)

    @cached_property
    def _card_steam_w(self) -> float:
        return self.card.boil_off_l_h * WATER_KG_L / 3600 * STEAM_J_KG
