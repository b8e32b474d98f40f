"""What a beer came to when it was brewed last, beside what was planned then."""

from dataclasses import dataclass

from assistant.advice.forecast import make_forecast
from assistant.advice.plan import Plan
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.day.outlook import prospect
from assistant.record.errors import RecordError
from assistant.record.journal import DayStatus, Journal
from assistant.record.kept import storable
from assistant.record.replay import replay


@dataclass(frozen=True, kw_only=True)
class LastBrew:
    """A beer as it was brewed last: its day, when that began (Unix seconds), plan and result.

    ``volume_l`` is in the fermenter, at 20 °C.
    """

    day: int
    began_wall: float
    plan: Plan
    original_gravity: float
    volume_l: float


def last_brew_of(journal: Journal, beer: str) -> LastBrew | None:
    """The newest finished day with a beer of that name.

    None where there was none, nothing was read of its wort, or its record can't be gone through:
    nobody's next brew hangs on it. Raises :class:`~assistant.record.errors.RecordError` where the
    days on record can't be read at all.
    """
    named = storable(beer)
    day = next(
        (d for d in journal.days() if d.status is DayStatus.FINISHED and d.beer == named), None
    )
    if day is None:
        return None
    try:
        state = replay(journal.schedule(day.id), journal.events(day.id))
        if not (state.batch.gravity_read or state.batch.volume_read):
            return None
        made = make_forecast(state.batch, state.schedule, prospect(state), state.now_s)
    except (RecordError, OutOfRange, NeverReaches):
        return None
    return LastBrew(
        day=day.id,
        began_wall=day.began_wall,
        plan=state.plan,
        original_gravity=made.original_gravity,
        volume_l=made.fermenter_volume_l,
    )
