"""The speech models: which there are, where they are looked for, and which one is used."""

import sys
from collections.abc import Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any, cast

import yaml

from assistant.hearing.models_web import is_safe

LIST = "models.yaml"

_CHECKOUT = Path(__file__).resolve().parent.parent.parent / "models"


class ModelsUnreadable(Exception):
    """The list of models is missing or is not one; the text names the file and the fault."""


@dataclass(frozen=True, kw_only=True)
class SpeechModel:
    """One entry of the list.

    ``folder`` is both the only folder in the archive ``file`` and the model's name on disk;
    ``size_bytes`` and ``sha256`` are the archive's. ``purpose`` says whom it suits.
    """

    name: str
    purpose: str
    folder: str
    file: str
    size_bytes: int
    sha256: str
    url: str
    licence: str


@dataclass(frozen=True, kw_only=True)
class Placed:
    """A model found on disk; ``model`` is None for one that the list does not have."""

    folder: Path
    model: SpeechModel | None


def models_list() -> Path:
    """The list: a checkout's own, else the one that the installer put beside the samples."""
    checkout = _CHECKOUT / LIST
    if checkout.is_file():
        return checkout
    return Path(sys.prefix) / "share" / "kettleside" / "models" / LIST


def known_models(path: Path | None = None) -> tuple[SpeechModel, ...]:
    """The models of the list, the best first. Raises :class:`ModelsUnreadable`."""
    path = models_list() if path is None else path
    try:
        entries = yaml.safe_load(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, yaml.YAMLError) as error:
        raise ModelsUnreadable(f"{path}: the list of models can't be read: {error}") from error
    if not isinstance(entries, list) or not entries:
        raise ModelsUnreadable(f"{path}: wanted a list of models, found {entries!r}")
    models = tuple(_model(entry, f"{path}: model {n}") for n, entry in enumerate(entries, 1))
    if len({model.name for model in models}) < len(models):
        raise ModelsUnreadable(f"{path}: two models have the same name")
    return models


def places(data: Path | None = None) -> tuple[Path, ...]:
    """The folders that models are looked for in; the first is where a fetched one goes.

    ``data`` is the folder that was asked for by option or environment, if any was.
    """
    from platformdirs import user_data_path

    found = [] if data is None else [data / "models"]
    if (_CHECKOUT / LIST).is_file():
        found.append(_CHECKOUT)
    found.append(user_data_path("kettleside", appauthor=False) / "models")
    return tuple(found)


def placed_models(
    data: Path | None = None, models: tuple[SpeechModel, ...] | None = None
) -> tuple[Placed, ...]:
    """The models on disk, the one to use first: those of the list, then any other.

    Raises :class:`ModelsUnreadable`.
    """
    models = known_models() if models is None else models
    by_folder = {model.folder: model for model in models}
    folders = [folder for place in places(data) for folder in _model_folders(place)]
    listed = [
        Placed(folder=folder, model=model)
        for model in models
        for folder in folders
        if folder.name == model.folder
    ]
    others = [
        Placed(folder=folder, model=None) for folder in folders if folder.name not in by_folder
    ]
    return (*listed, *others)


def best_model(data: Path | None = None) -> Path | None:
    """The folder of the model that Vosk would hear with; None where there is none.

    Raises :class:`ModelsUnreadable`.
    """
    return next((placed.folder for placed in placed_models(data)), None)


def is_model(folder: Path) -> bool:
    """Whether a folder holds an acoustic model where Vosk looks for it."""
    return any((folder / place / "final.mdl").is_file() for place in ("am", "."))


def _model_folders(place: Path) -> list[Path]:
    try:
        return sorted(folder for folder in place.glob("vosk-model*") if is_model(folder))
    except OSError:
        return []


_KEYS = {"for" if field.name == "purpose" else field.name: field for field in fields(SpeechModel)}


def _model(entry: object, where: str) -> SpeechModel:
    if not isinstance(entry, dict):
        raise ModelsUnreadable(f"{where}: wanted {', '.join(_KEYS)}, found {entry!r}")
    if odd := entry.keys() ^ _KEYS.keys():
        fault = "is not a key of a model" if odd & entry.keys() else "is missing"
        raise ModelsUnreadable(f"{where}: {sorted(map(str, odd))[0]!r} {fault}")
    for key, field in _KEYS.items():
        value = entry[key]
        if type(value) is not field.type or not value:
            wanted = "a whole number" if field.type is int else "text"
            raise ModelsUnreadable(f"{where}: {key}: wanted {wanted}, found {value!r}")
    model = SpeechModel(
        **{_KEYS[key].name: value for key, value in cast(Mapping[str, Any], entry).items()}
    )
    for key, name in (("folder", model.folder), ("file", model.file)):
        if Path(name).name != name or name in (".", ".."):
            raise ModelsUnreadable(f"{where}: {key}: wanted a plain name, found {name!r}")
    if not is_safe(model.url):
        raise ModelsUnreadable(f"{where}: url: wanted an address of https, found {model.url!r}")
    return model
