"""A backup that is not as it was written: other bytes in the file, or other files in the zip.

The first byte chooses. For the file, each five bytes are a place in it and what stands there
instead; else the rest takes the place of the list, or of the record, with a checksum that fits.
"""

import hashlib
import io
import json
import os
import tempfile
import zipfile
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from unittest.mock import patch

from harness_record import _folder, _written

from assistant.record.backup import back_up
from assistant.record.backup_check import checked
from assistant.record.backup_files import BackupFiles
from assistant.record.backup_format import LIST, RECORD
from assistant.record.errors import BackupError, RecordError
from assistant.record.journal import FILE_NAME, Journal
from assistant.record.kept import KeptDay

IN_MEMORY = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
"""Where a record that is looked through is put meanwhile; the rest of the tests have their own."""


def one(data: bytes) -> None:
    """Look through a backup; whatever is no BackupError is a fault, and so is another record."""
    if not data:
        return
    choice, rest = data[0], data[1:]
    if choice < 128:
        spoilt = bytearray(_backup())
        for start in range(0, len(rest) - 4, 5):
            place = int.from_bytes(rest[start : start + 4], "big") % len(spoilt)
            spoilt[place] = rest[start + 4]
        found = _looked_through(bytes(spoilt))
        assert found in (None, _days()), "what was not refused is not what was backed up"
    elif choice < 192:
        _looked_through(_packed({LIST: rest}))
    elif choice < 224:
        _looked_through(rest)
    else:
        _looked_through(_with_record(rest))


def _looked_through(data: bytes) -> list[KeptDay] | None:
    try:
        with (
            patch.object(tempfile, "tempdir", IN_MEMORY),
            checked(BackupFiles(io.BytesIO(data), Path("b.zip"))) as backup,
        ):
            return list(backup.kept())
    except BackupError as error:
        assert error.faults
        assert all(fault.isprintable() for fault in error.faults), "a terminal would act on it"
    except RecordError as error:
        # An event of a kind that this version does not know.
        assert str(error).isprintable()
    return None


def _with_record(spoilt: bytes) -> bytes:
    """The backup with a record of which some bytes are others."""
    files = _files()
    record = bytearray(files[RECORD])
    for start in range(0, len(spoilt) - 4, 5):
        place = int.from_bytes(spoilt[start : start + 4], "big") % len(record)
        record[place] = spoilt[start + 4]
    told = json.loads(files[LIST])
    told["files"][RECORD]["sha256"] = hashlib.sha256(record).hexdigest()
    return _packed({RECORD: bytes(record), LIST: json.dumps(told).encode()})


def _packed(others: dict[str, bytes]) -> bytes:
    to = io.BytesIO()
    with zipfile.ZipFile(to, "w") as packed:
        for name, held in {**_files(), **others}.items():
            packed.writestr(name, held)
    return to.getvalue()


@cache
def _files() -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(_backup())) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


@cache
def _backup() -> bytes:
    """The bytes of a backup of a short day that is finished and one that is not."""
    folder, file = _folder() / "backed-up", _folder() / "b.zip"
    folder.mkdir(exist_ok=True)
    (folder / FILE_NAME).write_bytes(_written())
    with Journal.open(folder, read_only=True) as journal:
        back_up(journal, file, datetime(2024, 6, 17, tzinfo=UTC), replace=file.exists())
    return file.read_bytes()


@cache
def _days() -> list[KeptDay]:
    found = _looked_through(_backup())
    assert found is not None
    return found
