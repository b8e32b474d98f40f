"""The brewing water: unknown, or its ions and what the brewer means to put into it."""

from dataclasses import dataclass

from assistant.brewing.minerals import Salt, alkalinity_from_bicarbonate
from assistant.schedule.faults import Place, Report
from assistant.schedule.groups import Group, Values
from assistant.schedule.model import Water
from assistant.schedule.readers import Misfit, described, did_you_mean
from assistant.schedule.reading import Mapping, Node, Scalar

UNKNOWN = "unknown"
ALKALINITY_WANTED = (
    "the alkalinity as CaCO3 or the bicarbonate, such as alkalinity: 110 mg/L (0 mg/L where the "
    "water is distilled)"
)


@dataclass(frozen=True, kw_only=True)
class WaterOrUnknown:
    """What is in the water, or the word for not knowing it."""

    keys: Group

    @property
    def wanted(self) -> str:
        """What a water looks like, for a fault."""
        return f"{UNKNOWN} or {self.keys.wanted}"

    def read(self, node: Node, place: Place) -> Values | str:
        """The keys' values or the word, or Misfit."""
        if isinstance(node, Mapping):
            return self.keys.read(node, place)
        found = described(node)
        if isinstance(node, Scalar) and found == UNKNOWN:
            return UNKNOWN
        raise Misfit(found, self.wanted + did_you_mean(found, [UNKNOWN]))


def check_water(water: Values | str | None, report: Report) -> None:
    """Report a water without its alkalinity, or with it twice."""
    if not isinstance(water, Values):
        return
    if not water.gives("alkalinity") and not water.gives("bicarbonate"):
        report.add(water.line, "water.alkalinity", "nothing", ALKALINITY_WANTED)
    if water.gives("alkalinity") and water.gives("bicarbonate"):
        wanted = "alkalinity or bicarbonate, not both"
        line = water.line_of("bicarbonate")
        report.add(line, "water.bicarbonate", "it beside alkalinity", wanted)


def build_water(values: Values | str | None) -> Water | None:
    """The water of checked values; None where it is unknown."""
    if not isinstance(values, Values):
        return None
    alkalinity_mg_l = values["alkalinity"]
    if alkalinity_mg_l is None:
        alkalinity_mg_l = alkalinity_from_bicarbonate(values["bicarbonate"])
    return Water(
        calcium_mg_l=values["calcium"],
        magnesium_mg_l=values["magnesium"],
        sodium_mg_l=values["sodium"],
        sulphate_mg_l=values["sulphate"],
        chloride_mg_l=values["chloride"],
        alkalinity_mg_l=alkalinity_mg_l,
        gypsum_g=values[Salt.GYPSUM.value],
        calcium_chloride_g=values[Salt.CALCIUM_CHLORIDE.value],
        epsom_salt_g=values[Salt.EPSOM_SALT.value],
        baking_soda_g=values[Salt.BAKING_SODA.value],
        lactic_acid_ml=values["lactic_acid"],
        lactic_strength=values["lactic_strength"],
    )
