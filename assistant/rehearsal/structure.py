"""What forms the true kettle's physics can take, so that no advice is tuned to one of them.

The spreads are what home kettles may differ by; common practice, no source.
"""

import random
from dataclasses import dataclass

LID_OFF = 2.5
"""Heat lost with the lid off against lid on, below the boil; an estimate, no source."""

DISSOLVES_S = 720.0
"""Time constant of conversion: 95 % of the extract is dissolved in 36 minutes; an estimate."""

FREER_IN_LIQUID = 2.5
"""Water or wort takes up heat from the metal so many times as well as a mash; an estimate."""


@dataclass(frozen=True, kw_only=True)
class Structure:
    """The form of a kettle's physics; as it stands, that of a rehearsal.

    With ``metal_w_k`` the heater warms the metal, which passes so many watts per kelvin to a mash
    and loses heat to the room; None where metal and content are one body. The thermometer shows
    what was ``thermometer_lag_s`` ago, smoothed. ``by_power`` tells that a boil gives off what its
    power leaves, instead of being set by eye to the kettle's own rate, and ``plain_share`` that the
    bag keeps a fixed share of the extract, instead of that of the wort it keeps. Extract dissolves
    with the time constant ``dissolves_s``; ``lid_off`` is the heat lost with the lid off against
    lid on.
    """

    metal_w_k: float | None = None
    thermometer_lag_s: float = 0.0
    by_power: bool = False
    plain_share: bool = False
    dissolves_s: float = DISSOLVES_S
    lid_off: float = LID_OFF

    @classmethod
    def drawn(cls, seed: int) -> "Structure":
        """A form drawn from all of them; the same for the same seed."""
        source = random.Random(f"structure {seed}")
        two_bodies = source.random() < 0.5
        passes_w_k, lag_s = source.uniform(150.0, 500.0), source.uniform(10.0, 25.0)
        return cls(
            metal_w_k=passes_w_k if two_bodies else None,
            thermometer_lag_s=lag_s if two_bodies else 0.0,
            by_power=source.random() < 0.5,
            plain_share=source.random() < 0.5,
            dissolves_s=60.0 * source.uniform(8.0, 20.0),
            lid_off=source.uniform(1.5, 3.0),
        )
