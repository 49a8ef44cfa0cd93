"""What a photograph is, told by its content, and photographs without what they tell of place and owner.

Only segments beside the picture are left out: the picture itself stays the same to the bit.
"""

import struct
from collections.abc import Iterator
from io import BytesIO
from typing import Any

from tenths.errors import BadInput

MOST_BYTES = 30_000_000
MOST_PIXELS = 120_000_000
KINDS = {"JPEG": ("image/jpeg", ".jpg"), "PNG": ("image/png", ".png"), "WEBP": ("image/webp", ".webp")}
PNG_KEPT = frozenset({b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"sBIT", b"bKGD",
                      b"pHYs", b"acTL", b"fcTL", b"fdAT", b"cICP"})
WEBP_DROPPED = frozenset({b"EXIF", b"XMP "})
TURN = 0x0112  # the tag that says which way up the picture is


def kind_of(content: bytes) -> str:
    """JPEG, PNG or WEBP, when the content is a picture of that kind that can be read.

    Raises:
        BadInput: when it is none of them, too large, or broken.
    """
    if len(content) > MOST_BYTES:
        raise BadInput(f"photograph: {len(content):,} bytes are not taken; at most {MOST_BYTES:,} are")
    if content[:3] == b"\xff\xd8\xff":
        kind = "JPEG"
    elif content[:8] == b"\x89PNG\r\n\x1a\n":
        kind = "PNG"
    elif content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        kind = "WEBP"
    else:
        raise BadInput("photograph: that is no JPEG, PNG or WebP picture")
    with opened(content, kind) as image:
        if image.width * image.height > MOST_PIXELS:
            raise BadInput(f"photograph: {image.width} by {image.height} is too large")
        _load(image)
    return kind


def opened(content: bytes, kind: str) -> Any:
    """The picture, opened as that kind only."""
    from PIL import Image, UnidentifiedImageError  # noqa: PLC0415 - only photographs need it

    Image.MAX_IMAGE_PIXELS = MOST_PIXELS
    try:
        return Image.open(BytesIO(content), formats=[kind])
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        raise BadInput(f"photograph: it cannot be read: {error}") from None


def _load(image: Any) -> None:
    try:
        image.load()
    except (OSError, ValueError, SyntaxError, struct.error, EOFError) as error:
        raise BadInput(f"photograph: it is broken: {error}") from None


def bare(content: bytes) -> bytes:
    """The same picture without place, owner, camera and previews; which way up it is, is kept."""
    kind = kind_of(content)
    with opened(content, kind) as image:
        turn = int(image.getexif().get(TURN, 1))
    turn = turn if 1 <= turn <= 8 else 1
    try:
        made = {"JPEG": _bare_jpeg, "PNG": _bare_png, "WEBP": _bare_webp}[kind](content, turn)
        kind_of(made)
    except (struct.error, IndexError):
        raise BadInput("photograph: its parts do not fit together") from None
    return made


def exif_of(turn: int) -> bytes:
    """Exif that says which way up the picture is, and nothing else (little-endian TIFF with one entry)."""
    return b"II*\0" + struct.pack("<IHHHII", 8, 1, TURN, 3, 1, turn) + struct.pack("<I", 0)


def _bare_jpeg(content: bytes, turn: int) -> bytes:
    out = bytearray(b"\xff\xd8")
    if turn != 1:
        exif = b"Exif\0\0" + exif_of(turn)
        out += b"\xff\xe1" + struct.pack(">H", len(exif) + 2) + exif
    for marker, segment in _segments(content):
        colour = marker == 0xE2 and segment[4:16] == b"ICC_PROFILE\0"
        if marker in {0xE0, 0xEE} or colour or not (0xE1 <= marker <= 0xEF or marker == 0xFE):
            out += segment
    return bytes(out)


def _segments(content: bytes) -> Iterator[tuple[int, bytes]]:
    """The segments of a JPEG; the scans with all between them, up to the end of the picture, as one."""
    at = 2
    while at < len(content):
        if content[at] != 0xFF:
            raise BadInput("photograph: its parts do not fit together")
        marker = content[at + 1]
        if marker == 0xFF:
            at += 1
            continue
        if marker == 0xDA:
            yield from _scans(content, at)
            return
        length = struct.unpack(">H", content[at + 2:at + 4])[0]
        yield marker, content[at:at + 2 + length]
        at += 2 + length


def _scans(content: bytes, at: int) -> Iterator[tuple[int, bytes]]:
    """From the first scan on: coded data until its marker, and the segments between scans; nothing behind the end."""
    while True:
        marker = content[at + 1]
        if marker == 0xD9:
            yield marker, b"\xff\xd9"
            return
        end = at + 2 + struct.unpack(">H", content[at + 2:at + 4])[0]
        if marker == 0xDA:
            while not (content[end] == 0xFF and content[end + 1] not in {0, *range(0xD0, 0xD8)}):
                end = content.index(b"\xff", end + 1)
        yield marker, content[at:end]
        at = end


def _bare_png(content: bytes, turn: int) -> bytes:
    import zlib  # noqa: PLC0415 - only for these

    out, at = bytearray(content[:8]), 8
    while at < len(content):
        length, name = struct.unpack(">I4s", content[at:at + 8])
        if name in PNG_KEPT:
            out += content[at:at + 12 + length]
        if name == b"IHDR" and turn != 1:
            exif = b"eXIf" + exif_of(turn)
            out += struct.pack(">I", len(exif) - 4) + exif + struct.pack(">I", zlib.crc32(exif))
        if name == b"IEND":
            break
        at += 12 + length
    return bytes(out)


def _bare_webp(content: bytes, turn: int) -> bytes:
    out, at = bytearray(), 12
    end = 8 + struct.unpack("<I", content[4:8])[0]
    while at + 8 <= min(end, len(content)):
        name, length = struct.unpack("<4sI", content[at:at + 8])
        chunk = content[at:at + 8 + length + (length & 1)]
        if name == b"VP8X":
            flags = chunk[8] & ~0x0C | (0x08 if turn != 1 else 0)
            chunk = chunk[:8] + bytes([flags]) + chunk[9:]
        if name not in WEBP_DROPPED:
            out += chunk
        at += len(chunk)
    if turn != 1 and out[:4] == b"VP8X":
        exif = exif_of(turn)
        out += b"EXIF" + struct.pack("<I", len(exif)) + exif
    return b"RIFF" + struct.pack("<I", len(out) + 4) + b"WEBP" + bytes(out)


def view(content: bytes, side: int) -> bytes:
    """The picture the right way up, at most ``side`` pixels long, as JPEG without anything beside the picture."""
    from PIL import Image, ImageOps  # noqa: PLC0415 - only photographs need it

    with opened(content, kind_of(content)) as image:
        image.draft("RGB", (side * 2, side * 2))
        upright = ImageOps.exif_transpose(image)
        if upright.mode in {"RGBA", "LA", "P", "PA"}:
            ground = Image.new("RGBA", upright.size, (255, 255, 255, 255))
            upright = Image.alpha_composite(ground, upright.convert("RGBA"))
        small = upright.convert("RGB")
        small.thumbnail((side, side), Image.Resampling.LANCZOS)
        out = BytesIO()
        small.save(out, "JPEG", quality=82, optimize=True, progressive=True)
    return out.getvalue()
