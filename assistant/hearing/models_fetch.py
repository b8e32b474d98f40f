"""A model from the network to its folder: downloaded, checked, and only then unpacked.

What is on disk under the model's name is always the whole model: the archive grows under a name of
its own, from which a later try goes on, and is unpacked beside the place it is renamed into.
"""

import hashlib
import http.client
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.error import HTTPError, URLError
from urllib.parse import urlsplit
from urllib.request import Request, urlopen

from assistant.hearing.models import SpeechModel, is_model, models_list
from assistant.hearing.models_unpack import ArchiveRefused, unpack

if TYPE_CHECKING:
    from http.client import HTTPResponse

Progress = Callable[[int, int], None]
"""Called with the bytes that are there and the bytes wanted."""

UNPACKED_AT_MOST = 8
"""How many times the size of its archive a model may unpack to; acoustic models shrink little."""

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
        archive = _whole_archive(model, place, progress or (lambda there, wanted: None))
        try:
            return unpack(
                archive, model.folder, place, at_most_bytes=UNPACKED_AT_MOST * model.size_bytes
            )
        finally:
            archive.unlink(missing_ok=True)
    except ArchiveRefused as refused:
        raise FetchFailed(f"{model.file} {refused}: removed, nothing was unpacked") from refused
    except OSError as error:
        raise FetchFailed(f"{error.filename or place}: {error.strerror or error}") from error


def _whole_archive(model: SpeechModel, place: Path, progress: Progress) -> Path:
    part = place / f"{model.file}.part"
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
    try:
        answer = urlopen(Request(model.url, headers=headers), timeout=_SILENCE_S)
    except HTTPError as error:
        with error:
            raise FetchFailed(
                f"{_host(model)} answers {error.code} {error.reason} for {model.url}"
            ) from error
    except URLError as error:
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
