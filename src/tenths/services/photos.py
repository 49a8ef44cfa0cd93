"""Photographs of stations: taken in, kept by content hash, shown in the sizes that screens want.

What the log names, what is shown and what is exported is the picture without place and owner; the file as it came from
the phone is kept beside it in ``originals`` and goes nowhere.
"""

import json
from pathlib import Path

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook.entry import NewEntry
from tenths.logbook.files import FileStore, check_hash, written_whole
from tenths.services import pictures
from tenths.services.shop import Shop
from tenths.services.taking import Taken, take

SIZES = (160, 480, 1024, 2048)  # longest side of a view [pixels]


def store_of(shop: Shop) -> FileStore:
    """The files of a shop by content hash."""
    return FileStore(shop.folder / "files")


def take_photo(shop: Shop, engine: str, content: bytes, entry: NewEntry, *, person: str = "", device: str = "") -> Taken:
    """Keeps a photograph and writes that it was taken.

    Args:
        shop: the shop.
        engine: which engine.
        content: the file as it came.
        entry: of type ``photo.taken``; its body names station and words, file and media type are filled in here.
        person: who is signed in.
        device: name of the paired device.

    Raises:
        BadInput: when the content is no photograph that is taken, or the station is not on the engine.
    """
    said = json.loads(entry.body)
    station = str(said.get("station", ""))
    _check_station(shop, engine, station)
    made = pictures.bare(content)
    name = store_of(shop).put(made)
    keep_original(shop, name, content)
    kind = pictures.KINDS[pictures.kind_of(made)][0]
    body = bodies.PhotoTaken(station=station, file=name, media_type=kind, words=str(said.get("words", ""))[:200])
    whole = NewEntry(entry.id, body.TYPE, body.SCHEMA, entry.at, entry.person, entry.device, bodies.encode(body), entry.seen)
    return take(shop, engine, [whole], person=person, device=device)[0]


def _check_station(shop: Shop, engine: str, station: str) -> None:
    from tenths.engine.stations import slots, station_map  # noqa: PLC0415 - only this asks

    layout = shop.build(engine).layout
    if layout is None or station not in {*station_map(layout), *slots(layout)}:
        raise BadInput(f"station: {station!r} is not on this engine")


def keep_original(shop: Shop, name: str, content: bytes) -> None:
    """The file as it came, under the hash of the picture that the log names."""
    path = original_path(shop, name)
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        with written_whole(path) as out:
            out.write(content)


def original_path(shop: Shop, name: str) -> Path:
    """Where the file as it came is kept."""
    check_hash(name)
    return shop.folder / "originals" / name


def view(shop: Shop, name: str, side: int) -> bytes:
    """A view of a photograph, from the cache or made now; 0 for the whole picture as the log names it.

    Raises:
        BadInput: for a size that is not among `SIZES`, or a name that is none.
    """
    if side == 0:
        return store_of(shop).read(name)
    if side not in SIZES:
        raise BadInput(f"size: {side} is not taken; give one of {', '.join(map(str, SIZES))}, or 0 for the whole picture")
    check_hash(name)
    path = shop.folder / "views" / f"{name}-{side}.jpg"
    try:
        return path.read_bytes()
    except OSError:
        made = pictures.view(store_of(shop).read(name), side)
    path.parent.mkdir(parents=True, exist_ok=True)
    with written_whole(path) as out:
        out.write(made)
    return made
