"""A backup put back: whole, into a folder that has no record.

The record is written beside its place and takes it in one stroke, as a mended one does. Cut short
at any moment there is either none, as before, or the whole of it.
"""

import shutil
from pathlib import Path

from assistant.record.backup_check import CheckedBackup
from assistant.record.backup_format import SET_ASIDE
from assistant.record.connecting import FILE_NAME
from assistant.record.copies import FOLDER_NAME, SUFFIX, copy_paths
from assistant.record.disk import sync_file, sync_folder, whole_file
from assistant.record.errors import BackupError, folder_fault
from assistant.record.lock import WriterLock
from assistant.record.mending import READY, UNDER_WAY, carry_on, remove_database
from assistant.record.opening import LOCK_NAME
from assistant.record.soundness import Condition, condition
from assistant.schedule.faults import harmless


def restore(backup: CheckedBackup, folder: Path) -> None:
    """Put the record of ``backup`` into ``folder``, as it was; an older one is left for opening.

    Raises :class:`~assistant.record.errors.BackupError` where a record is there, and
    :class:`~assistant.record.errors.RecordError` where the folder can't be used or another writer
    has it; then nothing on record has changed.
    """
    path = folder / FILE_NAME
    try:
        # Whoever only asks should leave no lock in a folder with a record.
        _check_free(path)
        folder.mkdir(parents=True, exist_ok=True)
        with WriterLock(folder / LOCK_NAME):
            _check_free(path)
            _put_set_aside(backup, folder)
            _put_record(backup, path)
    except OSError as error:
        raise folder_fault(folder, error) from error


def _check_free(path: Path) -> None:
    there = path.with_name(READY).exists() or bool(copy_paths(path.parent))
    if there or condition(path, deep=False) is not Condition.MISSING:
        raise BackupError(
            f"{harmless(str(path.parent), 300)} has a record already; --merge takes in what it "
            "lacks, or name another folder with --data"
        )


def _put_record(backup: CheckedBackup, path: Path) -> None:
    new = path.with_name(UNDER_WAY)
    remove_database(new)
    try:
        shutil.copyfile(backup.record, new)
        sync_file(new)
    except BaseException:
        remove_database(new)
        raise
    new.replace(path.with_name(READY))
    sync_folder(path.parent)
    carry_on(path)


def _put_set_aside(backup: CheckedBackup, folder: Path) -> None:
    for name in backup.contents.files:
        if not SET_ASIDE.fullmatch(name):
            continue
        own = Path(name).name
        place = folder / own if SUFFIX not in own else folder / FOLDER_NAME / own
        place.parent.mkdir(exist_ok=True)
        if place.exists():
            # Put there by a restoring that was cut short, or kept by its owner.
            continue
        with whole_file(place) as to:
            backup.files.copy_out(name, to)
