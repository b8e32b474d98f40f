"""What is still to come for a beer in its fermenter: one moment each, with what is to be done."""

from dataclasses import dataclass
from enum import Enum


class Kind(Enum):
    """What a moment to come is for."""

    ADDITION = "addition"
    GRAVITY = "gravity"
    REST = "diacetyl rest"
    STEADY = "steady gravity"
    PACKAGE = "packaging"
    READY = "ready"


@dataclass(frozen=True, kw_only=True)
class Coming:
    """One thing that is to come.

    ``key`` names it among all that comes for the same beer and stays the same from run to run, such
    as ``addition 5`` or ``package``. ``what`` is a short sentence without its stop, ``note`` a
    sentence or two more. ``at_s`` is its moment in seconds since the brew day began, as in the
    record; ``low_s`` and ``high_s`` are the earliest and the latest where that is foretold.
    """

    key: str
    kind: Kind
    what: str
    note: str
    at_s: float
    low_s: float | None = None
    high_s: float | None = None
