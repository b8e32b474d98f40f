"""What the day knows of sensors that report by themselves."""

from dataclasses import dataclass

from assistant.day.quantities import Quantity
from assistant.day.unrest import Unrest


@dataclass(frozen=True, kw_only=True)
class Sensing:
    """Which sensors can't be had now: all of them where they are ``gone``, those that are
    ``silent`` else. ``unrest`` holds at most one of each."""

    gone: bool = False
    silent: tuple[Quantity, ...] = ()
    unrest: tuple[Unrest, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Stream:
    """One sensor: when its reading was last acted on, and when one was last doubted aloud.

    ``fine_s`` is since when its readings have been likely again after that, ``stalled_s`` when it
    was last told that it shows no heating.
    """

    quantity: Quantity
    acted_s: float | None = None
    doubted_s: float | None = None
    fine_s: float | None = None
    stalled_s: float | None = None
