"""What became of two beers after their days, side by side."""

from collections.abc import Callable

from assistant.advice import figures
from assistant.record.reporting.account import Account
from assistant.record.reporting.fermentation import Fermentation
from assistant.record.reporting.fermentation_words import (
    alcohol_words,
    gravity_words,
    share_words,
)
from assistant.record.reporting.quantities import NONE, gravity_moved, more_or_less
from assistant.record.reporting.section import Section, Table

Of = Callable[[Fermentation], float | None]
Words = Callable[[float | None], str]
Moved = Callable[[float], str]


def fermentations_beside(one: Account, other: Account, names: tuple[str, str]) -> Section:
    """Where each beer ended, its alcohol, and how long it took; empty where neither is known."""
    both = [account.fermentation for account in (one, other)]
    rows = tuple(
        (
            name,
            words(a),
            words(b),
            _moved(a, b, moved),
        )
        for name, of, words, moved in FIGURES
        for a, b in [[None if told is None else of(told) for told in both]]
    )
    header = ("figure", *names, "the second came to")
    table = Table(
        caption="The beer in its fermenter",
        header=header,
        rows=rows if any(told is not None for told in both) else (),
    )
    return Section(key="fermenter", title="In the fermenter", tables=(table,))


def _moved(a: float | None, b: float | None, moved: Moved) -> str:
    if a is None or b is None:
        return NONE
    return moved(b - a) or "the same"


def _days_words(days: float | None) -> str:
    return NONE if days is None else figures.counted(figures.number(days, 1), "day")


def _days_moved(days: float) -> str:
    return more_or_less(days, _days_words(abs(days)), 0.05)


def _percent_moved(percent: float) -> str:
    return more_or_less(percent, alcohol_words(abs(percent)), 0.05)


def _share_moved(share: float) -> str:
    return more_or_less(share, share_words(abs(share)), 0.005)


def _finish_day(told: Fermentation) -> float | None:
    return told.curve.finish_day if told.gravity_read else None


def _packaged_day(told: Fermentation) -> float | None:
    return None if told.packaged is None else told.day(told.packaged.at)


FIGURES: tuple[tuple[str, Of, Words, Moved], ...] = (
    ("Final gravity", lambda told: told.final_gravity, gravity_words, gravity_moved),
    ("Attenuation, apparent", lambda told: told.attenuation, share_words, _share_moved),
    ("Alcohol by volume", lambda told: told.abv_percent, alcohol_words, _percent_moved),
    ("Finished by the curve, after", _finish_day, _days_words, _days_moved),
    ("Packaged after", _packaged_day, _days_words, _days_moved),
)
"""What is told of both: its name, where it is found, its words and those of a difference."""
