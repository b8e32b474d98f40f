"""What comes and goes: told as it does at first, then as that, once, until it rests."""

from dataclasses import dataclass, replace

RESTS_S = 300.0
"""A trouble that neither came nor went for so long is told again like a new one."""

CHANGES_TOLD = 4
"""Within :data:`RESTS_S`: gone and back, and once more. After that they are a nuisance."""


@dataclass(frozen=True, kw_only=True)
class Unrest:
    """When a trouble, named by its ``field``, came or went of late.

    Once it was ``told`` that it comes and goes, nothing more is said of it until it rests.
    """

    field: str
    at_s: tuple[float, ...] = ()
    told: bool = False


def unrest_of(field: str, among: tuple[Unrest, ...]) -> Unrest:
    """The unrest of that field, or one that has not begun."""
    return next((each for each in among if each.field == field), Unrest(field=field))


def put(unrest: Unrest, among: tuple[Unrest, ...]) -> tuple[Unrest, ...]:
    """``among`` with this unrest in place of the one of its field."""
    return (*(each for each in among if each.field != unrest.field), unrest)


def stirred(unrest: Unrest, now_s: float) -> Unrest:
    """The unrest after one more change; where the last is long ago it is the first of a new one."""
    recent = tuple(at_s for at_s in unrest.at_s if now_s - at_s < RESTS_S)
    recent = (*recent, now_s)[-CHANGES_TOLD - 1 :]
    told = len(recent) > CHANGES_TOLD or (unrest.told and len(recent) > 1)
    return replace(unrest, at_s=recent, told=told)
