"""Laying a report out: the account of a day as titled sections in the brewer's words."""

from datetime import tzinfo

from assistant.advice import figures
from assistant.record.page import Clock
from assistant.record.reporting.account import Account
from assistant.record.reporting.addition_words import addition_section, bitterness_section
from assistant.record.reporting.course_words import course_section, stage_section
from assistant.record.reporting.fermentation_words import fermentation_section
from assistant.record.reporting.learning_words import deviation_section, kettle_section
from assistant.record.reporting.names import STATUS_WORDS
from assistant.record.reporting.outcome_words import outcome_section, reason_section
from assistant.record.reporting.reading_words import reading_section
from assistant.record.reporting.recipe_words import recipe_section
from assistant.record.reporting.section import Laid
from assistant.record.reporting.talk_words import (
    advice_section,
    incident_section,
    note_section,
    slip_section,
)
from assistant.schedule.faults import harmless
from assistant.schedule.load import INLINE_KETTLE_NAME


def clock_of(account: Account, zone: tzinfo | None = None) -> Clock:
    """The wall clock of a day. A day run with the clock sped up shows the times its own told."""
    return Clock(wall_s=account.day.began_wall, at_s=account.began_s, zone=zone)


def laid_out(account: Account, *, zone: tzinfo | None = None) -> Laid:
    """The report of a day, with the clock times of ``zone``; None is the zone of this machine."""
    clock = clock_of(account, zone)
    sections = (
        recipe_section(account),
        outcome_section(account, clock),
        reason_section(account),
        course_section(account, clock),
        bitterness_section(account),
        advice_section(account, clock),
        deviation_section(account, clock),
        kettle_section(account),
        stage_section(account, clock),
        addition_section(account, clock),
        reading_section(account, clock),
        slip_section(account, clock),
        note_section(account, clock),
        incident_section(account, clock),
        fermentation_section(account, clock),
    )
    return Laid(
        title=account.schedule.beer,
        lines=head_lines(account, clock),
        sections=tuple(section for section in sections if not section.empty),
    )


def head_lines(account: Account, clock: Clock) -> tuple[str, ...]:
    """Which day it was, how much of what was brewed, and from which schedule."""
    schedule, day = account.schedule, account.day
    volume = figures.volume(schedule.volume_l, schedule.units)
    grain = figures.weight(schedule.grain_kg * 1000, schedule.units)
    kettle = schedule.kettle.name
    named = "" if kettle == INLINE_KETTLE_NAME else f", kettle {harmless(kettle)}"
    return (
        f"Day {day.id}: {clock.moment(clock.at_s):%Y-%m-%d}, {clock.time(clock.at_s)} to "
        f"{clock.time(account.ended_s)}, {STATUS_WORDS[day.status]}",
        f"{volume} from {grain} of grain{named}",
        f"Schedule {harmless(day.schedule_path, 300)}",
    )
