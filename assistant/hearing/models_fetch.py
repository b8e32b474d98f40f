"""A model from the network to its folder: downloaded, checked, and only then unpacked.

What is on disk under the model's name is always the whole model: the archive grows under a name of
its own, from which a later try goes on, and is unpacked beside the place it is renamed into.
"""

import errno
import glob
import hashlib
import http.client
import ssl
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.error import HTTPError, URLError
from urllib.parse import urlsplit
from urllib.request import Request

from assistant.hearing.models import SpeechModel, is_model, models_list
from assistant.hearing.models_lock import FetchedElsewhere, locked
from assistant.hearing.models_unpack import ArchiveRefused, unpack
from assistant.hearing.models_web import LedAway, https_opener, is_safe

if TYPE_CHECKING:
    from http.client import HTTPResponse

Progress = Callable[[int, int], None]
"""Called with the bytes that are there and the bytes wanted."""

UNPACKED_AT_MOST = 8
"""How many times the size of its archive a model may unpack to; acoustic models shrink little."""

NAME_DIGITS = 12
"""How much of its SHA-256 a part has in its name, so that it is only ever added to by the same."""

_DISK_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
_BLOCK_BYTES = 1 << 16
_SILENCE_S = 20.0


class FetchFailed(Exception):
    """The model could not be had; the one-line text says why and what to do."""


class _Cut(Exception):
    """The line dropped."""


def fetch(model: SpeechModel, place: Path, progress: Progress | None = None) -> Path:
    """The folder of a model, fetched into ``place`` unless it is there.

    Raises :class:`FetchFailed`; nothing is left behind then but what a later try can go on from.
    """
    folder = place / model.folder
    if is_model(folder):
        return folder
    try:
        if folder.exists():
            raise FetchFailed(f"{folder} is in the way and is no speech model: remove it first")
        place.mkdir(parents=True, exist_ok=True)
        part = part_of(model, place)
        with locked(part.with_suffix(".lock")):
            return _fetched(model, place, part, progress or (lambda there, wanted: None))
    except FetchedElsewhere as elsewhere:
        raise FetchFailed(
            f"{model.name} is being fetched by another program already: wait until it is there"
        ) from elsewhere
    except OSError as error:
        raise FetchFailed(_not_written(model, place, error)) from error


def part_of(model: SpeechModel, place: Path) -> Path:
    """Where the archive of a model grows: no other version of it has the same name."""
    return place / f"{model.file}.{model.sha256[:NAME_DIGITS].lower()}.part"


def _fetched(model: SpeechModel, place: Path, part: Path, progress: Progress) -> Path:
    folder = place / model.folder
    if is_model(folder):
        return folder
    for older in place.glob(f"{glob.escape(model.file)}*.part"):
        if older != part:
            older.unlink()
    archive = _whole_archive(model, part, progress)
    try:
        unpack(archive, model.folder, place, at_most_bytes=UNPACKED_AT_MOST * model.size_bytes)
    except ArchiveRefused as refused:
        archive.unlink()
        raise FetchFailed(f"{model.file} {refused}: removed, nothing was unpacked") from refused
    archive.unlink()
    return folder


def _not_written(model: SpeechModel, place: Path, error: OSError) -> str:
    said = f"{error.filename or place}: {error.strerror or error}"
    if error.errno not in _DISK_FULL:
        return said
    return f"{said}: free some space; what has come is kept, and the same command goes on with it"


def _whole_archive(model: SpeechModel, part: Path, progress: Progress) -> Path:
    there = part.stat().st_size if part.exists() else 0
    if there != model.size_bytes:
        there = _download(model, part, 0 if there > model.size_bytes else there, progress)
    if there < model.size_bytes:
        raise FetchFailed(
            f"the line dropped at {_megabytes(there)} of {_megabytes(model.size_bytes)}: "
            f"the same command goes on from there"
        )
    with part.open("rb") as written:
        found = hashlib.file_digest(written, "sha256").hexdigest()
    if found != model.sha256.lower():
        part.unlink()
        raise FetchFailed(
            f"{model.file} is not the file that is listed: its SHA-256 is {found}, "
            f"wanted {model.sha256}; removed, nothing was unpacked"
        )
    return part


