"""Pictures lose their metadata and nothing else; the encoders here are written by hand."""

from __future__ import annotations

import io
import os
import struct
import zlib
from pathlib import Path

import pytest
from PIL import Image, ImageOps

from plybook.diagnostics import Report
from plybook.site.pictures.images import (
    MOST_BYTES,
    BadImageError,
    image_of,
    read_image,
    read_images,
)

SECRET = b"Harbour Road 7"


def png_chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png(*extra: bytes, width: int = 3, height: int = 2, late: bytes = b"") -> bytes:
    """Return a grey picture with further chunks before and after its pixels."""
    rows = b"".join(b"\x00" + bytes(range(3)) for _ in range(2))
    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"".join(
        [
            b"\x89PNG\r\n\x1a\n",
            png_chunk(b"IHDR", head),
            *extra,
            png_chunk(b"IDAT", zlib.compress(rows)),
            late,
            png_chunk(b"IEND", b""),
        ]
    )


def jpeg_segment(marker: int, data: bytes) -> bytes:
    return struct.pack(">BBH", 0xFF, marker, len(data) + 2) + data


def jpeg(*extra: bytes, frame: int = 0xC0, width: int = 8, height: int = 8) -> bytes:
    """Return one grey block: two codes of one bit each, "no change" and "no more"."""
    table = bytes([1]) + bytes(15) + b"\x00"
    return b"".join(
        [
            b"\xff\xd8",
            *extra,
            jpeg_segment(0xDB, b"\x00" + bytes([1]) * 64),
            jpeg_segment(frame, struct.pack(">BHHB", 8, height, width, 1) + b"\x01\x11\x00"),
            jpeg_segment(0xC4, b"\x00" + table),
            jpeg_segment(0xC4, b"\x10" + table),
            jpeg_segment(0xDA, b"\x01\x01\x00\x00\x3f\x00"),
            b"\x3f\xff\x00\xff\xd0\x3f",  # a coded FF and a restart mark, both part of the scan
            b"\xff\xd9",
        ]
    )


def riff(name: bytes, data: bytes) -> bytes:
    return name + struct.pack("<I", len(data)) + data + b"\x00" * (len(data) % 2)


