"""The trials of the hearing benchmark: who says what in which noise, and hearing it."""

import random
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np
import numpy.typing as npt
from hearing_scores import Heard, Talk
from speech.bystanders import Overheard, not_for_us
from speech.corpus import Utterance, utterances
from speech.noises import NOISES, QUIET_SNR_DB, in_quiet, mix, reverberant
from speech.voices import RATE_HZ, Half, Sound, render

from assistant.day.advance import advance
from assistant.day.effects import Refused
from assistant.day.events import Event
from assistant.day.state import State
from assistant.hearing.engine_worker import maker
from assistant.hearing.recogniser import Recogniser, Verdict

NOISE_S = 40.0
NOISE_SEED = {Half.TUNE: 11, Half.HELD: 12}
AROUND_S = (2.5, 1.5)
"""Noise before and after the speech for the ear to find its floor in."""

TALK_SEED = 400
TALK_MIN = 2.0


@dataclass(frozen=True, kw_only=True)
class Condition:
    """A noise, and the speech's level over it; ``room`` is a quiet one."""

    noise: str
    snr_db: float

    @property
    def name(self) -> str:
        """For a row of the table."""
        return "quiet" if self.noise == "room" else f"{self.noise} {self.snr_db:.0f} dB"


CONDITIONS = (
    Condition(noise="room", snr_db=QUIET_SNR_DB),
    *(
        Condition(noise=noise, snr_db=snr_db)
        for noise in NOISES
        if noise != "room"
        for snr_db in (20.0, 10.0, 5.0)
    ),
)


@dataclass(frozen=True, kw_only=True)
class Setting:
    """What every trial of a run has in common; ``settings`` go to the engine."""

    half: Half
    engine: str
    settings: tuple[tuple[str, str], ...] = ()
    ear: bool = False


@dataclass(frozen=True, kw_only=True)
class Trial:
    """One utterance of the half, by its place, in a voice and a noise."""

    place: int
    voice: str
    condition: Condition
    reverberant: bool


_settings: list[Setting] = []
"""The setting of this process, once it has begun."""


def trials_of(
    half: Half,
    voices: Sequence[str],
    conditions: Sequence[Condition],
    limit: int,
    *,
    reverberant: bool,
) -> list[Trial]:
    """The trials: ``limit`` utterances (0: all) for each voice in each condition.

    The corpus is dealt out, so that few trials still hear much of it; the same in every run.
    """
    count = len(utterances(half))
    each = count if limit == 0 else min(limit, count)
    deck = random.Random(f"{half.value} deck").sample(range(count), count)
    trials = []
    for condition_place, condition in enumerate(conditions):
        for voice_place, voice in enumerate(voices):
            first = (condition_place * len(voices) + voice_place) * each
            trials += [
                Trial(
                    place=deck[(first + step) % count],
                    voice=voice,
                    condition=condition,
                    reverberant=reverberant,
                )
                for step in range(each)
            ]
    return trials


def talks_of(minutes: float, jobs: int) -> list[tuple[int, float]]:
    """Seeds and minutes of talk, in pieces for several processes."""
    pieces = max(jobs, round(minutes / TALK_MIN)) if minutes else 0
    return [(TALK_SEED + piece, minutes / pieces) for piece in range(pieces)]


def begin(setting: Setting) -> None:
    """Tell this process what all its trials have in common."""
    _settings[:] = [setting]


@cache
def _recogniser(engine: str, settings: tuple[tuple[str, str], ...]) -> Any:
    # Made at the first trial: what it raises then reaches the parent, unlike at the beginning.
    engine_made: Any = maker(engine)(**dict(settings))
    return Recogniser(engine_made)


def hear(trial: Trial) -> Heard:
    """What comes of a trial. Raises EngineFailed where the engine can't be made or fails."""
    setting = _settings[0]
    recogniser = _recogniser(setting.engine, setting.settings)
    said = utterances(setting.half)[trial.place]
    sound = _sound(said, trial, setting)
    began = time.perf_counter()
    heard = None if sound is None else recogniser.recognise(sound, said.listening)
    took_s = time.perf_counter() - began
    outcome, offered = ("refused", False) if heard is None else _judged(said, heard)
    return Heard(
        words=said.words,
        kind=said.kind,
        form=said.form,
        unlikely=said.unlikely,
        voice=trial.voice,
        condition=trial.condition.name,
        outcome=outcome,
        offered=offered,
        got="" if heard is None else str(heard.event or heard.choices),
        took_s=took_s,
        sound_s=0.0 if sound is None else len(sound) / RATE_HZ,
    )


