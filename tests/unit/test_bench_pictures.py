"""Photographs lose what they tell of place and owner, and not one bit of the picture."""

import struct
from io import BytesIO

import pytest
from PIL import Image, ImageOps

from tenths.errors import BadInput
from tenths.services import pictures

PLACE = b"51 deg 28 min N"
MAKER = "Camera of Ada Quill"


def picture(size=(64, 40)):
    """A picture whose corners differ, so that it shows which way up it is."""
    image = Image.new("RGB", size, (200, 200, 200))
    image.paste((255, 0, 0), (0, 0, size[0] // 2, size[1] // 2))
    image.paste((0, 0, 255), (size[0] // 2, size[1] // 2, *size))
    return image


def saved(kind, turn=1, image=None, **more):
    exif = Image.Exif()
    exif[0x0112] = turn
    exif[0x010F] = MAKER
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 28.0, 38.0), 3: "W", 4: (0.0, 0.0, 5.0), 29: "2026:05:04"})
    out = BytesIO()
    (image or picture()).save(out, kind, exif=exif, **more)
    return out.getvalue()


def shown(content):
    with Image.open(BytesIO(content)) as image:
        return ImageOps.exif_transpose(image).convert("RGB")


KINDS = [("JPEG", {}), ("JPEG", {"progressive": True}), ("PNG", {}), ("WEBP", {"lossless": True}), ("WEBP", {})]


@pytest.mark.parametrize(("kind", "more"), KINDS)
@pytest.mark.parametrize("turn", range(1, 9))
def test_place_and_owner_go_and_the_picture_stays_bit_for_bit_the_same_way_up(kind, more, turn):
    before = saved(kind, turn, **more)
    with Image.open(BytesIO(before)) as image:
        assert image.getexif().get_ifd(0x8825)
    after = pictures.bare(before)
    with Image.open(BytesIO(after)) as image:
        exif = image.getexif()
        assert dict(exif.get_ifd(0x8825)) == {}
        assert set(exif) <= {0x0112}
        assert image.info.get("xmp") is None
    assert MAKER.encode() not in after
    assert shown(after).tobytes() == shown(before).tobytes()


def test_comments_other_records_and_what_hangs_behind_a_jpeg_go():
    content = saved("JPEG")
    xmp = b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta>" + PLACE
    iptc = b"Photoshop 3.0\0" + PLACE
    more = b"".join(b"\xff" + bytes([mark]) + struct.pack(">H", len(said) + 2) + said
                    for mark, said in ((0xE1, xmp), (0xED, iptc), (0xFE, PLACE)))
    dirty = content[:2] + more + content[2:] + saved("JPEG") + PLACE
    clean = pictures.bare(dirty)
    assert PLACE not in clean
    assert MAKER.encode() not in clean
    assert shown(clean).tobytes() == shown(content).tobytes()
    assert pictures.bare(clean) == clean


def test_words_in_a_png_go():
    from PIL.PngImagePlugin import PngInfo

    words = PngInfo()
    words.add_text("GPSLatitude", PLACE.decode())
    words.add_itxt("XML:com.adobe.xmp", PLACE.decode())
    clean = pictures.bare(saved("PNG", pnginfo=words))
    assert PLACE not in clean


def test_the_colours_that_a_jpeg_is_meant_in_stay():
    from PIL import ImageCms

    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    with Image.open(BytesIO(pictures.bare(saved("JPEG", icc_profile=profile)))) as image:
        assert image.info["icc_profile"] == profile


@pytest.mark.parametrize("turn", range(1, 9))
def test_a_view_is_the_right_way_up_small_and_bare(turn):
    view = pictures.view(saved("JPEG", turn, quality=95), 32)
    with Image.open(BytesIO(view)) as image:
        assert image.format == "JPEG"
        assert max(image.size) == 32
        assert len(image.getexif()) == 0
        wanted = shown(saved("JPEG", turn, quality=95)).resize(image.size)
        for at in ((2, 2), (image.width - 3, 2), (2, image.height - 3), (image.width - 3, image.height - 3)):
            assert all(abs(a - b) < 60 for a, b in zip(image.getpixel(at), wanted.getpixel(at), strict=True)), at


@pytest.mark.parametrize("content", [
    b"", b"GIF89a", b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n" + b"\0" * 20,
    b"RIFF\x10\0\0\0WEBPVP8 ", b"%PDF-1.7", b"\xff\xd8\xff\xe1\xff\xff"])
def test_what_is_no_whole_photograph_is_refused(content):
    with pytest.raises(BadInput, match="photograph"):
        pictures.bare(content)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_photograph_cut_short_anywhere_is_refused_or_whole(kind):
    content = saved(kind)
    for end in range(0, len(content) - 1, 7):
        try:
            made = pictures.bare(content[:end])
        except BadInput:
            continue
        assert shown(made).size == (64, 40)


def test_a_picture_that_would_fill_the_memory_is_refused():
    import zlib

    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    chunk = b"IHDR" + head
    bomb = (b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + chunk + struct.pack(">I", zlib.crc32(chunk))
            + struct.pack(">I", 0) + b"IDAT" + struct.pack(">I", zlib.crc32(b"IDAT")))
    with pytest.raises(BadInput, match="photograph"):
        pictures.bare(bomb)
