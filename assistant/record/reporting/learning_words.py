"""What there is to learn from a day: what was not as expected, and what the kettle is like."""

from assistant.advice import figures
from assistant.advice.learned import CARD_FIELDS, Trait
from assistant.record.page import Clock
from assistant.record.reporting.account import Account, Off
from assistant.record.reporting.deviation_words import found_and_meant
from assistant.record.reporting.quantities import NONE, TRAIT_NAMES, spread_words, trait_words
from assistant.record.reporting.section import Paragraph, Section, Table


def deviation_section(account: Account, clock: Clock) -> Section:
    """What was not as expected, and what each of it meant for the beer."""
    units = account.schedule.units
    paragraphs = []
    for deviation in account.deviations:
        head = "kettle" if deviation.off is Off.KETTLE else "not in"
        if deviation.at_s is not None:
            head = clock.time(deviation.at_s)
        found, meant = found_and_meant(deviation, units)
        paragraphs.append(Paragraph(head=head, text=f"{found} {meant}"))
    return Section(key="learn", title="Worth learning from", paragraphs=tuple(paragraphs))


def kettle_section(account: Account) -> Section:
    """Each figure of the kettle: the card's, before the day and now, with how sure it is."""
    units = account.schedule.units
    rows = tuple(
        (
            figures.sentence(TRAIT_NAMES[taught.trait]),
            trait_words(taught.trait, taught.card, units) if _on_card(taught.trait) else NONE,
            trait_words(taught.trait, taught.before, units),
            trait_words(taught.trait, taught.value, units),
            spread_words(taught.trait, taught.spread, units),
        )
        for taught in account.taught
    )
    known = figures.counted(str(account.brews), "brew")
    return Section(
        key="kettle",
        title="The kettle as learned",
        tables=(
            Table(
                caption=f"After {known}; two times in three the truth is no farther off than the "
                "last column",
                header=("figure", "card", "before the day", "now", "give or take"),
                rows=rows,
            ),
        ),
    )


def _on_card(trait: Trait) -> bool:
    return trait in CARD_FIELDS or trait is Trait.HEATER
