"""Calendars of what is to come, read back by vobject, which shares no code with their writer.

Section numbers are RFC 5545's where no other is named. The zones' rules are those of the IANA time
zone database, by zoneinfo.
"""

import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
import vobject
from hypothesis import given
from hypothesis import strategies as st

from assistant.calendar_file import (
    MOST,
    Awaited,
    calendar_of,
    is_ours,
    moment_of,
    still_to_come,
)
from assistant.cellar.coming import Coming, Kind
from assistant.schedule.faults import harmless

BEGAN = 1_718_355_600.0
"""2024-06-14, 09:00 UTC."""

DAY_S = 86400.0

HOSTILE = [
    r"C:\North\new, a; b",
    "ends in a backslash\\",
    'say "hops": now',
    "a\r\nEND:VEVENT\r\nBEGIN:VEVENT",
    "\x00\x1b[2J\u202elate\u2028x\x85",
    "^n ^^ %0A &amp; {x}",
    "Weißbier 🍺 " + "ü" * 60,
    "\ud800half a letter",
    " blanks ",
    "=cmd()",
]


def coming(at_s: float = 4 * DAY_S, key: str = "addition 5", **other: object) -> Coming:
    given = {"kind": Kind.ADDITION, "what": "Add 57 grams of Cascade", "note": "Day 4."}
    return Coming(key=key, at_s=at_s, **(given | other))  # type: ignore[arg-type]


def beer(*comings: Coming, name: str = "Saltgrass Pale", **other: object) -> Awaited:
    given = {"number": 3, "identity": "the day", "zero_wall_s": BEGAN}
    return Awaited(beer=name, comings=comings, **(given | other))  # type: ignore[arg-type]


def written(*beers: Awaited, now_wall_s: float = BEGAN) -> bytes:
    data = calendar_of(beers, now_wall_s)
    assert data is not None
    return data


def read(data: bytes) -> list[vobject.base.Component]:
    calendars = list(vobject.readComponents(data.decode()))
    assert [calendar.name for calendar in calendars] == ["VCALENDAR"]
    calendars[0].validate(raiseException=True)
    return list(calendars[0].vevent_list)


def read_one(data: bytes) -> vobject.base.Component:
    (event,) = read(data)
    return event


@pytest.mark.parametrize(
    ("zone", "pitched", "days", "there"),
    [
        # Summer time ends on 2026-10-25 and begins on 2026-03-29: EU directive 2000/84/EC.
        ("Europe/Berlin", "2026-10-23 18:00:07", 4, "2026-10-27 17:00:07"),
        ("Europe/Berlin", "2026-03-27 18:00", 4, "2026-03-31 19:00"),
        # To the hour that is missing, and to the first of the two that are alike.
        ("Europe/Berlin", "2026-03-25 02:30", 4, "2026-03-29 03:30"),
        ("Europe/Berlin", "2026-10-21 02:30", 4, "2026-10-25 02:30"),
        # Second Sunday of March, first of November: 15 U.S.C. 260a.
        ("America/New_York", "2026-03-06 17:45", 14, "2026-03-20 18:45"),
        ("America/New_York", "2026-10-30 17:45", 14, "2026-11-13 16:45"),
        # Half an hour of summer time, from October to April.
        ("Australia/Lord_Howe", "2026-10-02 12:00", 4, "2026-10-06 12:30"),
        ("Australia/Lord_Howe", "2026-04-03 12:00", 4, "2026-04-07 11:30"),
        ("Asia/Kathmandu", "2026-06-01 20:15", 7, "2026-06-08 20:15"),
        # Friday 2011-12-30 was left out, and the beer fermented on.
        ("Pacific/Apia", "2011-12-28 18:00", 1, "2011-12-29 18:00"),
        ("Pacific/Apia", "2011-12-28 18:00", 4, "2012-01-02 18:00"),
    ],
)
def test_a_day_of_fermentation_is_24_hours_in_any_zone(
    zone: str, pitched: str, days: int, there: str
) -> None:
    here = ZoneInfo(zone)
    began_s = datetime.fromisoformat(pitched).replace(tzinfo=here).timestamp()
    data = written(beer(coming(days * DAY_S), zero_wall_s=began_s), now_wall_s=began_s)
    start = read_one(data).dtstart.value
    assert start.timestamp() == began_s + days * DAY_S
    assert start.astimezone(here).replace(tzinfo=None) == datetime.fromisoformat(there)


def test_moments_are_written_in_utc_without_a_zone() -> None:
    # Form #2 of 3.3.5. 2024-06-14 09:00 and 4 days, as `date -u` has it.
    lines = written(beer(coming())).split(b"\r\n")
    assert b"DTSTART:20240618T090000Z" in lines
    assert b"DTEND:20240618T091500Z" in lines
    assert not any(b"TZID" in line or b"VTIMEZONE" in line for line in lines)


