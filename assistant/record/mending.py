"""A damaged record put together again, from what it still holds and the copies of its days.

The new record is written beside the old one and takes its place in one stroke, when it is whole
and the damaged file has been kept under another name. Cut short at any moment, either the old or
the new one is there, and the next start goes on from it.
"""

import shutil
import sqlite3
from collections.abc import Iterable, Sequence
from contextlib import closing
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

from assistant.record.connecting import BESIDE, LOG_SUFFIX, beside
from assistant.record.copies import copies, set_aside
from assistant.record.copy_lines import ReadCopy
from assistant.record.disk import sync_file, sync_folder
from assistant.record.errors import folder_fault
from assistant.record.kept import put_day
from assistant.record.mended import Fault, Mended
from assistant.record.pages import read_pages
from assistant.record.relearning import relearned
from assistant.record.salvage import LOST, Salvage, read_around
from assistant.record.schema import bring_up_to_date, transaction
from assistant.record.uniting import UnitedDay, united

UNDER_WAY = "kettleside-under-way.db"
"""The new record while it is written."""

READY = "kettleside-mended.db"
"""The new record, whole, until it has taken the place of the old one."""


def look_through(path: Path, connection: sqlite3.Connection) -> Mended:
    """Put what can be found of the record at ``path`` into an empty database, to look at.

    Nothing beside ``path`` is changed. Raises
    :class:`~assistant.record.errors.RecordError` where the files can't be read.
    """
    try:
        fault = Fault.DAMAGED if _bytes_in(path) else Fault.MISSING
        found = list(copies(path.parent))
        days = _gathered(path, [copy for _, copy in found])
    except OSError as error:
        raise folder_fault(path.parent, error) from error
    _write(days, connection)
    return _mended(path, fault, days, kept=None, written=False)


def mend(path: Path) -> Mended:
    """Put a new record in the place of the damaged one at ``path``, which is kept beside it.

    The caller holds the right to write. Raises
    :class:`~assistant.record.errors.RecordError` where the files can't be read or written; then
    the old record is there as before.
    """
    try:
        fault = Fault.DAMAGED if _bytes_in(path) else Fault.MISSING
        found = list(copies(path.parent))
        days = _gathered(path, [copy for _, copy in found])
        new = path.with_name(UNDER_WAY)
        remove_database(new)
        with closing(sqlite3.connect(new, isolation_level=None)) as connection:
            _write(days, connection)
        sync_file(new)
        kept = _keep(path)
        new.replace(path.with_name(READY))
        sync_folder(path.parent)
        carry_on(path)
        for place, copy in found:
            if copy.faults:
                set_aside(place)
    except OSError as error:
        raise folder_fault(path.parent, error) from error
    return _mended(path, fault, days, kept=kept, written=True)


def carry_on(path: Path) -> bool:
    """Give a new record that is whole the place at ``path``; whether there was one.

    Raises OSError where it can't be moved.
    """
    ready = path.with_name(READY)
    if not ready.exists():
        return False
    # The log of the old record must not be played into the new one.
    for suffix in BESIDE:
        beside(path, suffix).unlink(missing_ok=True)
    sync_folder(path.parent)
    ready.replace(path)
    sync_folder(path.parent)
    return True


def _gathered(path: Path, found: Sequence[ReadCopy]) -> list[UnitedDay]:
    sound = (row for copy in found if not copy.faults for row in copy.day.rows)
    salvage = Salvage(sound={(r.seq, r.at, r.wall, r.kind, r.body): r for r in sound})
    with TemporaryDirectory(prefix="kettleside-") as folder:
        # SQLite would play the log into the damaged file, and throw it away.
        damaged = Path(folder, path.name)
        _copy_with_log(path, damaged)
        with closing(sqlite3.connect(damaged, isolation_level=None)) as connection:
            read_around(connection, salvage, (copy.day.number for copy in found))
    log = beside(path, LOG_SUFFIX)
    read_pages(_bytes(path), _bytes(log), salvage)
    return united(salvage, found)


def _copy_with_log(path: Path, to: Path) -> None:
    if not _bytes_in(path):
        return
    shutil.copyfile(path, to)
    for suffix in (LOG_SUFFIX, "-journal"):
        if beside(path, suffix).exists():
            shutil.copyfile(beside(path, suffix), beside(to, suffix))


def _bytes_in(path: Path) -> int:
    return path.stat().st_size if path.exists() else 0


def _bytes(path: Path) -> bytes:
    return path.read_bytes() if path.exists() else b""


def _write(days: Iterable[UnitedDay], connection: sqlite3.Connection) -> None:
    bring_up_to_date(connection, 0)
    with transaction(connection):
        for found in days:
            day = found.day if found.missing else relearned(found.day)
            put_day(connection, day, day.number)


def _mended(
    path: Path, fault: Fault, days: list[UnitedDay], *, kept: Path | None, written: bool
) -> Mended:
    return Mended(
        path=path,
        fault=fault,
        days=len(days),
        rows=sum(len(found.day.rows) for found in days),
        gaps=tuple((found.day.number, found.missing) for found in days if found.missing),
        without_schedule=tuple(
            found.day.number for found in days if found.day.head.schedule == LOST
        ),
        kept=kept,
        written=written,
    )


def _keep(path: Path) -> Path | None:
    """Copy the damaged file, and what SQLite keeps beside it, to a name that is free."""
    if not path.exists() and not beside(path, LOG_SUFFIX).exists():
        return None
    kept, more = path.with_name(f"{path.stem}-damaged-{date.today()}{path.suffix}"), 1
    while any(place.exists() for place in (kept, *(beside(kept, suffix) for suffix in BESIDE))):
        more += 1
        kept = path.with_name(f"{path.stem}-damaged-{date.today()}-{more}{path.suffix}")
    for suffix in ("", *BESIDE):
        if beside(path, suffix).exists():
            shutil.copyfile(beside(path, suffix), beside(kept, suffix))
            sync_file(beside(kept, suffix))
    return kept


def remove_database(path: Path) -> None:
    """Take a database away, with what SQLite keeps beside it. Raises OSError where it can't."""
    for suffix in ("", *BESIDE):
        beside(path, suffix).unlink(missing_ok=True)
