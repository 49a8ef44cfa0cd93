# ruff: noqa: INP001 - a script beside the pages, not a package
"""Makes the pictures of the documentation from the demo shop: ``python docs/make_pictures.py``.

The demo comes out the same each time, so a picture changes only when what it shows has changed.
"""

import io
from pathlib import Path
from tempfile import TemporaryDirectory

from tenths.engine.describe import layout_from_text
from tenths.record.drawing import SKETCHES, draw, part_sketch
from tenths.record.report import cover_png
from tenths.services.demo import lay_demo
from tenths.services.shop import open_shop

PICTURES = Path(__file__).parent / "pictures"


SIZES = {"bore": 0.1016, "stroke": 0.0884, "rod-length": 0.1524, "compression-height": 0.0381, "deck-height": 0.2347,
         "main-journal": 0.0622, "pin-journal": 0.0533}
ACROSS, WIDE, HIGH = 6, 216, 196


def main() -> None:
    """Writes docs/pictures: the first page of a record, a drawing, the small drawings."""
    PICTURES.mkdir(exist_ok=True)
    _png("drawing.png", draw(layout_from_text("v8-90-cross-plane"), SIZES, view="end", crank_angle=60.0, width=900, height=600))
    _png("sketches.png", _sheet())
    with TemporaryDirectory() as folder:
        shop = open_shop(folder, person="Ines Vale")
        lay_demo(shop)
        (PICTURES / "record.png").write_bytes(cover_png(shop, "kestrel", resolution=96))
        shop.logbook.close()


def _sheet() -> str:
    """The small drawings beside each other, with their names."""
    cells: list[str] = []
    for number, name in enumerate(SKETCHES):
        x, y = number % ACROSS * WIDE + 8, number // ACROSS * HIGH + 8
        cells.append(part_sketch(name).replace("<svg ", f'<svg x="{x}" y="{y}" ', 1)
                     + f'<text x="{x + 100}" y="{y + 176}" font-family="IBM Plex Sans" font-size="13" text-anchor="middle">'
                       f'{name.replace("-", " ")}</text>')
    high = -(-len(SKETCHES) // ACROSS) * HIGH
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="{ACROSS * WIDE}" height="{high}">{"".join(cells)}</svg>'


def _png(name: str, svg: str) -> None:
    """An SVG on white as a small PNG."""
    import fontpkg_ibm_plex_sans  # noqa: PLC0415 - only pictures need these
    import vl_convert  # noqa: PLC0415
    from PIL import Image  # noqa: PLC0415

    vl_convert.register_font_directory(str(next(fontpkg_ibm_plex_sans.ROOT.rglob("*.ttf")).parent))
    drawn = Image.open(io.BytesIO(vl_convert.svg_to_png(svg, scale=1)))
    page = Image.new("RGB", drawn.size, "white")
    page.paste(drawn, mask=drawn.getchannel("A"))
    page.quantize(48).save(PICTURES / name, optimize=True)


if __name__ == "__main__":
    main()
