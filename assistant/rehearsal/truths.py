"""How a kettle truly is beside its card: what no brewer knows before the day.

The spreads are what a home brewer's figures may be off by; common practice, no source.
"""

import random
from collections.abc import Mapping
from dataclasses import dataclass

EVENLY: Mapping[str, tuple[float, float]] = {
    "heater": (0.88, 1.12),
    "heat_loss": (0.7, 1.5),
    "boil_off": (0.7, 1.35),
    "absorption": (0.75, 1.25),
    "extract": (0.9, 1.08),
    "left_behind": (0.6, 1.4),
    "chilling": (0.8, 1.1),
    "room_k": (-3.0, 3.0),
    "tap_k": (-3.0, 3.0),
    "grain_k": (-2.0, 2.0),
    "thermometer_k": (-0.3, 0.3),
}
"""How far a kettle nobody has measured may be off its card, each figure by its name."""

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

    @classmethod
    def drawn_evenly(cls, seed: int) -> "Truths":
        """Truths of an unmeasured kettle, anywhere between their ends; the same for a seed."""
        source = random.Random(f"truths {seed}")
        return cls(**{name: source.uniform(*ends) for name, ends in EVENLY.items()})


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
