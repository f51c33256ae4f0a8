"""WebP: RFC 9649. A RIFF file of chunks: four letters, a length, data, a byte to make it even."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from typing import Final

from plybook.site.pictures.picture import Picture, check_orientation, damaged

__all__ = ["is_webp", "read"]

_KEPT: Final = frozenset({b"VP8 ", b"VP8L", b"VP8X", b"ALPH", b"ANIM", b"ANMF", b"ICCP"})
_KEPT_IN_FRAME: Final = frozenset({b"VP8 ", b"VP8L", b"ALPH"})
_FRAME_HEAD: Final = 16  # bytes before the chunks of an animation's frame
_CANVAS_LENGTH: Final = 10  # bytes of the chunk VP8X (section 2.7)
_METADATA_FLAGS: Final = 0x08 | 0x04  # Exif and XMP (section 2.7)


def is_webp(content: bytes) -> bool:
    """Return whether the content begins as a WebP picture does."""
    return content[:4] == b"RIFF" and content[8:12] == b"WEBP"


def read(content: bytes) -> Picture:
    """Return the picture, its coded pixels unchanged. Raises BadImageError when it is damaged."""
    (length,) = struct.unpack_from("<I", content, 4)
    if length + 8 > len(content) or length < 4:
        raise damaged("WebP")
    kept: list[bytes] = []
    size: tuple[int, int] | None = None
    has_pixels = False
    for name, data in _chunks(content[12 : length + 8]):
        if name == b"EXIF":
            check_orientation(data.removeprefix(b"Exif\x00\x00"))
        if name not in _KEPT:
            continue
        size = size or _size(name, data)
        has_pixels |= name in {b"VP8 ", b"VP8L", b"ANMF"}
        kept.append(_packed(name, _clean(name, data)))
    if size is None or not has_pixels or 0 in size:
        raise damaged("WebP")
    body = b"WEBP" + b"".join(kept)
    return Picture(b"RIFF" + struct.pack("<I", len(body)) + body, *size)


def _clean(name: bytes, data: bytes) -> bytes:
    """Return a chunk's data without what announces or holds metadata."""
    if name == b"VP8X":
        if len(data) != _CANVAS_LENGTH:
            raise damaged("WebP")
        return bytes([data[0] & ~_METADATA_FLAGS]) + data[1:]
    if name == b"ANMF":
        parts = _chunks(data[_FRAME_HEAD:])
        return data[:_FRAME_HEAD] + b"".join(
            _packed(part, inner) for part, inner in parts if part in _KEPT_IN_FRAME
        )
    return data


def _size(name: bytes, data: bytes) -> tuple[int, int]:
    """Return width and height as the first chunk states them (sections 2.5 to 2.7)."""
    if name == b"VP8X" and len(data) == _CANVAS_LENGTH:
        return 1 + int.from_bytes(data[4:7], "little"), 1 + int.from_bytes(data[7:10], "little")
    if name == b"VP8L" and len(data) >= 5 and data[0] == 0x2F:
        bits = int.from_bytes(data[1:5], "little")
        return 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
    if name == b"VP8 " and data[3:6] == b"\x9d\x01\x2a" and len(data) >= 10:
        width, height = struct.unpack_from("<HH", data, 6)
        return width & 0x3FFF, height & 0x3FFF
    raise damaged("WebP")


def _packed(name: bytes, data: bytes) -> bytes:
    return name + struct.pack("<I", len(data)) + data + b"\x00" * (len(data) % 2)


def _chunks(content: bytes) -> Iterator[tuple[bytes, bytes]]:
    place = 0
    while place < len(content):
        if place + 8 > len(content):
            raise damaged("WebP")
        (length,) = struct.unpack_from("<I", content, place + 4)
        if place + 8 + length > len(content):
            raise damaged("WebP")
        yield content[place : place + 4], content[place + 8 : place + 8 + length]
        place += 8 + length + length % 2
