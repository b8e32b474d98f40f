"""What the short forms on a screen are called aloud: units after a figure, and letters alone."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class SaidUnit:
    """A unit as it is said after one and after any other number."""

    one: str
    many: str


def _regular(name: str) -> SaidUnit:
    return SaidUnit(one=name, many=f"{name}s")


def _same(name: str) -> SaidUnit:
    return SaidUnit(one=name, many=name)


def _degrees(scale: str) -> SaidUnit:
    return SaidUnit(one=f"degree{scale}", many=f"degrees{scale}")


def _per(name: str, each: str) -> SaidUnit:
    return SaidUnit(one=f"{name} per {each}", many=f"{name}s per {each}")


UNITS: Mapping[str, SaidUnit] = {
    "L": _regular("litre"),
    "l": _regular("litre"),
    "mL": _regular("millilitre"),
    "ml": _regular("millilitre"),
    "hL": _regular("hectolitre"),
    "gal": _regular("gallon"),
    "qt": _regular("quart"),
    "kg": _regular("kilo"),
    "g": _regular("gram"),
    "mg": _regular("milligram"),
    "lb": _regular("pound"),
    "lbs": _regular("pound"),
    "oz": _regular("ounce"),
    "fl oz": _regular("fluid ounce"),
    "°C": _degrees(" Celsius"),
    "°F": _degrees(" Fahrenheit"),
    "degC": _degrees(" Celsius"),
    "degF": _degrees(" Fahrenheit"),
    "°P": _degrees(" Plato"),
    "degP": _degrees(" Plato"),
    "°L": _degrees(" Lovibond"),
    "degL": _degrees(" Lovibond"),
    "°": _degrees(""),
    "h": _regular("hour"),
    "hr": _regular("hour"),
    "min": _regular("minute"),
    "s": _regular("second"),
    "sec": _regular("second"),
    "W": _regular("watt"),
    "kW": _regular("kilowatt"),
    "kWh": _regular("kilowatt hour"),
    "kJ": _regular("kilojoule"),
    "kPa": _regular("kilopascal"),
    "bar": _same("bar"),
    "psi": _same("P S I"),
    "%": _same("percent"),
    "ppm": _same("parts per million"),
    "vol": _regular("volume"),
    "m": _regular("metre"),
    "cm": _regular("centimetre"),
    "mm": _regular("millimetre"),
    "K": _regular("kelvin"),
    "L/h": _per("litre", "hour"),
    "L/min": _per("litre", "minute"),
    "L/kg": _per("litre", "kilo"),
    "g/L": _per("gram", "litre"),
    "mg/L": _per("milligram", "litre"),
    "W/K": _per("watt", "kelvin"),
    "kJ/K": _per("kilojoule", "kelvin"),
}
"""Units as the screen and the schedules write them, taken as units after a figure only."""

ALONE: Mapping[str, str] = {
    "CO2": "C O two",
    "O2": "oxygen",
    "pH": "P H",
    "IBU": "I B U",
    "EBC": "E B C",
    "SRM": "S R M",
    "ABV": "A B V",
    "OG": "O G",
    "FG": "F G",
    "RCD": "R C D",
    "GFCI": "G F C I",
    "psi": "P S I",
    "kPa": "kilopascals",
    "kWh": "kilowatt hours",
    "ppm": "parts per million",
    "°C": "degrees Celsius",
    "°F": "degrees Fahrenheit",
    "°P": "degrees Plato",
}
"""Short forms that are read out wherever they stand as a word."""

COUNTED = frozenset(
    {name.split()[0] for unit in UNITS.values() for name in (unit.one, unit.many)}
    | {"billion", "million", "cells", "point", "points", "pack", "packs", "tablets"}
) - {"degree", "degrees", "P"}
"""Words that make the number before them an amount: neither a gravity nor read off a dial."""

FRACTIONS: Mapping[str, str] = {
    "1/2": "a half",
    "1/3": "a third",
    "2/3": "two thirds",
    "1/4": "a quarter",
    "3/4": "three quarters",
    "1/8": "an eighth",
}
"""Fractions with a name; any other is said "over"."""

FRACTION_SIGNS: Mapping[str, str] = {
    "½": "1/2",
    "⅓": "1/3",
    "⅔": "2/3",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
}
