"""What each brew day handed over, as rows of the record that may be lost."""

import sqlite3

from assistant.cellar.beer import RECKONED, Beer
from assistant.cellar.events import VisitBegan
from assistant.record.codec import KINDS, beer_from, beer_text
from assistant.record.errors import RecordError

VISIT = next(word for word, kind in KINDS.items() if kind is VisitBegan)
"""The word on record for the beginning of a visit to a day's beer."""


def was_visited(connection: sqlite3.Connection, day_id: int) -> bool:
    """Whether anything is on record of a day's beer since its brewing."""
    row = connection.execute(
        "SELECT 1 FROM events WHERE day = ? AND kind = ? LIMIT 1", (day_id, VISIT)
    ).fetchone()
    return row is not None


def kept_beer(connection: sqlite3.Connection, day_id: int, brewed: int) -> Beer | None:
    """What a brew day of so many rows handed over, where that was kept and can be read."""
    row = connection.execute(
        "SELECT body FROM beers WHERE day = ? AND brewed = ? AND reckoned = ?",
        (day_id, brewed, RECKONED),
    ).fetchone()
    try:
        return None if row is None else beer_from(row[0], f"day {day_id}")
    except RecordError:
        # The day itself is on record: it is gone through again.
        return None


def put_beer(connection: sqlite3.Connection, day_id: int, brewed: int, beer: Beer) -> None:
    """Keep what a brew day of so many rows handed over, in the place of what was kept."""
    connection.execute(
        "INSERT OR REPLACE INTO beers (day, brewed, reckoned, body) VALUES (?, ?, ?, ?)",
        (day_id, brewed, RECKONED, beer_text(beer)),
    )
