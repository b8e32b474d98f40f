"""What a mash does at each temperature it is held at."""

from dataclasses import dataclass
from typing import Final

from assistant.brewing.errors import require


@dataclass(frozen=True, kw_only=True)
class MashRest:
    """A range of mash temperatures and what it is for.

    From `low_c` up to, not with, `high_c`, both °C; `usual_minutes` is how long it is held, least
    and most.
    """

    name: str
    low_c: float
    high_c: float
    usual_minutes: tuple[float, float]
    effect: str


RESTS: Final[tuple[MashRest, ...]] = (
    MashRest(
        name="gum rest",
        low_c=35.0,
        high_c=45.0,
        usual_minutes=(15.0, 20.0),
        effect="loosens gums of rye and oats",
    ),
    MashRest(
        name="protein rest",
        low_c=45.0,
        high_c=55.0,
        usual_minutes=(0.0, 20.0),
        effect="clears haze, thins the head",
    ),
    MashRest(
        name="beta-amylase rest",
        low_c=55.0,
        high_c=65.0,
        usual_minutes=(30.0, 60.0),
        effect="a drier beer",
    ),
    MashRest(
        name="single infusion",
        low_c=65.0,
        high_c=68.0,
        usual_minutes=(45.0, 90.0),
        effect="alcohol and body alike",
    ),
    MashRest(
        name="alpha-amylase rest",
        low_c=68.0,
        high_c=75.0,
        usual_minutes=(20.0, 30.0),
        effect="body",
    ),
    MashRest(
        name="mash-out",
        low_c=75.0,
        high_c=80.01,
        usual_minutes=(5.0, 10.0),
        effect="thins the wort",
    ),
)
"""From cold to hot. Source: J. Palmer, How to Brew, the table of rests, by way of a later
quotation; other books move each limit by 2 or 3 °C, and 72 to 75 °C, which it leaves open, is put
with the rest below it."""


def mash_rest(temperature_c: float) -> MashRest:
    """What a mash held at `temperature_c` is doing.

    `temperature_c` is 35 to 80 °C; raises `OutOfRange` outside that. The limits are not sharp:
    enzymes work, and die, on either side of each. At 65 °C half of the beta-amylase is gone in
    about ten minutes (R. E. Muller, 1990, as later quoted), so the first twenty decide how dry the
    beer will be.
    Source: as for `RESTS`.
    """
    require("mash temperature", temperature_c, RESTS[0].low_c, 80.0, "°C")
    return next(rest for rest in reversed(RESTS) if temperature_c >= rest.low_c)
