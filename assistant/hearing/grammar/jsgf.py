"""A grammar as JSGF, the Java Speech Grammar Format, which PocketSphinx reads.

Source of the notation: JSpeech Grammar Format, W3C Note of 5 June 2000.
"""

from assistant.hearing.grammar.tree import Either, Grammar, Maybe, Node, Say, Then

NOTHING = "<NULL>"
SILENT_SHARE = 1e-6


def jsgf(grammar: Grammar) -> str:
    """The text of a grammar with one public rule; equal parts are written once, as rules."""
    return _Writer().written(grammar)


class _Writer:
    def __init__(self) -> None:
        self.rules: dict[str, str] = {}

    def written(self, grammar: Grammar) -> str:
        root = self._text(grammar.root)
        rules = "".join(f"<{name}> = {body};\n" for body, name in self.rules.items())
        return f"#JSGF V1.0;\ngrammar moment;\n{rules}public <sentence> = {root};\n"

    def _text(self, node: Node) -> str:
        match node:
            case Say(words=words):
                return " ".join(words) or NOTHING
            case Then(parts=parts):
                return " ".join(self._text(part) for part in parts)
            case Either(options=options):
                return self._rule([(weight, self._text(part)) for weight, part in options])
            case Maybe(part=part, share=share):
                silent = max(1 - share, SILENT_SHARE)
                return self._rule([(share, self._text(part)), (silent, NOTHING)])

    def _rule(self, options: list[tuple[float, str]]) -> str:
        body = " | ".join(f"/{weight:.6g}/ {text}" for weight, text in options)
        name = self.rules.setdefault(body, f"part{len(self.rules)}")
        return f"<{name}>"