def overhear(talk: tuple[int, float]) -> Talk:
    """What the program makes of people who do not mean it, at moments all through a day."""
    setting = _settings[0]
    recogniser = _recogniser(setting.engine, setting.settings)
    seed, minutes = talk
    moments = [said.listening for said in utterances(setting.half)]
    source = random.Random(seed)
    talked = list(not_for_us(seed, minutes, setting.half))
    acts: list[str] = []
    asks = 0
    for text, sound in _pieces(talked, setting, source):
        heard = recogniser.recognise(sound, source.choice(moments))
        if heard.verdict is Verdict.ACT:
            acts.append(f"{text} -> {heard.event}")
        asks += heard.verdict is Verdict.ASK
    spoken_s = sum(one.length_s for one in talked)
    return Talk(minutes=spoken_s / 60, acts=tuple(acts), asks=asks)


def _pieces(
    talked: Sequence[Overheard], setting: Setting, source: random.Random
) -> Iterator[tuple[str, Sound]]:
    """The talk as it comes to the recogniser: as the ear cuts it, or sentence by sentence."""
    if not setting.ear:
        for one in talked:
            yield f"{one.voice}: {one.text}", in_quiet(one.sound, seed=source.randrange(1000))
        return
    from assistant.hearing.ear.chain import Chain

    chain = Chain()
    whole = in_quiet(np.concatenate([one.sound for one in talked]), seed=source.randrange(1000))
    for cut in (*chain.feed(whole), *chain.flush()):
        said = _said_from(talked, cut.started_s, cut.ended_s)
        yield said, cut.sound


def _said_from(talked: Sequence[Overheard], from_s: float, to_s: float) -> str:
    """What was being said between two moments of the talk."""
    said, begins_s = [], 0.0
    for one in talked:
        if begins_s < to_s and begins_s + one.length_s > from_s:
            said.append(f"{one.voice}: {one.text}")
        begins_s += one.length_s
    return "; ".join(said)


def _sound(said: Utterance, trial: Trial, setting: Setting) -> Sound | None:
    speech = render(trial.voice, said.words)
    if trial.reverberant:
        speech = reverberant(speech, seed=trial.place)
    if setting.ear:
        before, after = (round(seconds * RATE_HZ) for seconds in AROUND_S)
        speech = np.pad(speech, (before, after))
    noise = _long_noise(trial.condition.noise, NOISE_SEED[setting.half])
    offset = random.Random(repr(trial)).randrange(len(noise) - len(speech))
    mixed = mix(
        speech,
        noise[offset:],
        trial.condition.snr_db,
        floor_seed=None if trial.condition.noise == "room" else trial.place,
    )
    return _cut(mixed) if setting.ear else mixed


def _cut(sound: Sound) -> Sound | None:
    """What the ear cuts out of its noise: the longest of what it takes for utterances."""
    from assistant.hearing.ear.chain import Chain

    chain = Chain()
    found = [*chain.feed(sound), *chain.flush()]
    return max((utterance.sound for utterance in found), key=len, default=None)


@cache
def _long_noise(name: str, seed: int) -> npt.NDArray[np.float64]:
    return NOISES[name](NOISE_S, seed)


def _judged(said: Utterance, heard: Any) -> tuple[str, bool]:
    """The outcome, and whether what was meant was among the choices."""
    if heard.verdict is Verdict.ACT:
        if _same(said, heard.event):
            return "right", False
        return ("caught" if _is_caught(said.state, heard.event) else "kept"), False
    if heard.verdict is Verdict.ASK:
        return "asked", any(_same(said, choice) for choice in heard.choices)
    return "refused", False


def _same(said: Utterance, event: Event) -> bool:
    """Whether an event is what was meant, or makes the day what that would have made it."""
    at = said.state.now_s
    heard, meant = replace(event, at=at), replace(said.event, at=at)
    return heard == meant or advance(said.state, heard) == advance(said.state, meant)


def _is_caught(state: State, event: Event) -> bool:
    """Whether nothing comes of an event: the core asks about it, refuses it, or only speaks."""
    after, effects = advance(state, replace(event, at=state.now_s))
    asks = after.question is not None and after.question != state.question
    refuses = any(isinstance(effect, Refused) for effect in effects)
    return asks or refuses or replace(after, spoken=state.spoken) == state
