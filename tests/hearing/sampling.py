"""Sentences drawn from a grammar by its own weights."""

import random

from assistant.hearing.grammar.tree import Either, Maybe, Node, Say, Then
from assistant.hearing.spoken import Words


def sampled(node: Node, source: random.Random) -> Words:
    match node:
        case Say(words=words):
            return words
        case Then(parts=parts):
            return tuple(word for part in parts for word in sampled(part, source))
        case Either(options=options):
            weights = [weight for weight, _ in options]
            (option,) = source.choices([option for _, option in options], weights)
            return sampled(option, source)
        case Maybe(part=part, share=share):
            return sampled(part, source) if source.random() < share else ()
