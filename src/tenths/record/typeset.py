"""From words and templates to the bytes of a PDF, with nothing taken from the machine it runs on."""

import json
import os
import tempfile
from collections.abc import Callable, Mapping
from datetime import datetime
from functools import cache
from importlib.resources import files
from io import BytesIO
from pathlib import Path
from typing import Any, Literal, cast

from tenths.errors import Refused

Paper = Literal["A4", "Letter"]
PAPERS: Mapping[str, str] = {"A4": "a4", "Letter": "us-letter"}
INK = "#16191c"


@cache
def _templates() -> dict[str, bytes]:
    folder = files("tenths.record").joinpath("templates")
    return {file.name: file.read_bytes() for file in folder.iterdir() if file.name.endswith(".typ")}


def typeset(template: str, data: Mapping[str, Any], pictures: Mapping[str, str], *, now: datetime) -> bytes:
    """Sets a template of this package as a PDF; only the fonts that come with Tenths are used.

    Args:
        template: its file name.
        data: what it finds in ``data.json``.
        pictures: SVG by file name.
        now: the moment that the document carries as its own.
    """
    return cast("bytes", _compile(template, data, pictures, format="pdf", timestamp=int(now.timestamp())))


def first_page(template: str, data: Mapping[str, Any], pictures: Mapping[str, str], *, resolution: float) -> bytes:
    """The first page of a template as a PNG, of so many points to the inch; arguments as for `typeset`."""
    pages = cast("bytes | list[bytes]", _compile(template, data, pictures, format="png", ppi=resolution))
    return pages if isinstance(pages, bytes) else pages[0]


def _compile(template: str, data: Mapping[str, Any], pictures: Mapping[str, str], **options: Any) -> object:
    import fontpkg_ibm_plex_sans  # noqa: PLC0415 - only print needs it
    import typst  # noqa: PLC0415 - the same

    inside = {"main.typ" if name == template else name: content for name, content in _templates().items()}
    inside["data.json"] = json.dumps(data, ensure_ascii=False, allow_nan=False).encode()
    inside |= {name: text.encode() for name, text in pictures.items()}
    fonts = [str(fontpkg_ibm_plex_sans.ROOT)]
    typst_compile = cast("Callable[..., object]", typst.compile)  # its declaration forgets files given by name
    return typst_compile(inside, font_paths=fonts, ignore_system_fonts=True, **options)


def qr_svg(text: str) -> str:
    """A QR code without a border, as SVG; the same text gives the same picture."""
    import segno  # noqa: PLC0415 - only print needs it

    content = BytesIO()
    segno.make_qr(text, error="m").save(content, kind="svg", border=0, dark=INK, omitsize=True)
    return content.getvalue().decode()


def write_whole(path: Path, content: bytes) -> Path:
    """Writes a file whole or not at all; raises Refused when it cannot be written."""
    path = Path(path)
    try:
        with tempfile.NamedTemporaryFile(dir=path.parent, suffix=".part", delete=False) as file:
            file.write(content)
        try:
            Path(file.name).chmod(0o644)
            os.replace(file.name, path)  # noqa: PTH105 - from a name
        except OSError:
            Path(file.name).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise Refused(f"{path} cannot be written: {error.strerror}") from None
    return path