def lossless(width: int = 4, height: int = 5) -> bytes:
    """Return the data of a VP8L chunk in one colour: five codes of one symbol, no pixel bits."""
    fields = [(0x2F, 8), (width - 1, 14), (height - 1, 14), (0, 1), (0, 3), (0, 3)]
    for colour in (90, 120, 30, 255):
        fields += [(1, 1), (0, 1), (1, 1), (colour, 8)]
    fields += [(1, 1), (0, 1), (0, 1), (0, 1)]
    bits = place = 0
    for value, length in fields:
        bits |= value << place
        place += length
    return bits.to_bytes((place + 7) // 8, "little")


def webp(*chunks: bytes) -> bytes:
    body = b"WEBP" + b"".join(chunks)
    return b"RIFF" + struct.pack("<I", len(body)) + body


def canvas(flags: int) -> bytes:
    return riff(b"VP8X", struct.pack("<I", flags) + b"\x03\x00\x00" + b"\x04\x00\x00")


def exif(orientation: int, order: str = "<") -> bytes:
    """Return Exif data: one entry for the orientation, one for who took the picture."""
    mark = b"II*\x00" if order == "<" else b"MM\x00*"
    first = struct.pack(f"{order}HHIHH", 0x0112, 3, 1, orientation, 0)
    second = struct.pack(f"{order}HHII", 0x013B, 2, len(SECRET), 8 + 2 + 24 + 4)
    head = mark + struct.pack(f"{order}I", 8) + struct.pack(f"{order}H", 2)
    return head + first + second + bytes(4) + SECRET


TEXT = png_chunk(b"tEXt", b"Author\x00" + SECRET)
XMP = b"http://ns.adobe.com/xap/1.0/\x00<x:xmpmeta>" + SECRET
JFIF = b"JFIF\x00\x01\x02\x00\x00\x48\x00\x48"
PROFILE = b"ICC_PROFILE\x00\x01\x01" + bytes(range(40))
ADOBE = b"Adobe\x00\x64\x00\x00\x00\x00\x00"

CASES: dict[str, tuple[bytes, bytes]] = {
    "png text": (png(TEXT), png()),
    "png compressed text": (png(png_chunk(b"zTXt", b"Title\x00\x00" + SECRET)), png()),
    "png international text": (png(late=png_chunk(b"iTXt", b"XML\x00" + SECRET)), png()),
    "png time": (png(late=png_chunk(b"tIME", b"\x07\xe9\x01\x02\x03\x04\x05")), png()),
    "png exif": (png(png_chunk(b"eXIf", exif(1))), png()),
    "png unknown": (png(png_chunk(b"prVt", SECRET)), png()),
    "png after the end": (png() + SECRET, png()),
    "png colours stay": (
        png(png_chunk(b"gAMA", b"\x00\x00\xb1\x8f"), TEXT),
        png(png_chunk(b"gAMA", b"\x00\x00\xb1\x8f")),
    ),
    "jpeg comment": (jpeg(jpeg_segment(0xFE, SECRET)), jpeg()),
    "jpeg exif": (jpeg(jpeg_segment(0xE1, b"Exif\x00\x00" + exif(1))), jpeg()),
    "jpeg exif, big end first": (jpeg(jpeg_segment(0xE1, b"Exif\x00\x00" + exif(1, ">"))), jpeg()),
    "jpeg xmp": (jpeg(jpeg_segment(0xE1, XMP)), jpeg()),
    "jpeg iptc": (jpeg(jpeg_segment(0xED, b"Photoshop 3.0\x008BIM" + SECRET)), jpeg()),
    "jpeg further picture": (jpeg(jpeg_segment(0xE2, b"MPF\x00" + SECRET)), jpeg()),
    "jpeg maker": (jpeg(jpeg_segment(0xE7, SECRET)), jpeg()),
    "jpeg thumbnail": (
        jpeg(jpeg_segment(0xE0, JFIF + b"\x05\x01" + SECRET + b"\x00")),
        jpeg(jpeg_segment(0xE0, JFIF + b"\x00\x00")),
    ),
    "jpeg after the end": (jpeg() + SECRET, jpeg()),
    "jpeg fill bytes": (jpeg(b"\xff\xff" + jpeg_segment(0xFE, SECRET)), jpeg()),
    "jpeg colours stay": (
        jpeg(jpeg_segment(0xE2, PROFILE), jpeg_segment(0xEE, ADOBE + SECRET)),
        jpeg(jpeg_segment(0xE2, PROFILE), jpeg_segment(0xEE, ADOBE)),
    ),
    "webp exif and xmp": (
        webp(canvas(0x0C), riff(b"VP8L", lossless()), riff(b"EXIF", exif(1)), riff(b"XMP ", XMP)),
        webp(canvas(0x00), riff(b"VP8L", lossless())),
    ),
    "webp unknown": (
        webp(riff(b"VP8L", lossless()), riff(b"NOTE", SECRET + b"!")),
        webp(riff(b"VP8L", lossless())),
    ),
    "webp after the end": (
        webp(riff(b"VP8L", lossless())) + SECRET,
        webp(riff(b"VP8L", lossless())),
    ),
    "webp in a frame": (
        webp(
            canvas(0x02),
            riff(b"ANIM", bytes(6)),
            riff(b"ANMF", bytes(16) + riff(b"VP8L", lossless()) + riff(b"NOTE", SECRET)),
        ),
        webp(
            canvas(0x02),
            riff(b"ANIM", bytes(6)),
            riff(b"ANMF", bytes(16) + riff(b"VP8L", lossless())),
        ),
    ),
    "webp colours stay": (
        webp(canvas(0x20), riff(b"ICCP", PROFILE), riff(b"VP8L", lossless())),
        webp(canvas(0x20), riff(b"ICCP", PROFILE), riff(b"VP8L", lossless())),
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_metadata_goes_and_every_other_byte_stays(name: str) -> None:
    given, expected = CASES[name]
    assert image_of(given).content == expected
    assert SECRET not in expected


@pytest.mark.parametrize("name", CASES)
def test_a_clean_picture_is_left_as_it_is(name: str) -> None:
    _, clean = CASES[name]
    assert image_of(clean).content == clean


@pytest.mark.parametrize(
    ("content", "kind", "size"),
    [
        (png(), "png", (3, 2)),
        (jpeg(), "jpeg", (8, 8)),
        (jpeg(frame=0xC2, width=640, height=480), "jpeg", (640, 480)),
        (webp(riff(b"VP8L", lossless())), "webp", (4, 5)),
        (webp(canvas(0), riff(b"VP8L", lossless())), "webp", (4, 5)),
        (
            webp(riff(b"VP8 ", b"\x10\x00\x00\x9d\x01\x2a\x40\x01\xf0\x00")),
            "webp",
            (320, 240),
        ),
    ],
)
def test_kind_and_size_are_read_from_the_content(
    content: bytes, kind: str, size: tuple[int, int]
) -> None:
    found = image_of(content)
    assert (found.kind, (found.width, found.height)) == (kind, size)


@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["png", "jpeg"])
def test_of_the_metadata_only_the_way_to_turn_the_picture_stays(
    kind: str, orientation: int, order: str
) -> None:
    data = exif(orientation, order)
    content = {
        "png": png(png_chunk(b"eXIf", data), width=3, height=2),
        "jpeg": jpeg(jpeg_segment(0xE1, b"Exif\x00\x00" + data), width=16, height=8),
    }[kind]
    image = image_of(content)
    assert SECRET not in image.content
    with Image.open(io.BytesIO(image.content)) as read:
        assert dict(read.getexif()) == ({} if orientation == 1 else {0x0112: orientation})
        assert (image.width, image.height) == ImageOps.exif_transpose(read).size
    assert image_of(image.content) == image


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["png", "jpeg"])
def test_a_turned_picture_looks_as_it_did_pixel_for_pixel(kind: str, orientation: int) -> None:
    """Against Pillow, which turns a picture by its Exif data as browsers do."""
    dots = bytes(37 * at % 251 for at in range(24 * 16 * 3))
    picture = Image.frombytes("RGB", (24, 16), dots)
    notes = Image.Exif()
    notes[0x0112] = orientation
    notes[0x013B] = SECRET.decode()
    file = io.BytesIO()
    picture.save(file, kind, exif=notes.tobytes())
    image = image_of(file.getvalue())
    assert SECRET not in image.content
    with Image.open(io.BytesIO(image.content)) as after, Image.open(file) as before:
        seen = ImageOps.exif_transpose(after)
        assert seen.size == (image.width, image.height)
        assert seen.tobytes() == ImageOps.exif_transpose(before).tobytes()


@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["webp", "webp with a head"])
def test_a_webp_on_its_side_is_refused_since_browsers_do_not_turn_it(
    kind: str, orientation: int, order: str
) -> None:
    data = exif(orientation, order)
    content = {
        "webp": webp(canvas(8), riff(b"VP8L", lossless()), riff(b"EXIF", data)),
        "webp with a head": webp(
            canvas(8), riff(b"VP8L", lossless()), riff(b"EXIF", b"Exif\x00\x00" + data)
        ),
    }[kind]
    if orientation == 1:
        assert SECRET not in image_of(content).content
        return
    with pytest.raises(BadImageError, match="on its side") as refusal:
        image_of(content)
    assert "upright" in refusal.value.hint