def _download(model: SpeechModel, part: Path, there: int, progress: Progress) -> int:
    """Add to the part of an archive; how many bytes of it there are afterwards."""
    try:
        with _answer(model, part.parent, there) as answer:
            if answer.status != http.HTTPStatus.PARTIAL_CONTENT:
                there = 0
            elif not answer.headers.get("Content-Range", "").startswith(f"bytes {there}-"):
                raise FetchFailed(f"{_host(model)} sends another part of the file than asked for")
            progress(there, model.size_bytes)
            if answer.length is not None and there + answer.length != model.size_bytes:
                raise FetchFailed(
                    f"{_host(model)} has a file of {there + answer.length} bytes, "
                    f"wanted {model.size_bytes}: it is not the one that is listed"
                )
            with part.open("r+b" if there else "wb") as written:
                written.seek(there)
                for block in _blocks(answer):
                    there += len(block)
                    if there > model.size_bytes:
                        break
                    written.write(block)
                    progress(there, model.size_bytes)
    except _Cut:
        return there
    if there > model.size_bytes:
        part.unlink()
        raise FetchFailed(
            f"{_host(model)} sends more than the {model.size_bytes} bytes wanted: removed"
        )
    return there


@contextmanager
def _answer(model: SpeechModel, place: Path, there: int) -> "Iterator[HTTPResponse]":
    headers = {"User-Agent": "kettleside"}
    if there:
        headers["Range"] = f"bytes={there}-"
    if not is_safe(model.url):
        raise FetchFailed(f"{model.url} is no address of https: nothing is fetched from it")
    try:
        answer = https_opener().open(Request(model.url, headers=headers), timeout=_SILENCE_S)
    except LedAway as away:
        raise FetchFailed(
            f"{_host(model)} leads away from https, to {away}: nothing was fetched"
        ) from away
    except HTTPError as error:
        with error:
            raise FetchFailed(
                f"{_host(model)} answers {error.code} {error.reason} for {model.url}"
            ) from error
    except URLError as error:
        if isinstance(error.reason, ssl.SSLError):
            raise FetchFailed(_not_proved(model, error.reason)) from error
        raise FetchFailed(_offline(model, place, error.reason)) from error
    except (OSError, http.client.HTTPException) as error:
        raise FetchFailed(_offline(model, place, error)) from error
    with answer:
        yield answer


def _blocks(answer: "HTTPResponse") -> Iterator[bytes]:
    while True:
        try:
            block = answer.read(_BLOCK_BYTES)
        except (OSError, http.client.HTTPException) as error:
            raise _Cut from error
        if not block:
            return
        yield block


def _not_proved(model: SpeechModel, error: ssl.SSLError) -> str:
    host = _host(model)
    if isinstance(error, ssl.SSLCertVerificationError):
        return (
            f"{host} can't prove that it is {host} ({error.verify_message}): nothing was fetched; "
            "see that this computer's date is right and its certificates are up to date"
        )
    return f"no safe line to {host} ({error.reason or error}): nothing was fetched"


def _offline(model: SpeechModel, place: Path, error: object) -> str:
    reason = error.strerror if isinstance(error, OSError) else None
    readme = models_list().parent / "README.md"
    return (
        f"no network: {_host(model)} ({reason or error or type(error).__name__}); "
        f"put the folder {model.folder} into {place} by hand, see {readme}"
    )


def _host(model: SpeechModel) -> str:
    return urlsplit(model.url).hostname or model.url


def _megabytes(size_bytes: int) -> str:
    return f"{size_bytes / 1e6:.1f} MB"
