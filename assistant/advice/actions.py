"""The things a brewer can be asked to do: one list for the tasks of the day and for remedies."""

from dataclasses import dataclass
from enum import Enum


class Do(Enum):
    """What is to be done; the value is its name outside the program."""

    FILL = "fill"
    HEAT = "heat"
    HEAT_FOR = "heat_for"
    DOUGH_IN = "dough_in"
    STIR = "stir"
    HOLD = "hold"
    LIFT = "lift"
    BOIL = "boil"
    ADD = "add"
    ADD_WATER = "add_water"
    BOIL_LONGER = "boil_longer"
    BOIL_SHORTER = "boil_shorter"
    FLAMEOUT = "flameout"
    WHIRLPOOL = "whirlpool"
    SETTLE = "settle"
    CHILL = "chill"
    TRANSFER = "transfer"
    TOP_UP = "top_up"
    AERATE = "aerate"
    PITCH = "pitch"
    LEAVE_IT = "leave_it"


@dataclass(frozen=True, kw_only=True)
class Action:
    """One thing to do with the figures that belong to it; the others are None.

    ``power`` is the share of full power, 0 to 1; volumes are litres at 20 °C.
    """

    do: Do
    litres: float | None = None
    to_c: float | None = None
    at_c: float | None = None
    temperature_c: float | None = None
    power: float | None = None
    seconds: float | None = None
    minutes: float | None = None
    kg: float | None = None
    item: str | None = None
    grams: float | None = None
    millilitres: float | None = None
    cells_billion: float | None = None


@dataclass(frozen=True, kw_only=True)
class Option:
    """One way out of a finding.

    ``say`` is the word that chooses it, ``phrase`` what is offered aloud, with its figures, and
    ``effect`` where it leads. ``then`` is what has to be done as well, at once.
    """

    say: str
    phrase: str
    action: Action
    effect: str
    then: tuple[Action, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Finding:
    """Something off the plan, with the options the brewer has; ``recommended`` is an option's say.

    ``about`` is the quantity it concerns and ``finding`` the fact in a few words. ``why`` is one
    sentence for a brewer who asks: the figures behind the fact and behind what is recommended, in
    at most 20 words.
    """

    about: str
    finding: str
    options: tuple[Option, ...]
    recommended: str
    why: str = ""
