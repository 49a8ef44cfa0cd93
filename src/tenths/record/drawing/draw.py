"""One view of an engine as SVG."""

from collections.abc import Mapping
from typing import Literal, get_args
from xml.sax.saxutils import escape

from tenths.engine.layout import Layout
from tenths.engine.stations import station_map
from tenths.errors import BadInput
from tenths.record.drawing.along import Along, along
from tenths.record.drawing.cross import Cross
from tenths.record.drawing.faces import Faces
from tenths.record.drawing.pen import Pen, attributes, hatches
from tenths.record.drawing.section import Section
from tenths.record.drawing.sheet import Frame, Sheet, shift
from tenths.record.drawing.sizes import MAIN_SIZES, WORDS, Dimensions, dimensions
from tenths.record.drawing.turning import Turn

View = Literal["side", "end", "plan"]
Pair = tuple[float, float]
VIEWS: tuple[str, ...] = get_args(View)
SMALL_PAPER = 240.0  # below, a drawing is a picture of the layout, without words
FLAT = 60.0  # a bank that leans further than this is seen on its face from the side, and in section from above


def views(layout: Layout) -> tuple[str, ...]:
    """The views of a layout that show something of their own, the fullest first."""
    return ("plan", "end", "side") if _lying(layout) else ("side", "end", "plan")


def _lying(layout: Layout) -> bool:
    return all(abs(bank.angle) > FLAT for bank in layout.banks)


def draw(layout: Layout, sizes: Mapping[str, float], *, view: View, crank_angle: float = 0.0,
         marks: Mapping[str, str] | None = None, chosen: str | None = None, interactive: bool = False,
         lifts: Mapping[str, float] | None = None, bank: str | None = None,
         prefix: str = "", width: float = 960.0, height: float = 720.0) -> str:
    """A view of the engine in true proportion.

    Args:
        layout: the engine's layout.
        sizes: sizes by name [m], see `SIZES`; what is missing is assumed in proportion, drawn dashed and listed.
        view: ``side``, ``end`` (from the front) or ``plan``.
        crank_angle: the way the crank turns [deg]; 0 to 720 is a cycle.
        marks: verdict by station address; where a station has none, nothing is marked.
        chosen: station address to be outlined.
        interactive: stations can be reached by the keyboard.
        lifts: lift by valve station [m] at this crank angle, instead of a usual cam's.
        bank: the bank to be shown where a view can only show one.
        prefix: put before every id, for several drawings on one page.
        width: greatest width [user units]; strokes and words keep their size, so a phone asks for less.
        height: greatest height [user units].

    Returns:
        The SVG, `<svg>` to `</svg>`.

    Raises:
        BadInput: an unknown view, size, bank, station or verdict, or sizes that cannot be an engine.
    """
    if view not in VIEWS:
        raise BadInput(f"view: {view!r} is not known; it is one of {', '.join(VIEWS)}")
    _check_stations(layout, [*(marks or {}), *([chosen] if chosen else [])])
    d = dimensions(layout, sizes)
    places = along(layout, d)
    picture = _picture(layout, d, places, view, bank)
    pen, origin, size = _paper(picture.frame(), width, height, prefix)
    sheet = Sheet(layout, d, places, Turn(layout, d, crank_angle % 720.0, lifts), pen)
    picture.draw(sheet)
    sheet.stations(marks or {}, chosen, interactive=interactive)
    pen.flush()
    return _svg(sheet, view, picture.up, origin, size)


def _check_stations(layout: Layout, addresses: list[str]) -> None:
    known = station_map(layout)
    for address in addresses:
        if address not in known:
            raise BadInput(f"station: {address!r} is not on this engine; a station is for example main.1 or "
                           f"cyl.{layout.labels[0]}")


def _picture(layout: Layout, d: Dimensions, places: Along, view: str, bank: str | None) -> Section | Faces | Cross:
    names = {b.name for b in layout.banks}
    if bank is not None and bank not in names:
        raise BadInput(f"bank: {bank!r} is not in this engine; it has {', '.join(sorted(names))}")
    if view == "end":
        return Cross(layout, d, places)
    near = layout.bank(bank) if bank else max(layout.banks, key=lambda b: b.angle if view == "side" else -b.angle)
    lying = abs(near.angle) > FLAT
    if lying == (view == "plan"):
        return Section(layout, d, places, near.angle)
    return Faces(layout, d, places, (near,) if view == "side" else layout.banks)


def _paper(frame: Frame, width: float, height: float, prefix: str) -> tuple[Pen, Pair, Pair]:
    icon = min(width, height) < SMALL_PAPER
    left, right, top, bottom = (4.0, 4.0, 4.0, 4.0) if icon else frame.room
    across, up = frame.x[1] - frame.x[0], frame.y[1] - frame.y[0]
    if min(width - left - right, height - top - bottom) < 60.0:
        raise BadInput(f"width {width:g}, height {height:g}: at least {left + right + 60:g} by {top + bottom + 60:g} "
                       "is taken")
    k = min((width - left - right) / across, (height - top - bottom) / up)
    return (Pen(k, prefix, icon), (left - frame.x[0] * k, top + frame.y[1] * k),
            (left + right + across * k, top + bottom + up * k))


def _svg(sheet: Sheet, view: str, up: float, origin: Pair, size: Pair) -> str:
    layout, d, pen = sheet.layout, sheet.d, sheet.pen
    assumed = [name for name in MAIN_SIZES if name in d.assumed]
    words = f"{view.capitalize()} view of the engine, crank at {sheet.turn.crank:g}°"
    note = f"Assumed in proportion: {', '.join(WORDS[n] for n in assumed)}." if assumed else ""
    data = attributes(
        data_view=view, data_scale=f"{pen.k:.6g}", data_up=up, data_crank=sheet.turn.crank,
        data_sense=sheet.turn.sense, data_stroke=f"{d['stroke']:.6g}", data_rod=f"{d['rod-length']:.6g}",
        data_offset=f"{d['pin-offset']:.6g}", data_assumed=" ".join(assumed),
        data_pins=" ".join(f"{p.angle:g}" for p in layout.pins))
    head = (f'<svg xmlns="http://www.w3.org/2000/svg" class="dr" role="group" width="{size[0]:.1f}" '
            f'height="{size[1]:.1f}" viewBox="0 0 {size[0]:.1f} {size[1]:.1f}" stroke-linejoin="round" {data}>')
    return (f"{head}<title>{words}</title>" + (f"<desc>{escape(note)}</desc>" if note else "") + hatches(pen.prefix)
            + f'<g class="dr-engine" transform="{shift(*origin)}">' + "".join(pen.parts) + "</g></svg>")

