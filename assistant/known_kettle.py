"""A schedule planned with what past brews left: a kettle that is known, yeast that was kept."""

from dataclasses import dataclass, replace

from assistant.advice.card_changes import ON_CARD, is_another, with_card
from assistant.advice.learned import LearnedKettle, Trait, card_figure, with_learned
from assistant.advice.plan import Plan, make_plan
from assistant.advice.slurry import SlurryAtHand, may_have_kept, slurry_for, with_slurry
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.record.errors import RecordError
from assistant.record.journal import Journal
from assistant.record.slurries import slurries
from assistant.schedule.model import Heater, Schedule


@dataclass(frozen=True, kw_only=True)
class Start:
    """Where a day starts: the schedule with the figures it is planned with, and its plan.

    ``learned`` is what those figures are from; None where they are the card's. ``slurry`` is the
    yeast kept of an earlier beer that it is to be pitched with, if any.
    """

    schedule: Schedule
    plan: Plan
    learned: LearnedKettle | None
    slurry: SlurryAtHand | None = None


def start_of(journal: Journal, schedule: Schedule, wall_s: float) -> Start:
    """Where a day of this schedule starts at ``wall_s``, by what is on record of its kettle.

    Slurry kept of the same yeast tells its own age.

    A figure of the card that was changed since counts from the card again. Figures with which this
    beer could not be brewed are no help to its brewer: then the card holds. Raises
    :class:`~assistant.record.errors.RecordError` where the record can't be read, and what
    :func:`~assistant.advice.plan.make_plan` raises for the schedule as it is written.
    """
    slurry = None
    if may_have_kept(schedule):
        slurry = slurry_for(schedule, slurries(journal), wall_s)
        schedule = with_slurry(schedule, slurry)
    learned = journal.learned(schedule.kettle.name)
    if learned is not None:
        learned = with_card(learned, schedule.kettle, _last_heater(journal, schedule.kettle.name))
        known = with_learned(schedule, learned)
        try:
            return Start(schedule=known, plan=make_plan(known), learned=learned, slurry=slurry)
        except (OutOfRange, NeverReaches):
            pass
    return Start(schedule=schedule, plan=make_plan(schedule), learned=None, slurry=slurry)


def learned_in(journal: Journal, schedule: Schedule) -> LearnedKettle | None:
    """What the figures in a day's schedule were learned from, for a day that has no event yet.

    Those that are not as the record has them were the card's. None where all of them were, or the
    record has come to know the kettle otherwise since. Raises as :func:`start_of` does.
    """
    learned = journal.learned(schedule.kettle.name)
    if learned is None:
        return None
    another = is_another(_last_heater(journal, schedule.kettle.name), schedule.kettle.heater)
    carded = [trait for trait in ON_CARD if trait in learned.figures]
    from_card = tuple(
        trait
        for trait in carded
        if card_figure(schedule.kettle, trait) != learned.figures[trait].value
        or (another and trait is Trait.HEATER)
    )
    if len(from_card) == len(carded):
        return None
    gone = {*from_card, Trait.COAST} if another else set(from_card)
    kept = {trait: figure for trait, figure in learned.figures.items() if trait not in gone}
    return replace(learned, figures=kept, from_card=from_card)


def _last_heater(journal: Journal, kettle_name: str) -> Heater | None:
    """The heater of the last brew that taught; None where its schedule can't be read."""
    try:
        schedule = journal.last_taught_with(kettle_name)
    except RecordError:
        return None
    return None if schedule is None else schedule.kettle.heater