@given(
    at_s=st.floats(min_value=0, max_value=2e9),
    zero_wall_s=st.floats(min_value=0, max_value=4e9),
)
def test_any_moment_is_read_back_to_the_second(at_s: float, zero_wall_s: float) -> None:
    data = calendar_of([beer(coming(at_s), zero_wall_s=zero_wall_s)], zero_wall_s - 60)
    if data is None:
        # It has just begun on a computer whose clock is at 1970.
        assert zero_wall_s + at_s <= 1
        return
    assert abs(read_one(data).dtstart.value.timestamp() - (zero_wall_s + at_s)) <= 0.5


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_stay_text(name: str) -> None:
    event = read_one(written(beer(coming(what=name, note=name), name=name)))
    assert event.summary.value == harmless(f"{name}: {name}", 1000)
    assert event.description.value == f"{harmless(name, 1000)}\nDay 3 on record."
    assert event.valarm.description.value == event.summary.value


@given(name=st.text(min_size=1, max_size=300), note=st.text(max_size=2000))
def test_any_text_is_read_back_as_it_is_shown(name: str, note: str) -> None:
    data = written(beer(coming(note=note), name=name))
    event = read_one(data)
    assert event.summary.value == harmless(f"{name}: Add 57 grams of Cascade", 1000)
    said = [harmless(note, 1000)] if note else []
    assert event.description.value == "\n".join([*said, "Day 3 on record."])
    check_lines(data)


def check_lines(data: bytes) -> None:
    """3.1: lines end in CRLF and are at most 75 octets without it; 3.1 and 6: UTF-8."""
    assert data.endswith(b"\r\n")
    lines = data.split(b"\r\n")[:-1]
    assert max(map(len, lines)) <= 75
    # Every line alone is UTF-8: no letter is torn, which 3.1 allows and many a reader can't mend.
    assert not re.search(r"[\x00-\x08\x0a-\x1f\x7f]", "".join(line.decode() for line in lines))
    # A content line begins with its name; what goes on begins with a blank.
    assert all(re.match(rb"[A-Z-]+[:;]| ", line) for line in lines)


@pytest.mark.parametrize("name", HOSTILE)
def test_lines_are_short_and_end_in_crlf(name: str) -> None:
    check_lines(written(beer(coming(), coming(key="gravity"), name=name * 3)))


def test_what_a_calendar_and_its_events_must_have() -> None:
    data = written(beer(coming()), now_wall_s=BEGAN + 0.9)
    # 3.6: PRODID and VERSION, once. 3.7.2: no METHOD, so nobody is invited.
    head = data.split(b"BEGIN:VEVENT")[0].split(b"\r\n")
    assert head[:2] == [b"BEGIN:VCALENDAR", b"VERSION:2.0"]
    assert head[2].startswith(b"PRODID:-//Kettleside//")
    assert b"METHOD" not in data
    event = read_one(data)
    # 3.8.7.2 and 3.8.7.3: in UTC, and without METHOD the one is the other.
    assert b"\r\nDTSTAMP:20240614T090000Z\r\n" in data
    assert event.last_modified.value == event.dtstamp.value
    # 3.8.2.7: it takes no time out of the brewer's calendar.
    assert event.transp.value == "TRANSPARENT"
    # 3.6.6: a DISPLAY alarm has ACTION, DESCRIPTION and TRIGGER; 3.8.6.3: a trigger without
    # RELATED counts from the start.
    assert event.valarm.action.value == "DISPLAY"
    assert event.valarm.trigger.value == timedelta(0)
    assert event.valarm.trigger.params == {}


@pytest.mark.parametrize("kind", list(Kind))
def test_every_kind_has_a_length(kind: Kind) -> None:
    event = read_one(written(beer(coming(kind=kind))))
    # 3.8.2.2: later than the start.
    assert event.dtend.value > event.dtstart.value


def test_what_is_foretold_says_how_far_it_may_be_off() -> None:
    at_s = 10 * DAY_S
    told = coming(at_s, low_s=at_s - 14 * 3600, high_s=at_s + 2.5 * DAY_S)
    lines = read_one(written(beer(told))).description.value.split("\n")
    assert lines[1] == "Foretold: it may come 14 hours sooner or 2.5 days later."


@pytest.mark.parametrize(
    ("low_s", "high_s"),
    [(None, DAY_S), (float("nan"), 9 * DAY_S), (5 * DAY_S, 9 * DAY_S), (0.0, float("inf"))],
)
def test_a_range_that_is_none_is_not_told(low_s: float | None, high_s: float) -> None:
    event = read_one(written(beer(coming(low_s=low_s, high_s=high_s))))
    assert "Foretold" not in event.description.value


def test_a_newer_calendar_moves_what_an_older_had() -> None:
    # 3.8.4.7: one UID for one event for good; 3.8.7.4: the newer revision has the greater SEQUENCE.
    before = read_one(written(beer(coming()), now_wall_s=BEGAN))
    moved = beer(coming(4.5 * DAY_S, what="Add 60 grams of Cascade", note="Later."), number=12)
    after = read_one(written(moved, now_wall_s=BEGAN + 1))
    assert after.uid.value == before.uid.value
    assert int(after.sequence.value) == int(before.sequence.value) + 1
    assert after.dtstamp.value - before.dtstamp.value == timedelta(seconds=1)
    assert after.dtstart.value - before.dtstart.value == timedelta(days=0.5)


