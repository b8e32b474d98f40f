"""The sentence of a grammar that a sound's phones fit best, and how well given sentences fit it.

The frames are those of a model trained by connectionist temporal classification: a phone is written
once, with nothing or itself repeated until the next. The search is Viterbi's over the graph, with a
place for nothing after each phone. Source: A. Graves, S. Fernández, F. Gomez and J. Schmidhuber,
"Connectionist temporal classification", ICML 2006.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from assistant.hearing.phones.graph import Graph
from assistant.hearing.phones.model import Frames
from assistant.hearing.spoken import Words

IMPOSSIBLE = np.float32(-1e30)

Scores = npt.NDArray[np.float32]
Marks = npt.NDArray[np.uint8]
"""A yes or no for each place, eight to a byte."""


def best_sentence(graph: Graph, frames: Frames) -> Words | None:
    """The words of the likeliest path; None where not one sentence is as short as the sound."""
    trellis = _run(graph, frames, keep=True)
    if not len(frames) or trellis.states[graph.final] <= IMPOSSIBLE / 2:
        return None
    return _traced(graph, trellis, len(frames) - 1, graph.final)


def scores_at(graph: Graph, frames: Frames) -> Scores:
    """The score of the likeliest path to each state of a graph, a logarithm of a likelihood."""
    return _run(graph, frames, keep=False).states


def likeliest_at_all(frames: Frames) -> float:
    """The score of the likeliest phones whatever they mean: what no sentence can exceed."""
    return float(np.sum(np.max(frames, axis=1))) if len(frames) else 0.0


@dataclass(kw_only=True)
class _Trellis:
    """The scores of the states at the last step; step by step, how each place was come to.

    ``stayed`` marks a phone that went on, ``from_phone`` one come to straight from the phone before
    it, ``nothing_from_phone`` nothing that began there. ``endings`` are the scores of the last
    places, ``ended_in_phone`` whether that is of the phone itself.
    """

    states: Scores
    stayed: list[Marks]
    from_phone: list[Marks]
    nothing_from_phone: list[Marks]
    endings: list[Scores]
    ended_in_phone: list[npt.NDArray[np.bool_]]
    passed: list[Scores]


def _run(graph: Graph, frames: Frames, *, keep: bool) -> _Trellis:
    count = len(graph.column)
    phone = np.full(count + 1, IMPOSSIBLE, np.float32)
    nothing = np.full(count + 1, IMPOSSIBLE, np.float32)
    # The place before each, so that the one before the first is a place too.
    before = slice(0, count)
    here = slice(1, count + 1)
    joined = np.empty(count, np.float32)
    entered = np.empty(count, np.float32)
    sounds = np.empty(count, np.float32)
    states = np.full(graph.states, IMPOSSIBLE, np.float32)
    states[0] = 0.0
    _skip(graph, states)
    silent = np.float32(0.0)
    trellis = _Trellis(
        states=states,
        stayed=[],
        from_phone=[],
        nothing_from_phone=[],
        endings=[],
        ended_in_phone=[],
        passed=[],
    )
    for frame in frames:
        np.add(phone[before], graph.joining, out=joined)
        entered[:] = nothing[before]
        entered[graph.first] = states[graph.from_state] + graph.weight
        from_phone = joined > entered
        np.maximum(joined, entered, out=entered)
        stayed = phone[here] >= entered
        nothing_from_phone = phone[here] >= nothing[here]
        np.maximum(phone[here], nothing[here], out=nothing[here])
        nothing[here] += frame[0]
        np.maximum(phone[here], entered, out=phone[here])
        np.take(frame, graph.column, out=sounds)
        phone[here] += sounds
        last_phone, last_nothing = phone[here][graph.last], nothing[here][graph.last]
        endings = np.maximum(last_phone, last_nothing)
        silent = silent + frame[0]
        states = np.full(graph.states, IMPOSSIBLE, np.float32)
        states[0] = silent
        states[graph.reached] = np.maximum.reduceat(endings, graph.arrivals)
        _skip(graph, states)
        if keep:
            trellis.stayed.append(np.packbits(stayed))
            trellis.from_phone.append(np.packbits(from_phone))
            trellis.nothing_from_phone.append(np.packbits(nothing_from_phone))
            trellis.endings.append(endings)
            trellis.ended_in_phone.append(last_phone >= last_nothing)
            trellis.passed.append(states)
    trellis.states = states
    return trellis


def _skip(graph: Graph, states: Scores) -> None:
    for start, end, weight in graph.skips:
        if states[start] + weight > states[end]:
            states[end] = states[start] + weight


def _traced(graph: Graph, trellis: _Trellis, step: int, state: int) -> Words:
    words: list[str] = []
    while step >= 0:
        arrived = _arrival(graph, trellis, step, state)
        if arrived is None:
            break
        words.append(graph.words[graph.word[arrived]])
        step = _before(graph, trellis, step, arrived)
        state = int(graph.from_state[arrived])
    return tuple(reversed(words))


def _arrival(graph: Graph, trellis: _Trellis, step: int, state: int) -> int | None:
    """The pronunciation that the score of a state came from, by any steps without a word."""
    score = trellis.passed[step][state]
    where = int(np.searchsorted(graph.reached, state))
    if where < len(graph.reached) and graph.reached[where] == state:
        ends = [*graph.arrivals[where + 1 : where + 2], len(graph.to_state)]
        begin = int(graph.arrivals[where])
        arrived = begin + int(np.argmax(trellis.endings[step][begin : int(ends[0])]))
        if trellis.endings[step][arrived] >= score:
            return arrived
    for start, end, weight in graph.skips:
        if end == state and trellis.passed[step][start] + weight >= score:
            return _arrival(graph, trellis, step, start)
    return None


def _before(graph: Graph, trellis: _Trellis, step: int, arrived: int) -> int:
    """The step before the first one of a pronunciation that ends at ``step``."""
    place = int(graph.last[arrived])
    in_phone = bool(trellis.ended_in_phone[step][arrived])
    while True:
        if not in_phone:
            in_phone = _marked(trellis.nothing_from_phone[step], place)
        elif not _marked(trellis.stayed[step], place):
            if place == graph.first[arrived]:
                return step - 1
            in_phone = _marked(trellis.from_phone[step], place)
            place -= 1
        step -= 1


def _marked(marks: Marks, place: int) -> bool:
    return bool(marks[place >> 3] >> (7 - (place & 7)) & 1)
