"""How a kettle truly is beside its card: what no brewer knows before the day.

The spreads are what a home brewer's figures may be off by; common practice, no source.
"""

import random
from dataclasses import dataclass

FARTHEST = 2.0
"""No truth is drawn farther out than this many standard deviations."""


@dataclass(frozen=True, kw_only=True)
class Truths:
    """Factors on the figures of the kettle card (1: as it says) and offsets in kelvin.

    ``grain_k`` is how much warmer than the room the grain is, ``thermometer_k`` how much too high
    the thermometer reads.
    """

    heater: float = 1.0
    heat_loss: float = 1.0
    boil_off: float = 1.0
    absorption: float = 1.0
    extract: float = 1.0
    left_behind: float = 1.0
    chilling: float = 1.0
    room_k: float = 0.0
    tap_k: float = 0.0
    grain_k: float = 0.0
    thermometer_k: float = 0.0

    @classmethod
    def drawn(cls, seed: int) -> "Truths":
        """Truths drawn from their spreads; the same for the same seed."""
        source = random.Random(seed)

        def about(middle: float, spread: float) -> float:
            off = source.gauss(0.0, 1.0)
            return middle + spread * min(max(off, -FARTHEST), FARTHEST)

        return cls(
            heater=about(0.97, 0.05),
            heat_loss=about(1.1, 0.2),
            boil_off=about(1.0, 0.12),
            absorption=about(1.0, 0.1),
            extract=about(1.0, 0.05),
            left_behind=about(1.0, 0.2),
            chilling=about(0.95, 0.12),
            room_k=about(0.0, 1.5),
            tap_k=about(0.0, 1.0),
            grain_k=about(-2.0, 2.5),
            thermometer_k=about(0.0, 0.3),
        )


INSTRUCTIVE = Truths(
    heater=0.95,
    heat_loss=1.25,
    boil_off=1.15,
    absorption=1.06,
    extract=0.93,
    left_behind=1.1,
    chilling=0.9,
    room_k=-1.0,
    tap_k=1.0,
    grain_k=-8.0,
    thermometer_k=0.4,
)
"""A day with much to learn: cold grain from the shed, a thin mash, a kettle that boils hard."""
