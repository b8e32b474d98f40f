"""A grammar's automaton written out in phones, as flat arrays that a search can run through."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from assistant.hearing.grammar.automaton import Automaton
from assistant.hearing.phones.symbols import Phones

Places = npt.NDArray[np.int32]
Weights = npt.NDArray[np.float32]

NOT_JOINED = np.float32(-1e30)
"""Between two phones alike, and at the beginning of a word, a phone does not follow at once."""


@dataclass(frozen=True, kw_only=True)
class Graph:
    """Every word of every arc in each of its pronunciations, laid end to end.

    A *place* is one phone of one pronunciation. For each place: its ``column`` in the frames, and
    what it costs to come straight from the phone before it (``joining``: nothing or all). For each
    pronunciation: its ``first`` and ``last`` place, the state it comes ``from_state`` and leads
    ``to_state``, its ``word`` (a place in ``words``) and the ``weight`` of its arc. The
    pronunciations are sorted by the state they lead to; ``arrivals`` has where each reached state's
    begin, ``reached`` which those are. ``skips`` are steps without a word, in an order in which
    each is taken once.
    """

    words: tuple[str, ...]
    column: Places
    joining: Weights
    first: Places
    last: Places
    from_state: Places
    to_state: Places
    word: Places
    weight: Weights
    arrivals: Places
    reached: Places
    skips: tuple[tuple[int, int, float], ...]
    states: int
    final: int


def graph_of(
    automaton: Automaton,
    ways: Callable[[str], Sequence[Phones]],
    columns: Mapping[str, int],
    grammar_weight: float,
) -> Graph:
    """The graph of an automaton, with ``ways`` to say each word and the ``columns`` of the phones.

    ``grammar_weight`` is how much the automaton's shares count beside the sound.
    """
    known: dict[str, tuple[Places, ...]] = {}
    vocabulary: dict[str, int] = {}
    rows: list[tuple[int, int, int, float, Places]] = []
    skips: list[tuple[int, int, float]] = []
    for start, end, share, word in automaton.arcs:
        weight = grammar_weight * float(np.log(max(share, 1e-12)))
        if word is None:
            skips.append((start, end, weight))
            continue
        if word not in known:
            vocabulary[word] = len(vocabulary)
            known[word] = tuple(
                np.array([columns[phone] for phone in way], np.int32) for way in ways(word)
            )
        rows += [(end, start, vocabulary[word], weight, way) for way in known[word]]
    rows.sort(key=lambda row: row[0])
    lengths = np.array([len(row[4]) for row in rows])
    last = np.cumsum(lengths) - 1
    first = last - lengths + 1
    column = np.concatenate([row[4] for row in rows])
    joining = np.zeros(len(column), np.float32)
    joining[1:][column[1:] == column[:-1]] = NOT_JOINED
    joining[first] = NOT_JOINED
    to_state = np.array([row[0] for row in rows], np.int32)
    reached, arrivals = np.unique(to_state, return_index=True)
    return Graph(
        words=tuple(vocabulary),
        column=column,
        joining=joining,
        first=first.astype(np.int32),
        last=last.astype(np.int32),
        from_state=np.array([row[1] for row in rows], np.int32),
        to_state=to_state,
        word=np.array([row[2] for row in rows], np.int32),
        weight=np.array([row[3] for row in rows], np.float32),
        arrivals=arrivals.astype(np.int32),
        reached=reached.astype(np.int32),
        skips=_in_order(skips),
        states=1 + max((max(a[0], a[1]) for a in automaton.arcs), default=0),
        final=automaton.final,
    )


def _in_order(skips: list[tuple[int, int, float]]) -> tuple[tuple[int, int, float], ...]:
    """Steps without a word, each after those that lead to where it starts."""
    ordered: list[tuple[int, int, float]] = []
    left = list(skips)
    while left:
        ends = {end for _, end, _ in left}
        ready = [skip for skip in left if skip[0] not in ends] or left
        ordered += ready
        left = [skip for skip in left if skip not in ready]
    return tuple(ordered)
