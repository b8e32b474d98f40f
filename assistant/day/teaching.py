"""What a day has taught of its kettle by its end: where the next brew with that kettle starts."""

from assistant.advice.kettle import figures_of
from assistant.advice.learned import LearnedKettle, Trait, card_figure
from assistant.day.state import State


def learned_kettle(state: State) -> LearnedKettle:
    """The kettle as it is believed to be, one brew richer than when the day began.

    Each figure keeps the card's from before the first brew beside it.
    """
    known = state.learned
    card = {trait: card_figure(state.card, trait) for trait in Trait}
    if known is not None:
        card |= {trait: figure.card for trait, figure in known.figures.items()}
    return LearnedKettle(
        kettle=state.card.name,
        brews=known.brews + 1 if known is not None else 1,
        figures=figures_of(state.batch.belief, card),
    )
