"""Files that are served: static ones, the typeface, the service worker, and the script for plots."""

import gzip
import hashlib
from functools import cache

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from tenths.bench.declare import unchanged
from tenths.bench.pages import routed
from tenths.bench.show import STATIC, static_names, static_version
from tenths.bench.state import bench_of
from tenths.bench.typeface import typeface

KINDS = {".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml", ".png": "image/png", ".ico": "image/x-icon",
         ".json": "application/json", ".webmanifest": "application/manifest+json", ".woff2": "font/woff2",
         ".html": "text/html", ".txt": "text/plain"}
FOR_EVER = "public, max-age=31536000, immutable"


@cache
def _content(name: str, changed: int) -> tuple[bytes, bytes, str]:
    """A file, packed, and its tag, read again when it changes."""
    del changed
    content = (STATIC / name).read_bytes()
    return content, gzip.compress(content, 9, mtime=0), f'"{hashlib.sha256(content).hexdigest()[:20]}"'


async def static(request: Request) -> Response:
    """A static file; under the address that carries the hash of the set it may be kept for ever."""
    of, name = request.path_params["version"], request.path_params["name"]
    if name not in static_names():
        raise HTTPException(404, "There is no such file.")
    content, packed, tag = _content(name, (STATIC / name).stat().st_mtime_ns)
    keep = FOR_EVER if of == static_version() else "no-cache"
    return kept(request, content, packed, tag, KINDS.get(STATIC.joinpath(name).suffix, "application/octet-stream"), keep)


def kept(request: Request, content: bytes, packed: bytes | None, tag: str, kind: str, keep: str) -> Response:
    """A file with its tag, packed for who takes it so."""
    headers = {"Cache-Control": keep, "ETag": tag, "Vary": "Accept-Encoding"}
    if (same := unchanged(request, tag)) is not None:
        same.headers["Cache-Control"] = keep
        return same
    if packed is not None and len(packed) < len(content) and "gzip" in request.headers.get("accept-encoding", ""):
        return Response(packed, media_type=kind, headers=headers | {"Content-Encoding": "gzip"})
    return Response(content, media_type=kind, headers=headers)


async def service_worker(request: Request) -> Response:
    """The service worker, from the root, so that it may answer for every page."""
    if "sw.js" not in static_names():
        raise HTTPException(404, "There is no service worker.")
    content, packed, tag = _content("sw.js", (STATIC / "sw.js").stat().st_mtime_ns)
    answer = kept(request, content, packed, tag, "text/javascript", "no-cache")
    answer.headers["Service-Worker-Allowed"] = "/"
    return answer


async def font(request: Request) -> Response:
    """The typeface."""
    content, tag = await run_in_threadpool(typeface, bench_of(request).shop.folder / "views")
    return kept(request, content, None, tag, "font/woff2", "public, max-age=604800")


@cache
def _plots() -> tuple[bytes, bytes, str]:
    import vl_convert  # noqa: PLC0415 - only pages with plots ask

    content = vl_convert.javascript_bundle().encode()  # pyright: ignore[reportCallIssue] - the snippet is optional
    return content, gzip.compress(content, 6, mtime=0), f'"{hashlib.sha256(content).hexdigest()[:20]}"'


async def plots(request: Request) -> Response:
    """The script that draws plots, out of an installed package; only pages with plots ask for it."""
    content, packed, tag = await run_in_threadpool(_plots)
    return kept(request, content, packed, tag, "text/javascript", "public, max-age=86400")


async def sketch(request: Request) -> Response:
    """The small drawing of how a reading is taken, for a page that did not bring it along."""
    from tenths.record.drawing import SKETCHES, part_sketch  # noqa: PLC0415 - only pages that draw ask

    name = request.path_params["name"]
    if name not in SKETCHES:
        raise HTTPException(404, "There is no such drawing.")
    content = part_sketch(name).encode()
    return kept(request, content, None, f'"{hashlib.sha256(content).hexdigest()[:20]}"', "image/svg+xml", "private, max-age=3600")


ROUTES = [
    routed("/sketch/{name}.svg", sketch),
    routed("/static/{version}/{name:path}", static, "anyone"),
    routed("/sw.js", service_worker, "anyone"),
    routed("/font/upright.woff2", font, "anyone"),
    routed("/plots.js", plots, "anyone"),
]