def test_a_way_to_turn_that_comes_after_the_pixels_is_refused() -> None:
    with pytest.raises(BadImageError, match="on its side"):
        image_of(png(late=png_chunk(b"eXIf", exif(6))))


@pytest.mark.parametrize("length", [0, 9, 11])
def test_a_webp_with_a_second_head_of_another_length_is_refused(length: int) -> None:
    with pytest.raises(BadImageError, match="damaged"):
        image_of(webp(canvas(0), riff(b"VP8X", bytes(length)), riff(b"VP8L", lossless())))


@pytest.mark.parametrize("content", [png(), jpeg(), webp(riff(b"VP8L", lossless()))])
def test_a_picture_that_breaks_off_anywhere_is_refused(content: bytes) -> None:
    for length in range(len(content)):
        with pytest.raises(BadImageError):
            image_of(content[:length])


def test_a_png_with_a_flipped_bit_is_refused() -> None:
    content = png()
    for place in range(8, len(content)):
        spoilt = bytearray(content)
        spoilt[place] ^= 4
        with pytest.raises(BadImageError):
            image_of(bytes(spoilt))


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"GIF89a\x01\x00\x01\x00",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"%PDF-1.7",
        b"BM\x00\x00",
        b"<html><script>alert(1)</script>",
        b"RIFF\x04\x00\x00\x00WAVE",
    ],
)
def test_anything_but_png_jpeg_and_webp_is_refused(content: bytes) -> None:
    with pytest.raises(BadImageError, match="no PNG, JPEG or WebP"):
        image_of(content)


@pytest.mark.parametrize("frame", [0xC3, 0xC5, 0xC9, 0xCA, 0xCF])
def test_a_jpeg_that_browsers_cannot_show_is_refused(frame: int) -> None:
    with pytest.raises(BadImageError, match="browsers cannot show"):
        image_of(jpeg(frame=frame))


@pytest.mark.parametrize(
    "content",
    [png(width=5001, height=5000), jpeg(width=60000, height=60000)],
)
def test_a_picture_of_too_many_pixels_is_refused(content: bytes) -> None:
    with pytest.raises(BadImageError, match="pixels"):
        image_of(content)


def test_a_picture_of_just_enough_pixels_is_taken() -> None:
    assert image_of(png(width=5000, height=5000)).width == 5000


