"""Photographs over the web: taken from a phone, shown in the size that the screen wants."""

import json

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from tenths.bench.declare import Call, Query, unchanged
from tenths.bench.state import Bench, bench_of
from tenths.bench.who import who_asks
from tenths.errors import BadInput, Damaged
from tenths.logbook.entry import NewEntry, utc_text
from tenths.logbook.ids import RANDOM_BYTES, new_id
from tenths.services import photos
from tenths.services.pictures import KINDS, MOST_BYTES, kind_of
from tenths.services.taking import Taken

EDGES = 200_000  # bytes of a posting beside the photograph itself


async def upload(request: Request) -> Response:
    """Takes a photograph as a form with ``file``, ``station``, ``words``, and what an entry has: ``id``, ``at``."""
    bench, who = bench_of(request), who_asks(request)
    length = request.headers.get("content-length", "")
    if not length.isdigit() or int(length) > MOST_BYTES + EDGES:
        raise BadInput(f"photograph: up to {MOST_BYTES:,} bytes are taken, and the posting must say how many")
    async with request.form(max_files=1, max_fields=12, max_part_size=EDGES) as form:
        file = form.get("file")
        if file is None or isinstance(file, str):
            raise BadInput("file: a photograph is wanted")
        content = await file.read(MOST_BYTES + 1)
        text = {key: str(value) for key, value in form.items() if key != "file"}
    now = bench.shop.clock()
    entry = NewEntry(
        text.get("id") or new_id(int(now.timestamp() * 1000), bench.shop.random(RANDOM_BYTES)), "photo.taken", 1,
        text.get("at") or utc_text(now),
        text.get("person") or bench.shop.person, text.get("device", ""),
        json.dumps({"station": text.get("station", ""), "words": text.get("words", "")}))
    taken: Taken = await run_in_threadpool(lambda: photos.take_photo(
        bench.shop, request.path_params["engine"], content, entry, person=who.person, device=who.device))
    bench.live.written()
    return Response(msgspec.json.encode(taken), media_type="application/json")


async def answer(bench: Bench, name: str, request: Request) -> Response:
    """A photograph; its address names its content, so it may be kept for ever by who may see it."""
    size = request.query_params.get("size", "1024")
    if not size.isascii() or not size.isdigit() or len(size) > 5:
        raise BadInput(f"size: {size[:20]!r} is not a whole number")
    tag = f'"{name[:20]}-{size}"'
    try:
        content = await run_in_threadpool(photos.view, bench.shop, name, int(size))
    except (BadInput, Damaged) as error:
        raise HTTPException(404, str(error)) from None
    if (same := unchanged(request, tag)) is not None:
        return same
    kind = KINDS[await run_in_threadpool(kind_of, content)][0] if size == "0" else "image/jpeg"
    return Response(content, media_type=kind, headers={
        "ETag": tag, "Cache-Control": "private, max-age=31536000, immutable", "Content-Disposition": "inline",
        "Content-Security-Policy": "default-src 'none'; sandbox"})


async def photo(request: Request) -> Response:
    """A photograph, for anybody of the shop."""
    return await answer(bench_of(request), request.path_params["file"], request)


CALLS = (
    Call(method="POST", path="/api/engines/{engine}/photos", need="hand", answers=Taken, endpoint=upload, section="Writing",
         words="Takes a photograph of a station as multipart/form-data: `file` (JPEG, PNG or WebP), `station`, `words`, and "
               "optionally `id`, `at`, `device` as for entries. The original is kept; what is shown or exported holds no "
               "location.", example=None),
    Call(path="/photo/{file}", need="reader", endpoint=photo, media="image/jpeg", example=None, section="Shop",
         words="A photograph by its content hash, the right way up, without location.",
         query=(Query(name="size", kind=int, words="longest side: 160, 480, 1024 or 2048; 0 for the whole", default=1024),)),
)
