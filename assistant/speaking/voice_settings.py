"""How the voice speaks, and the steps in which a brewer changes it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum, auto


class Change(Enum):
    """A change a brewer asks for."""

    SLOWER = auto()
    FASTER = auto()
    QUIETER = auto()
    LOUDER = auto()
    OTHER_VOICE = auto()


@dataclass(frozen=True, kw_only=True)
class VoiceName:
    """A voice of the synthesiser: ``id`` chooses it, ``language`` is a tag such as ``en-gb``."""

    id: str
    name: str
    language: str


RATES_WPM = (110, 125, 140, 155, 175, 200, 230)
"""Speeds in words per minute; faster ones are lost in a boil, slower ones take longer than asks."""

VOLUMES = (0.25, 0.4, 0.6, 0.8, 1.0)
"""Shares of the loudest; no step is silent, or a word too many would lose the reminders."""

USUAL_RATE, USUAL_VOLUME = 3, 4
"""The places in the tables where a day begins."""


@dataclass(frozen=True, kw_only=True)
class VoiceSettings:
    """``rate_wpm`` in words per minute (80 to 450), ``volume`` a share from 0 to 1.

    ``voice`` is the id of a voice; None leaves it to the synthesiser. Raises ValueError for what
    no synthesiser can do.
    """

    rate_wpm: int = RATES_WPM[USUAL_RATE]
    volume: float = VOLUMES[USUAL_VOLUME]
    voice: str | None = None

    def __post_init__(self) -> None:
        if not 80 <= self.rate_wpm <= 450:
            raise ValueError(
                f"a voice can't speak {self.rate_wpm} words a minute; wanted is 80 to 450"
            )
        if not 0 <= self.volume <= 1:
            raise ValueError(f"a volume of {self.volume} is no share; 0 to 1 is wanted")


def settings_at(rate_step: int, volume_step: int, voice: str | None = None) -> VoiceSettings:
    """The settings so many steps from the usual ones, held to the tables' ends."""
    return VoiceSettings(
        rate_wpm=RATES_WPM[_within(USUAL_RATE + rate_step, RATES_WPM)],
        volume=VOLUMES[_within(USUAL_VOLUME + volume_step, VOLUMES)],
        voice=voice,
    )


def stepped(
    settings: VoiceSettings, change: Change, voices: Sequence[VoiceName] = ()
) -> VoiceSettings:
    """The settings one step on; the same ones at a table's end, or where there is no other voice.

    ``voices`` are those to choose from, the one after the present one being next.
    """
    match change:
        case Change.SLOWER | Change.FASTER:
            side = 1 if change is Change.FASTER else -1
            return replace(settings, rate_wpm=round(_next(settings.rate_wpm, RATES_WPM, side)))
        case Change.QUIETER | Change.LOUDER:
            side = 1 if change is Change.LOUDER else -1
            return replace(settings, volume=_next(settings.volume, VOLUMES, side))
        case Change.OTHER_VOICE:
            return replace(settings, voice=_other(settings.voice, [voice.id for voice in voices]))


SHAVIAN = "en-shaw"
"""English in an alphabet of its own: it spells what is written in this one."""


def english(voices: Sequence[VoiceName]) -> tuple[VoiceName, ...]:
    """Those voices that speak English, British and American ones first."""
    spoken = [
        voice
        for voice in voices
        if voice.language.casefold().startswith("en") and voice.language.casefold() != SHAVIAN
    ]
    first = ("en-gb", "en_gb", "en-us", "en_us")
    return tuple(sorted(spoken, key=lambda voice: voice.language.casefold() not in first))


def _next(present: float, table: Sequence[float], side: int) -> float:
    beyond = [step for step in table if (step - present) * side > 1e-9]
    return min(beyond, key=lambda step: abs(step - present), default=present)


def _other(present: str | None, ids: Sequence[str]) -> str | None:
    if not ids:
        return present
    # Where no voice was chosen the synthesiser speaks with a voice like the first.
    at = ids.index(present) if present in ids else 0
    return ids[(at + 1) % len(ids)]


def _within(place: int, table: Sequence[float]) -> int:
    return min(max(place, 0), len(table) - 1)
