"""The record of a demo engine: gathering what it says, setting it, and setting as many pages of plain words."""

import time
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

import typst
from pypdf import PdfReader

from tenths.record.report import record_pdf
from tenths.services.demo import lay_demo
from tenths.services.dossier import dossier
from tenths.services.shop import open_shop

TIMES = 5


def best(work: Callable[[], object]) -> float:
    """The shortest of several runs [ms]."""
    spans: list[float] = []
    for _ in range(TIMES):
        start = time.perf_counter()
        work()
        spans.append(1e3 * (time.perf_counter() - start))
    return min(spans)


def main() -> None:
    with TemporaryDirectory() as folder:
        shop = open_shop(Path(folder), person="Bench")
        lay_demo(shop)
        pages = len(PdfReader(BytesIO(record_pdf(shop, "marigold"))).pages)
        plain = f"#for n in range({pages}) [ #lorem(500) #pagebreak(weak: true) ]".encode()
        rows = [("gathering alone", best(lambda: dossier(shop, "marigold"))),
                ("the whole record", best(lambda: record_pdf(shop, "marigold"))),
                (f"{pages} pages of plain words, same typesetter", best(lambda: typst.compile(plain)))]
        shop.logbook.close()
    for name, span in rows:
        print(f"{name:<45} {span:7.1f} ms")


if __name__ == "__main__":
    main()
