"""The part of a day that a chart shows: until nothing happened for half a day."""

from collections.abc import Iterator
from dataclasses import replace

from assistant.record.reporting.account import Account

STANDS_STILL_S = 12 * 3600.0
"""A day in which nothing happens for so long was left, and is drawn no further."""

AFTER_S = 1800.0


def drawn_until_s(account: Account) -> float:
    """How far a chart goes: to the day's end, or a little past where it was left for long."""
    last_s = account.began_s
    for at_s in sorted(_happened(account)):
        if at_s - last_s > STANDS_STILL_S:
            return last_s + AFTER_S
        last_s = max(last_s, at_s)
    return account.ended_s


def drawn_part(account: Account) -> Account:
    """The account with what a chart shows of it, and nothing after."""
    until_s = drawn_until_s(account)
    if until_s >= account.ended_s:
        return account
    return replace(
        account,
        ended_s=until_s,
        believed=tuple(moment for moment in account.believed if moment.at_s <= until_s),
        readings=tuple(seen for seen in account.readings if seen.reading.at <= until_s),
        marks=tuple(mark for mark in account.marks if mark.at_s <= until_s),
        targets=tuple(target for target in account.targets if target.from_s <= until_s),
        stages=tuple(
            replace(spent, until_s=min(spent.until_s, until_s))
            for spent in account.stages
            if spent.from_s <= until_s
        ),
    )


def _happened(account: Account) -> Iterator[float]:
    yield from (spent.from_s for spent in account.stages)
    yield from (seen.reading.at for seen in account.readings)
    in_s = (line.in_s for line in account.additions if line.in_s is not None)
    # What went into the fermenter belongs to another day.
    yield from (at_s for at_s in in_s if at_s <= account.ended_s)
    yield from (note.at for note in account.notes)
    yield from (advice.chosen_s or advice.at_s for advice in account.advice)
    yield account.ended_s
