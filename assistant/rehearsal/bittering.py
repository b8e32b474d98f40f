"""The hops in the simulated kettle and what its boil has made of them."""

from dataclasses import dataclass, field

from assistant.brewing.hops import WHOLE_AGAINST_PELLETS, utilisation, worth_of_a_minute
from assistant.schedule.model import HopForm


@dataclass(kw_only=True)
class Hops:
    """Hops in the kettle: grams of alpha acid and the boil minutes they have had."""

    alpha_g: float
    minutes: float = 0.0


@dataclass(kw_only=True)
class Bittering:
    """All the hops, and how long and at which gravity it boiled: ``gravity_s`` is their product."""

    hops: list[Hops] = field(default_factory=list)
    boil_s: float = 0.0
    gravity_s: float = 0.0

    def add(self, weight_g: float, alpha: float, form: HopForm | None) -> None:
        """Add hops; whole cones give less of their alpha acid than pellets."""
        yields = WHOLE_AGAINST_PELLETS if form is HopForm.WHOLE else 1.0
        self.hops.append(Hops(alpha_g=weight_g * alpha * yields))

    def boil(self, seconds: float, gravity: float) -> None:
        """Count time at a rolling boil."""
        self.boil_s += seconds
        self.gravity_s += gravity * seconds

    def isomerise(self, seconds: float, wort_c: float) -> None:
        """Count time in the kettle for what it is worth at its temperature, boil or not.

        Source: Malowicki and Shellhammer (2005).
        """
        if self.hops:
            worth_min = seconds / 60 * worth_of_a_minute(min(wort_c, 100.0))
            for hops in self.hops:
                hops.minutes += worth_min

    def ibu(self, postboil_l: float) -> float:
        """Bitterness in the wort after the boil: Tinseth's, with the minutes there were."""
        if self.boil_s == 0:
            return 0.0
        gravity = self.gravity_s / self.boil_s
        return sum(
            utilisation(gravity, hops.minutes) * hops.alpha_g * 1000 / postboil_l
            for hops in self.hops
        )
