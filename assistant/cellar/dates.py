"""What is still to come for a beer, and when: from the schedule, and from what was read of it."""

from assistant.advice import figures
from assistant.cellar.assessing import (
    STEADY_DAYS,
    Assessment,
    Progress,
    addition_key,
    assess,
    curve_of,
)
from assistant.cellar.coming import Coming, Kind
from assistant.cellar.conditioning import ready_days, ready_words
from assistant.cellar.curve import DAY, Curve
from assistant.cellar.state import DAY_S, CellarState
from assistant.day.wording import addition_words
from assistant.schedule.model import AdditionKind, Moment, Vessel

REST_KEY, GRAVITY_KEY, STEADY_KEY = "diacetyl rest", "gravity", "steady gravity"
PACKAGE_KEY, READY_KEY = "package", "ready"

COLD_FERMENTED_C = 15.0
"""Beer fermented colder than this is given a diacetyl rest; common practice, no source."""

REST_AT = 0.75
"""The share of the way down after which the rest begins: common practice, no source."""

REST_C = 18.0
REST_DAYS = 3.0
"""How warm and how long the rest is: 2 to 4 days; common practice, no source."""

CONTACT_DAYS = 3.0
"""Dry hops and the like stay in the beer so long before it is packaged; common practice."""

LAST_DAY = DAY[1]
"""No curve goes on longer."""

FIRST_READING_DAYS = 3.0
"""No earlier is a gravity worth the risk of opening the fermenter; common practice, no source."""


def coming(state: CellarState, assessed: Assessment | None = None) -> tuple[Coming, ...]:
    """Everything still to come, the soonest first; what is overdue comes with its own moment."""
    found = assessed or assess(state)
    if state.packaged is not None:
        return _ready(state)
    dates = [*additions_to_come(state), *_rest(state, found), *_gravities(state, found)]
    dates.append(_package(state, found))
    return tuple(sorted(dates, key=lambda each: each.at_s))


def due(state: CellarState) -> tuple[Coming, ...]:
    """Of the additions and the rest what is due and neither done nor left out.

    The rest is due once a reading has shown that it is; until then it is only foretold.
    """
    if state.packaged is not None:
        return ()
    dates = additions_to_come(state)
    if _may_rest(state):
        assessed = assess(state)
        if _rest_read_s(state, assessed) is not None:
            dates += _rest(state, assessed)
    return tuple(sorted((d for d in dates if d.at_s <= state.now_s), key=lambda d: d.at_s))


def steady_at_s(state: CellarState, assessed: Assessment) -> float:
    """When the gravity will have been the same for long enough, as things stand."""
    pitched_s = state.beer.pitched_s
    if assessed.near_s is not None:
        return assessed.near_s + STEADY_DAYS * DAY_S
    first_s = pitched_s + max(curve_of(state).finish_day, FIRST_READING_DAYS) * DAY_S
    return max(first_s, state.now_s) + STEADY_DAYS * DAY_S


def additions_to_come(state: CellarState) -> list[Coming]:
    """What the schedule has for the fermenter, but for what is in or left out."""
    found = []
    for index, addition in enumerate(state.schedule.additions):
        key = addition_key(index)
        if addition.moment is not Moment.DAY or state.is_settled(key):
            continue
        words = addition_words(addition, addition.weight_g, state.schedule.units)
        note = "Sanitise what touches the beer, and let in as little air as you can."
        if addition.kind is AdditionKind.HOPS:
            note += " Hops can make it foam over: leave room, and add them slowly."
        found.append(
            Coming(
                key=key,
                kind=Kind.ADDITION,
                what=f"Add {words}",
                note=note,
                at_s=state.beer.pitched_s + (addition.day or 0) * DAY_S,
            )
        )
    return found


def _may_rest(state: CellarState) -> bool:
    return state.schedule.ferment.high_c <= COLD_FERMENTED_C and not state.is_settled(REST_KEY)


