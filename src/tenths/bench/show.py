"""Pages from their templates, with what every template may use."""

import hashlib
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import msgspec
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from tenths.bench.state import bench_of
from tenths.bench.who import who_asks
from tenths.record import fitline
from tenths.record.bars import against_svg, bar_svg
from tenths.record.words import capital, clock, day, moment, short_day
from tenths.services.access import ROLE_WORDS

STATIC = Path(str(files("tenths.bench").joinpath("static")))
SHOP_PLACES = (("floor", "/", "Floor", "reader"), ("people", "/people", "People", "owner"),
               ("instruments", "/instruments", "Instruments", "reader"), ("studies", "/studies", "Studies", "reader"),
               ("shelf", "/shelf", "Shelf", "reader"), ("ahead", "/ahead", "Ahead", "reader"), ("history", "/history", "History", "reader"))
PLACES = (("drawing", "Drawing"), ("tray", "Tray"), ("choices", "Choices"), ("running", "Running"),
          ("work", "Work"), ("record", "Record"))
Answer = dict[str, Any]


@cache
def environment() -> Environment:
    """The templates, with what every page may use."""
    made = Environment(loader=PackageLoader("tenths.bench"), autoescape=select_autoescape(), undefined=StrictUndefined,
                       trim_blocks=True, lstrip_blocks=True)
    made.globals |= {"fit": fit, "mark": mark, "sketch": sketch, "bar": bar, "against": against,
                     "saddles": saddles, "choice_drawing": choice_drawing,
                     "drawing_style": drawing_style, "places": PLACES, "shop_places": SHOP_PLACES, "asset": asset,
                     "roles": ROLE_WORDS, "base_station": base_station}
    made.filters |= {"capital": capital, "day": day, "short_day": short_day, "clock": clock, "moment": moment, "json": as_json,
                      "base_station": base_station}
    return made


def page(request: Request, template: str, status: int = 200, /, **context: Any) -> HTMLResponse:
    """A page from its template; every template finds ``who``, ``path``, ``engine``, ``place``, ``guarded`` and ``lan``."""
    bench = bench_of(request)
    common = {"who": who_asks(request), "path": request.url.path, "engine": None, "place": "",
              "guarded": bench.access.guarded(), "lan": bench.door.lan, "sequence": bench.live.sequence}
    content = environment().get_template(template).render(common | context)
    return HTMLResponse(content, status, headers={"Cache-Control": "private, no-cache"})


def error_page(request: Request, status: int, what: str) -> Response:
    """A page that says what is wrong."""
    return page(request, "error.html", status, status=status, what=what)


def fit(finding: Answer, width: float = 180.0, height: float = 26.0) -> Markup:
    """The fit line of a finding; nothing where there is neither a verdict nor a limit to draw it by."""
    if finding["verdict"] not in fitline.VERDICTS:
        return Markup()
    said = f"{finding['words']}: {finding['verdict']} {finding['text']['value']}".strip()
    return Markup(fitline.svg(  # noqa: S704 - made by us, its words escaped there
        finding["value"], finding["standard_uncertainty"], finding["lower"], finding["upper"], finding["target"],
        finding["verdict"], width=width, height=height, title=said))


def mark(verdict: str, size: float = 20.0) -> Markup:
    """The shape of a verdict; nothing for one that has no shape."""
    if verdict not in fitline.VERDICTS:
        return Markup()
    return Markup(fitline.mark_svg(verdict, size=size))  # noqa: S704 - made by us


def saddles(option: Answer, against: Answer | None = None, small: bool = False) -> Markup:  # noqa: FBT001, FBT002 - templates say so
    """Shells as they are chosen, drawn; a small copy shows where it differs from another answer."""
    from tenths.record.drawing.saddles import saddles_svg  # noqa: PLC0415 - only pages that draw ask

    return Markup(saddles_svg(option, against=against, small=small))  # noqa: S704 - made by us, its words escaped there


def bar(wide: float) -> Markup:
    """A bar of a budget, beside the longest."""
    return Markup(bar_svg(wide))  # noqa: S704 - made by us


def against(quoted: float, became: float) -> Markup:
    """What was quoted and what it became, drawn."""
    return Markup(against_svg(quoted, became))  # noqa: S704 - made by us


def choice_drawing(drawing: Answer, number: int = 0, small: bool = False) -> Markup:  # noqa: FBT001, FBT002 - templates say so
    """The drawing of a choice, of whatever kind it is."""
    from tenths.record.drawing.chosen import choice_svg  # noqa: PLC0415 - only pages that draw ask

    return Markup(choice_svg(drawing, number, small=small))  # noqa: S704 - made by us, its words escaped there


@cache
def drawing_style() -> Markup:
    """The colours of drawings and fit lines, for the head of a page."""
    from tenths.record.drawing import stylesheet  # noqa: PLC0415 - asked once

    return Markup(stylesheet())  # noqa: S704 - made by us


def base_station(address: str) -> str:
    """The station that a slot belongs to: ``main.3`` for ``main.3.shell.upper``."""
    for held in (".shell.", ".cap", ".sleeve"):
        address = address.partition(held)[0]
    return address


def sketch(name: str) -> Markup:
    """The small drawing of how a reading is taken, with its words as its name; raises BadInput for one that is not drawn."""
    from tenths.record.drawing import part_sketch  # noqa: PLC0415 - only pages that draw ask

    return Markup(part_sketch(name))  # noqa: S704 - made by us


def as_json(value: Any) -> Markup:
    """JSON for a ``<script type="application/json">``: no sign in it can end the element."""
    text = msgspec.json.encode(value).decode()
    return Markup(text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e"))  # noqa: S704


# -- static files ------------------------------------------------------------------------------------------------------

def static_names() -> list[str]:
    """The static files, by their path under ``/static/``."""
    return sorted(p.relative_to(STATIC).as_posix() for p in STATIC.rglob("*") if p.is_file() and not p.name.startswith("."))


def static_version() -> str:
    """One hash over all static files: it stands in their addresses, so that they may be kept for ever."""
    return _version(tuple((name, (STATIC / name).stat().st_mtime_ns) for name in static_names()))


@cache
def _version(seen: tuple[tuple[str, int], ...]) -> str:
    total = hashlib.sha256()
    for name, _ in seen:
        total.update(name.encode() + b"\0" + hashlib.sha256((STATIC / name).read_bytes()).digest())
    return total.hexdigest()[:16]


def asset(name: str) -> str:
    """The address of a static file with the hash of the whole set in it; modules find each other beside themselves."""
    return f"/static/{static_version()}/{name}"
