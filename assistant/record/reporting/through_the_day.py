"""A day at regular moments: temperature by plan and as believed, volume and gravity."""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from assistant.advice.planned_course import Point
from assistant.record.reporting.account import Account
from assistant.record.reporting.followed import Believed

STEPS_S = (900.0, 1800.0, 3600.0, 4 * 3600.0, 24 * 3600.0, 7 * 24 * 3600.0)
MOST_ROWS = 40
"""The shortest of these steps is taken that leaves no more rows than a page can bear."""


@dataclass(frozen=True, kw_only=True)
class Then:
    """A moment of the day; None for what there was not, or was not planned."""

    at_s: float
    planned_c: float | None
    believed: Believed | None


def through_the_day(account: Account) -> tuple[Then, ...]:
    """The day from its start to its end in equal steps."""
    if not account.believed:
        return ()
    moments_s = [believed.at_s for believed in account.believed]
    return tuple(
        Then(
            at_s=at_s,
            planned_c=planned_c(account.planned_course, at_s),
            believed=_last_before(account.believed, moments_s, at_s),
        )
        for at_s in _moments(account)
    )


def planned_c(course: Sequence[Point], at_s: float) -> float | None:
    """The planned temperature at a moment; None before the day and once the kettle is empty."""
    if not course or not course[0].at_s <= at_s <= course[-1].at_s:
        return None
    place = bisect_right([point.at_s for point in course], at_s)
    before = course[place - 1]
    if place == len(course) or course[place].at_s <= before.at_s:
        return before.temperature_c
    after = course[place]
    share = (at_s - before.at_s) / (after.at_s - before.at_s)
    return before.temperature_c + share * (after.temperature_c - before.temperature_c)


def _moments(account: Account) -> Iterator[float]:
    length_s = account.ended_s - account.began_s
    step_s = next((s for s in STEPS_S if length_s / s <= MOST_ROWS), length_s / MOST_ROWS)
    for step in range(int(length_s / step_s) + 1):
        yield account.began_s + step * step_s


def _last_before(
    believed: Sequence[Believed], moments_s: Sequence[float], at_s: float
) -> Believed | None:
    place = bisect_right(moments_s, at_s)
    return believed[place - 1] if place else None
