"""Figures in words: each rounded as brewers say it, in the brewer's units."""

import math

from assistant.schedule.model import Units
from assistant.schedule.units import convert, convert_difference


def number(value: float, decimals: int) -> str:
    """A rounded number without trailing zeros or a negative nought: ``66.5``, ``66``, ``0``."""
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def temperature(temperature_c: float, units: Units) -> str:
    """``66.5 degrees``: to half a degree Celsius or a whole degree Fahrenheit."""
    return counted(degrees(temperature_c, units), "degree")


def degrees(temperature_c: float, units: Units) -> str:
    """``66.5``: as :func:`temperature`, where what it is a figure of goes without saying."""
    if units is Units.US:
        return number(convert(temperature_c, "degC", "degF"), 0)
    return number(round(temperature_c * 2) / 2, 1)


def temperature_read(temperature_c: float, units: Units) -> str:
    """``66.4 degrees``: a reading is said back as it was read, to a tenth."""
    return counted(degrees_read(temperature_c, units), "degree")


def degrees_read(temperature_c: float, units: Units) -> str:
    """``66.4``: as :func:`temperature_read`, without the word."""
    if units is Units.US:
        return number(convert(temperature_c, "degC", "degF"), 1)
    return number(temperature_c, 1)


def temperature_difference(difference_k: float, units: Units) -> str:
    """``2 degrees`` between two temperatures, to half a degree Celsius or a whole Fahrenheit."""
    if units is Units.US:
        shown = number(abs(convert_difference(difference_k, "degC", "degF")), 0)
    else:
        shown = number(round(abs(difference_k) * 2) / 2, 1)
    return counted(shown, "degree")


def volume(volume_l: float, units: Units) -> str:
    """``23.4 litres``, ``6.2 gallons``; less than a gallon in quarts."""
    if units is Units.US:
        gallons = convert(volume_l, "L", "gal")
        if gallons < 0.9875:
            return counted(number(gallons * 4, 1), "quart")
        return counted(number(gallons, 1), "gallon")
    return counted(number(volume_l, 1), "litre")


def volume_read(volume_l: float, units: Units) -> str:
    """``20.25 litres``: a reading is said back as it was read, to a hundredth."""
    if units is Units.US:
        return counted(number(convert(volume_l, "L", "gal"), 2), "gallon")
    return counted(number(volume_l, 2), "litre")


def weight(weight_g: float, units: Units) -> str:
    """``26 grams``, ``18.5 grams``, ``4.25 kilos``; ``0.9 ounces``, ``1.25 ounces``."""
    if units is Units.US:
        ounces = convert(weight_g, "g", "oz")
        if ounces >= 15.95:
            return counted(number(ounces / 16, 1), "pound")
        quarter = ounces < 10 and abs(ounces * 4 - round(ounces * 4)) < 0.02
        return counted(number(ounces, 2 if ounces < 1 or quarter else 1), "ounce")
    if weight_g >= 999.5:
        return counted(number(weight_g / 1000, 2), "kilo")
    half = weight_g < 20 and abs(weight_g * 2 - round(weight_g * 2)) < 0.02
    return counted(number(weight_g, 1 if weight_g < 10 or half else 0), "gram")


def about_weight(weight_g: float, units: Units) -> str:
    """``11 kilos``, ``25 pounds``: to the whole unit, for what is only estimated."""
    noun = "kilo" if units is Units.METRIC else "pound"
    amount = convert(weight_g, "g", "kg" if units is Units.METRIC else "lb")
    return counted(number(amount, 0 if amount >= 2 else 1), noun)


def about_volume(volume_l: float, units: Units) -> str:
    """``80 litres``, ``20 gallons``: to two figures, for what is only estimated."""
    shown, noun = (volume_l, "litre")
    if units is Units.US:
        shown, noun = convert(volume_l, "L", "gal"), "gallon"
    if shown < 2:
        return counted(number(shown, 1), noun)
    step = 10 if shown >= 50 else 1
    return counted(number(round(shown / step) * step, 0), noun)


def small_volume(volume_ml: float, units: Units) -> str:
    """``180 millilitres``, ``35 millilitres``, ``3.5 millilitres``; ``6 fluid ounces``."""
    if units is Units.US:
        ounces = convert(volume_ml, "mL", "fluid_ounce")
        return counted(number(ounces, 0 if ounces >= 10 else 1), "fluid ounce")
    if volume_ml >= 995:
        return counted(number(volume_ml / 1000, 1), "litre")
    if volume_ml >= 100:
        return counted(number(round(volume_ml, -1), 0), "millilitre")
    return counted(number(volume_ml, 0 if volume_ml >= 10 else 1), "millilitre")


def cells(billion: float) -> str:
    """``185 billion cells``, ``1020 billion cells``."""
    return f"{number(billion if billion < 500 else round(billion, -1), 0)} billion cells"


def packs(count: float) -> str:
    """``2 packs``: whole ones, a tenth of a pack short counting as enough."""
    return counted(str(max(math.ceil(count - 0.1), 1)), "pack")


def pressure(pressure_kpa: float, units: Units) -> str:
    """``85 kPa``, ``12 psi``."""
    if units is Units.US:
        return f"{number(convert(pressure_kpa, 'kPa', 'psi'), 0)} psi"
    return f"{number(pressure_kpa, 0)} kPa"


def gravity(value: float) -> str:
    """``1.048``."""
    return f"{value:.3f}"


def points(difference: float) -> str:
    """``5 points`` between two gravities."""
    return counted(number(abs(difference) * 1000, 0), "point")


def power(power_w: float) -> str:
    """``2.5 kilowatts``, ``900 watts``."""
    if power_w < 995:
        return counted(number(round(power_w, -1), 0), "watt")
    return counted(number(power_w / 1000, 1), "kilowatt")


def duration(seconds: float) -> str:
    """``40 seconds``, ``14 minutes``, ``1 hour 10 minutes``."""
    if seconds < 90 and not 57.5 <= seconds < 62.5:
        step = 5 if seconds >= 20 else 1
        return counted(number(round(seconds / step) * step, 0), "second")
    minutes = round(seconds / 60)
    if minutes < 100:
        return counted(str(minutes), "minute")
    hours, rest = divmod(minutes, 60)
    said = counted(str(hours), "hour")
    return f"{said} {counted(str(rest), 'minute')}" if rest else said


def counted(number_text: str, noun: str) -> str:
    """A number with its noun, in the plural where English has it."""
    return f"{number_text} {noun}" if number_text == "1" else f"{number_text} {noun}s"


def listed(parts: list[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} and {parts[-1]}"


def sentence(text: str) -> str:
    """The text with its first letter large; pH stays as it is written."""
    return text if text.startswith("pH") else text[:1].upper() + text[1:]