def _rest(state: CellarState, assessed: Assessment) -> list[Coming]:
    if not _may_rest(state) or assessed.progress is Progress.FINISHED:
        return []
    at_s = _rest_read_s(state, assessed)
    if at_s is None:
        curve = curve_of(state)
        fall = curve.original_gravity - curve.final_gravity
        at_s = state.beer.pitched_s + DAY_S * _day_of(
            curve, curve.original_gravity - REST_AT * fall
        )
    warm = figures.temperature(REST_C, state.schedule.units)
    return [
        Coming(
            key=REST_KEY,
            kind=Kind.REST,
            what=f"Warm it to {warm} for a diacetyl rest",
            note=(
                f"Let it rise over a day and hold it for {REST_DAYS:g}, or until a warmed sample "
                "no longer smells of butter."
            ),
            at_s=at_s,
        )
    ]


def _gravities(state: CellarState, assessed: Assessment) -> list[Coming]:
    """The next reading of the gravity, and the one that shows it steady."""
    if assessed.progress is Progress.FINISHED:
        return []
    curve = curve_of(state)
    steady_s = steady_at_s(state, assessed)
    steady = Coming(
        key=STEADY_KEY,
        kind=Kind.STEADY,
        what="Read the gravity again, to see it steady",
        note="With the hydrometer, of a sample at its temperature. The same over three days: done.",
        at_s=steady_s,
    )
    if assessed.near_s is not None:
        return [steady]
    soonest_s, latest_s = (
        max(state.beer.pitched_s + max(day, FIRST_READING_DAYS) * DAY_S, state.now_s)
        for day in (curve.finish_low, curve.finish_high)
    )
    at_s = steady_s - STEADY_DAYS * DAY_S
    reading = Coming(
        key=GRAVITY_KEY,
        kind=Kind.GRAVITY,
        what="Read the gravity",
        note="By then it should have come near its end.",
        at_s=at_s,
        low_s=min(soonest_s, at_s),
        high_s=max(latest_s, at_s),
    )
    return [reading, steady]


def _package(state: CellarState, assessed: Assessment) -> Coming:
    pitched_s, ferment = state.beer.pitched_s, state.schedule.ferment
    bottles = state.wanted.into is Vessel.BOTTLES
    earliest_s = [
        pitched_s + ferment.days * DAY_S,
        steady_at_s(state, assessed),
        *(_begun_s(state, each) + CONTACT_DAYS * DAY_S for each in additions_to_come(state)),
        *(_begun_s(state, each) + (1 + REST_DAYS) * DAY_S for each in _rest(state, assessed)),
        *(
            settled.at_s + CONTACT_DAYS * DAY_S
            for settled in state.settled
            if not settled.left_out and settled.key != REST_KEY
        ),
    ]
    what = "Bottle it" if bottles else "Fill the keg"
    return Coming(
        key=PACKAGE_KEY,
        kind=Kind.PACKAGE,
        what=what,
        note="Only where the hydrometer has shown the same for three days, near where it should.",
        at_s=max(earliest_s),
    )


def _begun_s(state: CellarState, each: Coming) -> float:
    """When something to come can be begun: what is overdue, no sooner than now."""
    return max(each.at_s, state.now_s)


def _ready(state: CellarState) -> tuple[Coming, ...]:
    packaged = state.packaged
    if packaged is None:
        return ()
    return (
        Coming(
            key=READY_KEY,
            kind=Kind.READY,
            what="Ready to drink",
            note=ready_words(packaged),
            at_s=packaged.at + ready_days(packaged, state.beer.original_gravity) * DAY_S,
        ),
    )


def _rest_read_s(state: CellarState, assessed: Assessment) -> float | None:
    """When the beer was first read as far down as the rest wants it."""
    fall = assessed.original_gravity - assessed.final_gravity
    gravity = assessed.original_gravity - REST_AT * fall
    return next(
        (r.at for r in state.readings if r.gravity is not None and r.gravity <= gravity), None
    )


def _day_of(curve: Curve, gravity: float) -> float:
    """The day on which the curve comes down to a gravity, to a quarter of an hour."""
    low, high = 0.0, min(max(curve.finish_day, 1.0) * 2, LAST_DAY)
    for _ in range(16):
        middle = (low + high) / 2
        if curve.gravity_at(middle) > gravity:
            low = middle
        else:
            high = middle
    return high