def test_every_bad_picture_is_reported_and_the_others_are_read(tmp_path: Path) -> None:
    (tmp_path / "images").mkdir()
    for name, content in (("a.png", png()), ("b.png", b"text"), ("c.jpg", jpeg() + SECRET)):
        (tmp_path / "images" / name).write_bytes(content)
    report = Report()
    names = ["images/a.png", "images/b.png", "images/c.jpg", "images/d.png"]
    found = read_images(tmp_path, names, report=report)
    assert {name: image.content for name, image in found.items()} == {
        "images/a.png": png(),
        "images/c.jpg": jpeg(),
    }
    reported = [(fault.code, fault.span.file) for fault in report.sorted()]
    assert reported == [("bad-image", "images/b.png"), ("bad-image", "images/d.png")]


class TestReading:
    """Only a plain file of the folder is read, by its exact name."""

    def test_a_file(self, tmp_path: Path) -> None:
        (tmp_path / "quay.png").write_bytes(png(TEXT))
        assert read_image(tmp_path / "quay.png").content == png()

    def test_a_file_in_a_folder_below(self, tmp_path: Path) -> None:
        (tmp_path / "harbour").mkdir()
        (tmp_path / "harbour" / "quay.png").write_bytes(png())
        assert read_image(tmp_path / "harbour" / "quay.png", within=tmp_path).kind == "png"

    @pytest.mark.parametrize(
        ("name", "match"),
        [
            ("missing.png", "there is no"),
            ("QUAY.png", "there is no"),
            ("folder", "cannot be read|not a file"),
            ("link.png", "is a link"),
            ("linked/quay.png", "is a link"),
            ("folder/../quay.png", "empty, `.` or `..`"),
            ("quay.png/x", "cannot be read"),
            ("con.png", "device"),
        ],
    )
    def test_nothing_else(self, tmp_path: Path, name: str, match: str) -> None:
        (tmp_path / "quay.png").write_bytes(png())
        (tmp_path / "folder").mkdir()
        (tmp_path / "link.png").symlink_to("quay.png")
        (tmp_path / "linked").symlink_to(".")
        with pytest.raises(BadImageError, match=match) as refusal:
            read_image(tmp_path / name, within=tmp_path)
        assert refusal.value.hint

    @pytest.mark.parametrize(
        ("name", "content"),
        [
            ("quay.PNG", png()),
            ("quay.jpg", jpeg()),
            ("quay.JPEG", jpeg()),
            ("quay.webp", webp(riff(b"VP8L", lossless()))),
        ],
    )
    def test_a_name_that_ends_as_the_content_says(
        self, tmp_path: Path, name: str, content: bytes
    ) -> None:
        (tmp_path / name).write_bytes(content)
        assert read_image(tmp_path / name).content == content

    @pytest.mark.parametrize("ending", [".htm", ".html", ".xhtml", ".svg", ".js", ".jpg", ""])
    def test_no_picture_under_the_name_of_something_else(self, tmp_path: Path, ending: str) -> None:
        """A browser would take `quay.htm` for a page, whatever it holds, and run its script."""
        (tmp_path / f"quay{ending}").write_bytes(png())
        with pytest.raises(BadImageError, match="PNG picture under another name") as refusal:
            read_image(tmp_path / f"quay{ending}")
        assert "`.png`" in refusal.value.hint

    def test_another_case_is_named(self, tmp_path: Path) -> None:
        (tmp_path / "quay.png").write_bytes(png())
        with pytest.raises(BadImageError) as refusal:
            read_image(tmp_path / "Quay.PNG")
        assert refusal.value.hint == "write `quay.png`, as the file is named"

    def test_outside_the_folder(self, tmp_path: Path) -> None:
        (tmp_path / "images").mkdir()
        (tmp_path / "quay.png").write_bytes(png())
        with pytest.raises(BadImageError, match="outside"):
            read_image(tmp_path / "quay.png", within=tmp_path / "images")

    @pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs pipes in the file system")
    def test_a_pipe_does_not_stop_the_build(self, tmp_path: Path) -> None:
        os.mkfifo(tmp_path / "pipe.png")
        with pytest.raises(BadImageError):
            read_image(tmp_path / "pipe.png")

    @pytest.mark.parametrize(("excess", "is_taken"), [(0, True), (1, False)])
    def test_five_mebibytes_are_the_most(self, tmp_path: Path, excess: int, is_taken: bool) -> None:
        filling = MOST_BYTES - len(png(png_chunk(b"prVt", b""))) + excess
        content = png(png_chunk(b"prVt", bytes(filling)))
        (tmp_path / "big.png").write_bytes(content)
        if is_taken:
            assert read_image(tmp_path / "big.png").content == png()
            return
        with pytest.raises(BadImageError, match="larger than 5 MiB"):
            read_image(tmp_path / "big.png")
