"""What a beer came to when it was brewed last, beside what was planned then."""

from dataclasses import dataclass

from assistant.cellar.assessing import assess
from assistant.cellar.beer import Beer
from assistant.record.beers import beer_on_record
from assistant.record.errors import RecordError
from assistant.record.journal import DayStatus, Journal
from assistant.record.kept import storable


@dataclass(frozen=True, kw_only=True)
class LastBrew:
    """A beer as it was brewed last: its day, when that began (Unix seconds), and its ``beer``.

    ``final_gravity`` and ``abv_percent`` stand once it was packaged.
    """

    day: int
    began_wall: float
    beer: Beer
    final_gravity: float | None
    abv_percent: float | None


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
        state = beer_on_record(journal, day).state
    except RecordError:
        return None
    if state is None or not (state.beer.gravity_read or state.beer.volume_read):
        return None
    packaged = state.packaged
    return LastBrew(
        day=day.id,
        began_wall=day.began_wall,
        beer=state.beer,
        final_gravity=None if packaged is None else packaged.final_gravity,
        abv_percent=None if packaged is None else assess(state).abv_percent,
    )
