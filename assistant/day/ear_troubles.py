"""What is wrong with the ear and the voice now, and what of it comes and goes."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Unrest:
    """When one of the ear's troubles, the ``field`` of :class:`Ear`, came or went of late.

    Once it was ``told`` that it comes and goes, nothing more is said of it until it rests.
    """

    field: str
    at_s: tuple[float, ...] = ()
    told: bool = False


@dataclass(frozen=True, kw_only=True)
class Ear:
    """Which troubles the ear and the voice have now; ``not_caught`` counts in a row.

    ``unrest`` holds at most one of each field.
    """

    too_loud: bool = False
    no_microphone: bool = False
    no_voice: bool = False
    no_recogniser: bool = False
    not_caught: int = 0
    unrest: tuple[Unrest, ...] = ()
