"""A schedule planned with its kettle as past brews have taught it, or as its card has it."""

from dataclasses import dataclass

from assistant.advice.learned import LearnedKettle, with_learned
from assistant.advice.plan import Plan, make_plan
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.record.journal import Journal
from assistant.schedule.model import Schedule


@dataclass(frozen=True, kw_only=True)
class Start:
    """Where a day starts: the schedule with the figures it is planned with, and its plan.

    ``learned`` is what those figures are from; None where they are the card's.
    """

    schedule: Schedule
    plan: Plan
    learned: LearnedKettle | None


def start_of(journal: Journal, schedule: Schedule) -> Start:
    """Where a day of this schedule starts, by what is on record of its kettle.

    Figures with which this beer could not be brewed are no help to its brewer: then the card
    holds. Raises :class:`~assistant.record.errors.RecordError` where the record can't be read, and
    what :func:`~assistant.advice.plan.make_plan` raises for the schedule as it is written.
    """
    learned = journal.learned(schedule.kettle.name)
    if learned is not None:
        known = with_learned(schedule, learned)
        try:
            return Start(schedule=known, plan=make_plan(known), learned=learned)
        except (OutOfRange, NeverReaches):
            pass
    return Start(schedule=schedule, plan=make_plan(schedule), learned=None)