def test_a_uid_is_the_same_in_every_version() -> None:
    # Our own, written down so that a change of it is seen: it would double every event there is.
    assert read_one(written(beer(coming()))).uid.value == "840bbf0a-002d-50dc-8713-00b0dcf70fd1"


@pytest.mark.parametrize(
    "other",
    [
        beer(coming(key="addition 6")),
        beer(coming(), identity="another day"),
        beer(coming(key='day", "addition 5'), identity='the "'),
    ],
)
def test_another_day_or_key_has_another_uid(other: Awaited) -> None:
    events = read(written(beer(coming()), other))
    assert len({event.uid.value for event in events}) == 2


def test_uids_tell_nothing_of_the_beer() -> None:
    # RFC 7986, 5.3: a UUID, and nothing that tells of its maker.
    assert re.fullmatch(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", _uid(beer(coming())))


def _uid(one: Awaited) -> str:
    return read_one(written(one)).uid.value


@pytest.mark.parametrize(
    ("now", "sequence"),
    [
        (datetime(1970, 1, 1, tzinfo=UTC), 0),
        (datetime(2020, 1, 1, tzinfo=UTC), 0),
        (datetime(2024, 6, 14, tzinfo=UTC), 140_486_400),
        (datetime(2088, 1, 19, 3, 14, 7, tzinfo=UTC), MOST),
        (datetime(2500, 1, 1, tzinfo=UTC), MOST),
    ],
)
def test_a_sequence_is_an_integer_whenever_it_is_made(now: datetime, sequence: int) -> None:
    # 3.3.8: from -2147483648 to 2147483647. The figures are days since 2020 times 86400.
    data = written(beer(coming(3e10)), now_wall_s=now.timestamp())
    assert int(read_one(data).sequence.value) == sequence


def test_events_stand_in_the_order_of_their_moments() -> None:
    one = beer(coming(9 * DAY_S), coming(2 * DAY_S, key="gravity"))
    other = beer(coming(5 * DAY_S), identity="another day")
    starts = [event.dtstart.value for event in read(written(one, other))]
    assert starts == sorted(starts)
    assert len(starts) == 3


def test_what_is_past_is_left_out() -> None:
    both = beer(coming(DAY_S), coming(2 * DAY_S, key="gravity"))
    assert len(read(written(both, now_wall_s=BEGAN + DAY_S - 1))) == 2
    event = read_one(written(both, now_wall_s=BEGAN + DAY_S))
    assert event.dtstart.value == datetime(2024, 6, 16, 9, tzinfo=UTC)
    # 3.6: a calendar without an event would be none.
    assert calendar_of([both], BEGAN + 2 * DAY_S) is None
    assert still_to_come([both], BEGAN + 2 * DAY_S) == ()
    assert calendar_of([], BEGAN) is None


@pytest.mark.parametrize("at_s", [float("nan"), float("inf"), -float("inf"), 1e300, 3e11, -1e300])
def test_what_is_on_no_calendar_is_left_out(at_s: float) -> None:
    lost, kept = coming(at_s), coming(key="gravity")
    assert moment_of(beer(lost), lost) is None
    assert len(read(written(beer(lost, kept)))) == 1
    assert calendar_of([beer(lost)], BEGAN) is None


def test_the_last_date_there_is_can_be_written() -> None:
    # RFC 3339: years have four figures.
    last_s = datetime(9999, 12, 29, 23, 59, 59, tzinfo=UTC).timestamp()
    data = written(beer(coming(last_s, kind=Kind.PACKAGE), zero_wall_s=0.0), now_wall_s=0.0)
    assert b"DTSTART:99991229T235959Z" in data


def test_a_computer_whose_clock_is_before_1970_writes_all_the_same() -> None:
    data = written(beer(coming()), now_wall_s=-1e12)
    assert b"DTSTAMP:19700101T000000Z" in data


@pytest.mark.parametrize("name", HOSTILE)
def test_our_own_calendars_are_known_by_their_beginning(name: str) -> None:
    assert is_ours(written(beer(coming(), name=name * 30))[:1024])


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"a letter\n",
        b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Another//EN\r\nBEGIN:VEVENT\r\n"
        b"SUMMARY:x\r\nPRODID:-//Kettleside//\r\n",
        b"x\r\nBEGIN:VCALENDAR\r\nPRODID:-//Kettleside//kettleside 1//EN\r\nBEGIN:VEVENT\r\n",
        b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Kettleside//kettleside 1//EN\r\n",
        b"\xff\xfe\x00",
    ],
)
def test_what_another_wrote_is_not_ours(data: bytes) -> None:
    assert not is_ours(data)
