"""Backups to be looked through: true ones of a small record, and such as nobody should trust."""

import hashlib
import io
import json
import zipfile
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path

from damaged import brew_three

from assistant.record.backup import back_up
from assistant.record.backup_check import checked
from assistant.record.backup_files import BackupFiles
from assistant.record.backup_format import LIST, RECORD
from assistant.record.journal import Journal
from assistant.record.kept import KeptDay

MADE = datetime(2024, 6, 17, 8, 30, tzinfo=UTC)
COPY_OF_FIRST = "days/0001-2024-06-14-slipway-bitter.jsonl"


def backed_up(folder: Path, file: Path, *, replace: bool = False) -> Path:
    """The backup of the record in ``folder``, written to ``file``."""
    with Journal.open(folder, read_only=True) as journal:
        back_up(journal, file, MADE, replace=replace)
    return file


def backup_of_three(folder: Path) -> Path:
    """A backup of three days; the record they are from is in ``folder / "brewed"``."""
    brew_three(folder / "brewed")
    return backed_up(folder / "brewed", folder / "three.zip")


def looked_through(data: bytes) -> tuple[bytes, list[KeptDay]]:
    """The record and the days of a backup; raises BackupError where it is not whole."""
    with checked(BackupFiles(io.BytesIO(data), Path("three.zip"))) as backup:
        return backup.record.read_bytes(), list(backup.kept())


def faults(data: bytes) -> tuple[str, ...]:
    """What is wrong with a backup."""
    from assistant.record.errors import BackupError

    try:
        looked_through(data)
    except BackupError as error:
        return error.faults
    return ()


def files_in(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        return {name: packed.read(name) for name in packed.namelist() if name != LIST}


def repacked(
    data: bytes,
    files: Mapping[str, bytes | None],
    told: Callable[[dict[str, object]], object] = lambda told: None,
) -> bytes:
    """The backup with other ``files``, None for none, and a list that fits them.

    ``told`` may change what the list says.
    """
    inside = {**files_in(data), **files}
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        entry = json.loads(packed.read(LIST))
    entry["files"] = {
        name: {"bytes": len(held), "sha256": hashlib.sha256(held).hexdigest()}
        for name, held in inside.items()
        if held is not None
    }
    told(entry)
    inside[LIST] = json.dumps(entry).encode()
    to = io.BytesIO()
    with zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, held in inside.items():
            if held is not None:
                packed.writestr(name, held)
    return to.getvalue()


def with_record(data: bytes, change: str, folder: Path) -> bytes:
    """The backup with a record that these statements have changed, and a list that fits it."""
    import sqlite3
    from contextlib import closing

    path = folder / "changed.db"
    path.write_bytes(files_in(data)[RECORD])
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(change)
    changed = path.read_bytes()
    path.unlink()
    return repacked(data, {RECORD: changed})
