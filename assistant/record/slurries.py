"""The yeast kept of the beers on record, for the brews to come."""

from assistant.advice.slurry import KeptSlurry
from assistant.record.beers import BeerOnRecord, beer_on_record, zero_wall_s
from assistant.record.errors import RecordError
from assistant.record.journal import Day, Journal


def slurries(journal: Journal) -> tuple[KeptSlurry, ...]:
    """All yeast that was kept, the newest beer's first; days that can't be read are passed over.

    Raises :class:`~assistant.record.errors.RecordError` where the record as a whole can't be read.
    """
    found = []
    for day in journal.days():
        try:
            kept = _kept(journal, day)
        except RecordError:
            continue
        found += [] if kept is None else [kept]
    return tuple(found)


def _kept(journal: Journal, day: Day) -> KeptSlurry | None:
    if not journal.was_visited(day.id):
        return None
    return slurry_of(journal, beer_on_record(journal, day))


def slurry_of(journal: Journal, beer: BeerOnRecord) -> KeptSlurry | None:
    """The yeast kept of one beer, if any."""
    state, last = beer.state, journal.last(beer.day.id)
    if state is None or state.slurry is None or last is None:
        return None
    yeast = state.schedule.yeast
    return KeptSlurry(
        day=beer.day.id,
        beer=beer.day.beer,
        yeast=yeast.name,
        cropped_wall_s=zero_wall_s(beer.day, last) + state.slurry.at,
        volume_ml=state.slurry.volume_ml,
        generation=yeast.generation + 1,
    )
