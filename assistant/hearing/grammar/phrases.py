"""A grammar as the list of phrases that Vosk takes.

Vosk makes a model of neighbouring words from the list, so long sentences need not be written out:
it is enough that every pair of neighbours stands in some phrase. What it hears is read strictly
afterwards.
"""

from assistant.hearing.grammar.tree import Either, Grammar, Maybe, Node, Say, Then
from assistant.hearing.spoken import Words

LONGEST_LIST = 400
"""A sequence with more sentences than this is written in overlapping pieces."""


def phrases(grammar: Grammar) -> tuple[str, ...]:
    """The phrases, each once, in an order that stays the same."""
    return tuple(dict.fromkeys(" ".join(words) for words in _phrases(grammar.root) if words))


def _phrases(node: Node) -> list[Words]:
    match node:
        case Say(words=words):
            return [words]
        case Either(options=options):
            return list(dict.fromkeys(p for _, option in options for p in _phrases(option)))
        case Maybe(part=part):
            return [(), *_phrases(part)]
        case Then(parts=parts):
            return _sequence([_phrases(part) for part in parts])


def _sequence(parts: list[list[Words]]) -> list[Words]:
    """Every sentence of a sequence, or where they are too many, pieces that overlap by a word."""
    joined = parts[0]
    pieces: dict[Words, None] = {}
    before: dict[Words, None] = {}
    for part in parts[1:]:
        if len(joined) * len(part) <= LONGEST_LIST:
            joined = [(*head, *tail) for head in joined for tail in part]
            continue
        pieces.update(dict.fromkeys(joined))
        firsts = dict.fromkeys(words[:1] for words in joined if words)
        pieces.update(dict.fromkeys((*last, *first) for last in before for first in firsts))
        # What can be left out lets the words before it stand next to those after it.
        lasts = dict.fromkeys(words[-1:] for words in joined if words)
        before = {**before, **lasts} if () in joined else lasts
        joined = part
    firsts = dict.fromkeys(words[:1] for words in joined if words)
    pieces.update(dict.fromkeys((*last, *first) for last in before for first in firsts))
    return list(dict.fromkeys([*pieces, *joined]))
