"""The upright typeface of the pages, cut down to the signs that the shop writes; kept in a folder, for cutting takes seconds."""

import hashlib
import subprocess
import sys
from functools import cache
from importlib.metadata import version
from pathlib import Path
from threading import Lock
from typing import Any

from tenths.logbook.files import written_whole

LOOKS = ("kern", "liga", "tnum", "lnum", "zero", "frac", "mark", "mkmk", "ccmp")
SIGNS = (*range(0x20, 0x7F), *range(0xA0, 0x180), *range(0x2000, 0x2040), 0x2044, *range(0x2070, 0x2090), 0x20AC, 0x2122,
         *range(0x2150, 0x215F), *range(0x2190, 0x2194), 0x2202, 0x2206, 0x220F, 0x2211, 0x2212, 0x2215, 0x221A, 0x221E,
         0x2248, 0x2260, 0x2264, 0x2265, 0x25CA, 0x25CB, 0x25CF, 0x2713, 0x2715, 0x03A9, 0x03BC, 0x03C0, 0x00B5)
_cutting = Lock()


def typeface(folder: Path) -> tuple[bytes, str]:
    """The typeface as WOFF2, and its tag; cut once, however many ask at the same time."""
    with _cutting:
        return _kept(folder)


@cache
def _kept(folder: Path) -> tuple[bytes, str]:
    key = hashlib.sha256(repr((version("fontpkg-ibm-plex-sans"), version("fonttools"), SIGNS, LOOKS)).encode()).hexdigest()
    path = folder / f"typeface-{key[:16]}.woff2"
    try:
        content = path.read_bytes()
    except OSError:
        content = _cut_elsewhere()
        folder.mkdir(parents=True, exist_ok=True)
        with written_whole(path) as out:
            out.write(content)
    return content, f'"{hashlib.sha256(content).hexdigest()[:20]}"'


def _cut_elsewhere() -> bytes:
    """In a process of its own: it would keep everybody waiting here, and its memory is wanted only once."""
    return subprocess.run([sys.executable, "-m", "tenths.bench.typeface"], check=True, stdout=subprocess.PIPE, timeout=300).stdout


def cut() -> bytes:
    """The typeface as WOFF2: upright, of usual width, from regular to bold."""
    from io import BytesIO  # noqa: PLC0415 - asked once

    import fontpkg_ibm_plex_sans  # noqa: PLC0415 - the same
    from fontTools import subset  # noqa: PLC0415 - the same
    from fontTools.ttLib import TTFont  # noqa: PLC0415 - the same
    from fontTools.varLib.instancer import instantiateVariableFont  # noqa: PLC0415 - the same

    font: Any = TTFont(next(fontpkg_ibm_plex_sans.ROOT.rglob("IBMPlexSans[[]*].ttf")))
    options: Any = subset.Options()
    options.flavor, options.layout_features = "woff2", list(LOOKS)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=SIGNS)
    cutter.subset(font)
    instantiateVariableFont(font, {"wdth": 100, "wght": (400, 700)}, inplace=True)
    font.flavor = "woff2"
    out = BytesIO()
    font.save(out)
    return out.getvalue()


if __name__ == "__main__":
    sys.stdout.buffer.write(cut())
