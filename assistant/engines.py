"""The speech engines there are, and which one hears where none is named."""

from importlib.util import find_spec
from pathlib import Path

from assistant.hearing.engine import EngineFailed
from assistant.hearing.engine_process import EngineProcess
from assistant.hearing.models import ModelsUnreadable, best_model

VOSK, POCKETSPHINX = "vosk", "pocketsphinx"
ENGINES = (VOSK, POCKETSPHINX)

NO_MODEL = (
    "Vosk has no model here: `kettleside model fetch small-en-us`, or use --engine pocketsphinx."
)
NO_ENGINE = (
    "There is no recogniser: the Python package pocketsphinx is missing. Install it with "
    "`pip install pocketsphinx`, or use the keyboard."
)
NO_VOSK = "The Python package vosk is missing. Install it with `pip install vosk`."


def open_engine(wanted: str | None = None, data: Path | None = None) -> EngineProcess:
    """The engine called ``wanted``, or Vosk where it has a model, else PocketSphinx; not started.

    ``data`` is the folder of the record, whose ``models`` are looked at first. Raises
    :class:`EngineFailed` with what to install or to fetch.
    """
    if wanted == POCKETSPHINX:
        return _pocketsphinx()
    model = _model(data)
    if wanted == VOSK and model is None:
        raise EngineFailed(NO_MODEL)
    if wanted == VOSK and find_spec("vosk") is None:
        raise EngineFailed(NO_VOSK)
    if model is not None and find_spec("vosk") is not None:
        return EngineProcess(VOSK, folder=model)
    return _pocketsphinx()


def _pocketsphinx() -> EngineProcess:
    if find_spec("pocketsphinx") is None:
        raise EngineFailed(NO_ENGINE)
    return EngineProcess(POCKETSPHINX)


def _model(data: Path | None) -> Path | None:
    try:
        return best_model(data)
    except ModelsUnreadable as error:
        raise EngineFailed(str(error)) from error
