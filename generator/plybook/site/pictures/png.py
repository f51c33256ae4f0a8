"""PNG: Portable Network Graphics (Third Edition), W3C. Chunks of a length, a type, data, a CRC."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from typing import Final

from plybook.site.pictures.picture import (
    BadImageError,
    Picture,
    check_orientation,
    damaged,
    exif_of,
    orientation_of,
    upright,
)

__all__ = ["is_png", "read"]

_MAGIC: Final = b"\x89PNG\r\n\x1a\n"

# What decides how the pixels look, animation included. Text, times and Exif data are not here.
_KEPT: Final = frozenset(
    b"IHDR PLTE IDAT IEND tRNS gAMA cHRM sRGB iCCP sBIT cICP mDCV cLLI acTL fcTL fdAT".split()
)


def is_png(content: bytes) -> bool:
    """Return whether the content begins as a PNG picture does."""
    return content.startswith(_MAGIC)


def read(content: bytes) -> Picture:
    """Return the picture, its pixels unchanged. Raises BadImageError when it is damaged or lies."""
    kept = [_MAGIC]
    size: tuple[int, int] | None = None
    has_pixels = False
    turned = 1
    for kind, data, whole in _chunks(content):
        if size is None:
            if kind != b"IHDR" or len(data) != 13:
                raise damaged("PNG")
            size = struct.unpack(">II", data[:8])
        if kind == b"eXIf" and turned == 1 and not has_pixels:
            turned = orientation_of(data)
            exif = exif_of(turned)
            if exif:  # browsers turn the picture by it
                kept.append(_packed(b"eXIf", exif))
        elif kind == b"eXIf":
            check_orientation(data)  # too late for a browser that has begun to draw
        has_pixels |= kind == b"IDAT"
        if kind in _KEPT:
            kept.append(whole)
        elif kind[:1].isupper():
            raise BadImageError(
                "the PNG picture needs a part that browsers do not know", "save it anew"
            )
    if size is None or not has_pixels or 0 in size:
        raise damaged("PNG")
    return Picture(b"".join(kept), *upright(size, turned))


def _packed(kind: bytes, data: bytes) -> bytes:
    checked = kind + data
    return struct.pack(">I", len(data)) + checked + struct.pack(">I", zlib.crc32(checked))


def _chunks(content: bytes) -> Iterator[tuple[bytes, bytes, bytes]]:
    """Yield type, data and all bytes of each chunk, up to the end mark; what follows is dropped."""
    place = len(_MAGIC)
    while place + 12 <= len(content):
        (length,) = struct.unpack_from(">I", content, place)
        end = place + 12 + length
        if end > len(content):
            break
        kind, data = content[place + 4 : place + 8], content[place + 8 : end - 4]
        if zlib.crc32(kind + data) != struct.unpack_from(">I", content, end - 4)[0]:
            break
        yield kind, data, content[place:end]
        if kind == b"IEND":
            return
        place = end
    raise damaged("PNG")
