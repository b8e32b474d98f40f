"""What is to come for the beers on record, as a calendar that any calendar program takes in.

By RFC 5545, whose sections are named where they rule. It is a snapshot: without METHOD nobody is
asked to anything (3.7.2), and RFC 5546 (3.2.1) would want an organiser's address with PUBLISH.

A moment is written in UTC: exact, and the same one in every zone and on both sides of a change of
the clocks. A calendar that is taken in anew moves what it had before, and doubles nothing: what
comes has a UID of its own, made from its day's identity and its key, and SEQUENCE rises. Nothing
is kept between two calendars, so SEQUENCE counts the seconds from 2020 to the making. It rises
where nothing has moved, too, which asks nothing of anybody as there are no attendees.
"""

import json
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid5

from icalendar import Alarm, Calendar, Event, vText

from assistant import __version__
from assistant.advice import figures
from assistant.cellar.coming import Coming, Kind
from assistant.schedule.faults import harmless

OURS = "-//Kettleside//"
"""How the name of the program that made a calendar begins where it was this one (3.7.3)."""

NAMESPACE = UUID("f04be784-7b5e-4cd1-ba26-a3143e657be8")
"""Drawn once: what makes our UIDs differ from all others that are hashed from the same words."""

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
SEQUENCE_FROM_S = (datetime(2020, 1, 1, tzinfo=UTC) - EPOCH).total_seconds()
"""Counted from 1970 a SEQUENCE would pass the greatest INTEGER (3.3.8) in 2038; so it does in
2088. Then it stays there, and DTSTAMP tells the newer of two (RFC 5546, 2.1.5)."""

MOST = 2**31 - 1
LAST_S = (datetime(9999, 12, 30, tzinfo=UTC) - EPOCH).total_seconds()
"""No calendar counts years past 9999 (RFC 3339, appendix C)."""

LONGEST_TEXT = 1000

TAKES: dict[Kind, timedelta] = {
    Kind.ADDITION: timedelta(minutes=15),
    Kind.GRAVITY: timedelta(minutes=15),
    Kind.REST: timedelta(minutes=15),
    Kind.STEADY: timedelta(minutes=15),
    Kind.PACKAGE: timedelta(hours=2),
    Kind.READY: timedelta(minutes=15),
}
"""How much of the day it is drawn over in a calendar; common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Awaited:
    """A beer on record with what comes for it.

    ``number`` is that of its day, ``identity`` what tells the day from every other, wherever its
    record is taken, and ``zero_wall_s`` when its second 0 was, in seconds since 1970-01-01 UTC.
    """

    beer: str
    number: int
    identity: str
    zero_wall_s: float
    comings: Sequence[Coming]


class _Text(vText):
    """Text as 3.3.11 has it written; the library takes a backslash before an N for a line's end."""

    def to_ical(self) -> bytes:
        escaped = self.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
        return escaped.replace("\n", "\\n").encode()


def moment_of(beer: Awaited, coming: Coming) -> datetime | None:
    """When something comes, to the second, in UTC; None for a moment that is on no calendar.

    Calendars begin with 1970 here, as the clocks of computers do.
    """
    wall_s = beer.zero_wall_s + coming.at_s
    if not 0 <= wall_s <= LAST_S:
        return None
    return EPOCH + timedelta(seconds=round(wall_s))


def still_to_come(beers: Iterable[Awaited], now_wall_s: float) -> tuple[Awaited, ...]:
    """The beers for which something comes after ``now_wall_s`` (Unix seconds), with that alone.

    What is on no calendar is left out.
    """
    now = _made(now_wall_s)
    ahead = (
        replace(beer, comings=tuple(c for c in beer.comings if _is_ahead(moment_of(beer, c), now)))
        for beer in beers
    )
    return tuple(beer for beer in ahead if beer.comings)


def calendar_of(beers: Iterable[Awaited], now_wall_s: float) -> bytes | None:
    """A calendar, made at ``now_wall_s`` (Unix seconds), of all that is to come for the beers.

    None where nothing is: a calendar holds one event or more (3.6).
    """
    made = _made(now_wall_s)
    events = [
        (moment, _event(beer, coming, moment, made))
        for beer in still_to_come(beers, now_wall_s)
        for coming in beer.comings
        if (moment := moment_of(beer, coming)) is not None
    ]
    if not events:
        return None
    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", f"{OURS}kettleside {__version__}//EN")
    for _, event in sorted(events, key=lambda each: each[0]):
        calendar.add_component(event)
    written: bytes = calendar.to_ical()
    return written


def is_ours(data: bytes) -> bool:
    """Whether a file that begins with this is a calendar which this program wrote."""
    head, event, _ = data.partition(b"\r\nBEGIN:VEVENT\r\n")
    made_by = f"\r\nPRODID:{OURS}".encode()
    return bool(event) and head.startswith(b"BEGIN:VCALENDAR\r\n") and made_by in head


def _made(now_wall_s: float) -> datetime:
    """The whole second at hand; a computer whose clock is no good may be before 1970."""
    return EPOCH + timedelta(seconds=math.floor(min(max(now_wall_s, 0.0), LAST_S)))


def _is_ahead(moment: datetime | None, now: datetime) -> bool:
    return moment is not None and moment > now


def _event(beer: Awaited, coming: Coming, moment: datetime, made: datetime) -> Event:
    title = _Text(harmless(f"{beer.beer}: {coming.what}", LONGEST_TEXT))
    event = Event()
    event.add("uid", str(uuid5(NAMESPACE, json.dumps([beer.identity, coming.key]))))
    event.add("sequence", _sequence(made))
    # Without METHOD, DTSTAMP is when the event was last changed (3.8.7.2), as LAST-MODIFIED is.
    event.add("dtstamp", made)
    event.add("last-modified", made)
    event.add("dtstart", moment)
    event.add("dtend", moment + TAKES[coming.kind])
    event.add("summary", title)
    event.add("description", _Text("\n".join(_told(beer, coming))))
    # A beer that wants looking at leaves its brewer free for others to make dates with.
    event.add("transp", "TRANSPARENT")
    event.add_component(_alarm(title))
    return event


def _alarm(title: _Text) -> Alarm:
    """Shown at the moment itself.

    That comes round at the hour at which the yeast went in, or at one that is foretold; an alarm
    some hours before it would fall into the night before or the working day as often as help.
    """
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", title)
    alarm.add("trigger", timedelta(0))
    return alarm


def _sequence(made: datetime) -> int:
    since_s = int((made - EPOCH).total_seconds() - SEQUENCE_FROM_S)
    return min(max(since_s, 0), MOST)


def _told(beer: Awaited, coming: Coming) -> list[str]:
    lines = [coming.note, *_range(coming), f"Day {beer.number} on record."]
    return [harmless(line, LONGEST_TEXT) for line in lines if line]


def _range(coming: Coming) -> list[str]:
    """How far from its moment it may come, told without a zone; nothing where no range is known."""
    low_s, high_s = coming.low_s, coming.high_s
    if low_s is None or high_s is None:
        return []
    before_s, after_s = coming.at_s - low_s, high_s - coming.at_s
    if not (0 <= before_s < math.inf and 0 <= after_s < math.inf):
        return []
    return [f"Foretold: it may come {_span(before_s)} sooner or {_span(after_s)} later."]


def _span(seconds: float) -> str:
    """``90 minutes``, ``14 hours``, ``2.5 days``."""
    hours = seconds / 3600
    if hours < 2:
        return figures.duration(seconds)
    if hours < 48:
        return figures.counted(figures.number(hours, 0), "hour")
    return figures.counted(figures.number(round(hours / 12) / 2, 1), "day")
