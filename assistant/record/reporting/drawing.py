"""Drawing a chart as SVG that stands within a page: in its colours, and the same every time."""

import io
import re
import warnings
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SVG = "http://www.w3.org/2000/svg"
XLINK = "http://www.w3.org/1999/xlink"

INK, GRID = "#010203", "#010204"
PLANNED, BELIEVED, READ = "#010205", "#010206", "#010207"
BAND, MARK = "#010208", "#010209"
"""What a chart is drawn in; each stands for a colour of the page."""

BAND_ALPHA = 0.35
"""A band lets what lies in it be seen."""

WIDTH_IN = 9.0

Palette = Mapping[str, str]

SCREEN: Palette = {
    INK: "currentColor",
    GRID: "var(--grid)",
    PLANNED: "var(--planned)",
    BELIEVED: "var(--believed)",
    READ: "var(--read)",
    BAND: "var(--band)",
    MARK: "var(--mark)",
}
"""The colours of a page, which follow the reader's light or dark."""

PAPER: Palette = {
    INK: "#1c1917",
    GRID: "#d6d3d1",
    PLANNED: "#57534e",
    BELIEVED: "#b45309",
    READ: "#1d4ed8",
    BAND: "#4d8a68",
    MARK: "#6b21a8",
}
"""The same for paper, for printers that know no names of colours."""

SETTINGS = {
    "svg.fonttype": "none",
    "svg.hashsalt": "kettleside",
    "text.parse_math": False,
    "axes.unicode_minus": False,
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": 9.0,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "text.color": INK,
    "xtick.color": INK,
    "ytick.color": INK,
    "axes.linewidth": 0.8,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "axes.axisbelow": True,
    "grid.color": GRID,
    "grid.linewidth": 0.6,
    "legend.frameon": False,
    "figure.facecolor": "none",
    "axes.facecolor": "none",
    "savefig.facecolor": "none",
}


@dataclass(frozen=True, kw_only=True)
class Picture:
    """A chart: its name within the page, its title, and what it shows in a sentence."""

    key: str
    title: str
    description: str


@contextmanager
def drawing(width_in: float, height_in: float) -> Iterator["Figure"]:
    """A figure to draw on, with the settings of all charts for as long as the context lasts."""
    # Takes half a second to import, which a report without a chart has no use for.
    import matplotlib
    from matplotlib.figure import Figure

    with warnings.catch_warnings(), matplotlib.rc_context(SETTINGS):  # type: ignore[arg-type]
        # A sign that is in no font of ours is drawn by the reader's.
        warnings.simplefilter("ignore")
        yield Figure(figsize=(width_in, height_in), layout="constrained")


def as_svg(figure: "Figure", picture: Picture, palette: Palette) -> str:
    """The figure as an SVG element, to be called within :func:`drawing`."""
    from matplotlib.backends.backend_svg import FigureCanvasSVG

    drawn = io.StringIO()
    figure.set_canvas(FigureCanvasSVG(figure))
    figure.savefig(drawn, format="svg", metadata={"Date": None})
    root = ET.fromstring(drawn.getvalue())
    for child in list(root):
        if child.tag == f"{{{SVG}}}metadata":
            root.remove(child)
    for parent in root.iter():
        for child in list(parent):
            # It would hold for the whole page.
            if child.tag == f"{{{SVG}}}style":
                parent.remove(child)
    for element in root.iter():
        _fit_in(element, f"{picture.key}-", palette)
    for size in ("width", "height"):
        root.attrib.pop(size, None)
    _describe(root, picture)
    ET.register_namespace("", SVG)
    ET.register_namespace("xlink", XLINK)
    return ET.tostring(root, encoding="unicode")


def _describe(root: ET.Element, picture: Picture) -> None:
    title = ET.Element(f"{{{SVG}}}title", {"id": f"{picture.key}-title"})
    title.text = picture.title
    description = ET.Element(f"{{{SVG}}}desc", {"id": f"{picture.key}-desc"})
    description.text = picture.description
    root.insert(0, description)
    root.insert(0, title)
    root.set("role", "img")
    root.set("aria-labelledby", f"{picture.key}-title {picture.key}-desc")


def _fit_in(element: ET.Element, prefix: str, palette: Palette) -> None:
    """Names that no other chart of the page has, the page's colours, the reader's own font."""
    for name, value in list(element.attrib.items()):
        if name == "id":
            element.set(name, prefix + value)
        elif name == f"{{{XLINK}}}href":
            element.set(name, value.replace("#", f"#{prefix}", 1))
        elif name == "clip-path":
            element.set(name, value.replace("url(#", f"url(#{prefix}"))
        elif name == "style":
            element.set(name, _styled(value, palette))


def _styled(style: str, palette: Palette) -> str:
    for drawn, shown in palette.items():
        style = style.replace(drawn, shown)
    return re.sub(r"font: ([\d.]+px) [^;]*", r"font: \1 sans-serif", style)
