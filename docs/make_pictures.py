# ruff: noqa: INP001 - a script beside the pages, not a package
"""Makes the pictures of the documentation from the demo shop: ``python docs/make_pictures.py``.

The demo comes out the same each time, so a picture changes only when what it shows has changed.
"""

from pathlib import Path
from tempfile import TemporaryDirectory

from tenths.record.report import cover_png
from tenths.services.demo import lay_demo
from tenths.services.shop import open_shop

PICTURES = Path(__file__).parent / "pictures"


def main() -> None:
    """Writes docs/pictures/record.png, the first page of a record."""
    PICTURES.mkdir(exist_ok=True)
    with TemporaryDirectory() as folder:
        shop = open_shop(folder, person="Ines Vale")
        lay_demo(shop)
        (PICTURES / "record.png").write_bytes(cover_png(shop, "kestrel", resolution=96))
        shop.logbook.close()


if __name__ == "__main__":
    main()
