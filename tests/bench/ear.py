"""How well and how cheaply the ear cuts speech out of noise: prints a table, asserts nothing.

Thirty sentences by espeak-ng in each noise, one to two seconds apart. ``onset`` is how much later
than its true begin an utterance is taken to begin, ``end`` how much later than its true end it is
taken to end, ``told`` how long after its true end it is handed over: medians, in ms, with the
largest in brackets. ``lost`` is by how much the sound of the worst utterance is short of its
speech, in ms.
"""

import statistics
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent / "hearing"))

from room_sounds import SPEECH_RMS, babble, boil, fan, room, sound, spoken

from assistant.hearing.ear.chain import Chain
from assistant.hearing.ear.segmenter import SEGMENTING, Segmenting
from assistant.hearing.ear.speech import Utterance
from assistant.hearing.engine import RATE_HZ

SENTENCES = (
    "mash temperature sixty six point five",
    "skip",
    "yes",
    "gravity one point oh four eight",
    "ten minute timer for the yeast",
    "kettle start",
    "volume twenty three point five litres",
    "undo",
    "no",
    "what is next",
    "hops are in",
    "kettle temperature ninety one",
    "fifteen",
    "sixty three point two",
    "cancel the yeast timer",
    "one point oh five six",
    "done",
    "lid is off",
    "set a timer for twelve minutes",
    "how long is left",
    "p h five point three five",
    "boiling",
    "nineteen degrees",
    "repeat",
    "note that the bag tore",
    "stop",
    "start the boil",
    "twenty one litres in the fermenter",
    "kettle what is the gravity",
    "brix twelve point four",
)
BLOCK = RATE_HZ // 50
NOISES = {"boil": boil, "fan": fan, "babble": babble}
OVERLAP_S = 0.05

Span = tuple[float, float]


def day(noise: str, below_db: float) -> tuple[np.ndarray, list[Span]]:
    """The sentences in a noise so many dB below them, and when each is spoken."""
    chance = np.random.default_rng(4)
    pieces, spans, at_s = [np.zeros(4 * RATE_HZ)], [], 4.0
    for words in SENTENCES:
        speech, pause = spoken(words), np.zeros(round(chance.uniform(1, 2) * RATE_HZ))
        spans.append((at_s, at_s + speech.size / RATE_HZ))
        pieces += [speech, pause]
        at_s += (speech.size + pause.size) / RATE_HZ
    samples = np.concatenate(pieces)
    samples += room(samples.size / RATE_HZ)
    if noise != "quiet":
        samples += NOISES[noise](samples.size / RATE_HZ, SPEECH_RMS * 10 ** (-below_db / 20))
    return samples, spans


def cut(samples: np.ndarray, segmenting: Segmenting) -> list[tuple[Utterance, float]]:
    """The utterances, each with when it was handed over."""
    chain, whole, told = Chain(RATE_HZ, segmenting), sound(samples), []
    for at in range(0, whole.size, BLOCK):
        told += [(utterance, chain.now_s) for utterance in chain.feed(whole[at : at + BLOCK])]
    return told


def overlap(utterance: Utterance, span: Span) -> bool:
    return min(utterance.ended_s, span[1]) - max(utterance.started_s, span[0]) > OVERLAP_S


def row(noise: str, below_db: float, segmenting: Segmenting) -> str:
    samples, spans = day(noise, below_db)
    told = cut(samples, segmenting)
    onset, end, late, lost = [], [], [], [0.0]
    missed = split = 0
    for span in spans:
        of = [(utterance, told_s) for utterance, told_s in told if overlap(utterance, span)]
        missed += not of
        split += len(of) > 1
        if len(of) != 1:
            continue
        utterance, told_s = of[0]
        onset.append(utterance.started_s - span[0])
        end.append(utterance.ended_s - span[1])
        late.append(told_s - span[1])
        lost += [
            utterance.from_s - span[0],
            span[1] - utterance.from_s - utterance.length_s,
        ]
    joined = sum(sum(overlap(one, span) for span in spans) > 1 for one, _ in told)
    false = sum(not any(overlap(one, span) for span in spans) for one, _ in told)
    return (
        f"{noise:7}{below_db:4.0f}{missed:7}{split:6}{joined:7}{false:6}"
        f"{in_ms(onset):>14}{in_ms(end):>14}{in_ms(late):>14}{1000 * max(lost):7.0f}"
    )


def in_ms(lengths_s: list[float]) -> str:
    if not lengths_s:
        return "-"
    largest = max(lengths_s, key=abs)
    return f"{1000 * statistics.median(lengths_s):.0f} ({1000 * largest:.0f})"


def rises(noise: str, in_s: float) -> int:
    """How many utterances ten noises are taken for that grow by 20 dB within ``in_s`` seconds."""
    at_s = np.arange(40 * RATE_HZ) / RATE_HZ
    gain = 10 ** (np.clip((at_s - 6) / in_s * 20, 0, 20) / 20)
    return sum(len(cut(NOISES[noise](40, 80, seed) * gain, SEGMENTING)) for seed in range(10))


def cpu_percent(samples: np.ndarray) -> float:
    began_s = time.process_time()
    cut(samples, SEGMENTING)
    return 100 * (time.process_time() - began_s) / (samples.size / RATE_HZ)


def say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main() -> None:
    for name, segmenting in (("usual", SEGMENTING), ("short", Segmenting(end_after_s=0.36))):
        say(f"{name}: speech ends after {segmenting.end_after_s} s")
        say(
            "noise    dB missed split joined false         onset           end          told   lost"
        )
        for noise, levels_db in (
            ("quiet", (99,)),
            ("boil", (20, 10, 5)),
            ("fan", (20, 10, 5)),
            ("babble", (20, 10, 5)),
        ):
            for below_db in levels_db:
                say(row(noise, below_db, segmenting))
    for noise in ("boil", "fan"):
        for in_s in (0.05, 1.0, 20.0):
            say(f"ten times {noise} rising 20 dB in {in_s} s: {rises(noise, in_s)} utterances")
    for noise, make in NOISES.items():
        alone = [len(cut(make(60, rms, 7), SEGMENTING)) for rms in (50, 500, 3000)]
        say(f"a minute of {noise} alone, soft, loud and very loud: {alone} utterances")
    say(f"listening to a quiet room: {cpu_percent(room(60)):.2f} % of a core")
    say(f"listening to a boil: {cpu_percent(boil(60, 500)):.2f} % of a core")


if __name__ == "__main__":
    main()
