"""JPEG: ITU-T T.81, annex B. Markers, most with a segment of data, and scans of coded pixels."""

from __future__ import annotations

import re
import struct
from collections.abc import Iterator
from typing import Final

from plybook.site.pictures.picture import (
    BadImageError,
    Picture,
    damaged,
    exif_of,
    orientation_of,
    upright,
)

__all__ = ["is_jpeg", "read"]

_START: Final = b"\xff\xd8"
_END: Final = b"\xff\xd9"
_SCAN: Final = 0xDA
_FRAMES: Final = frozenset({0xC0, 0xC1, 0xC2})  # sequential and progressive Huffman coding
_OTHER_FRAMES: Final = frozenset({0xC3, *range(0xC5, 0xC8), *range(0xC9, 0xCC), *range(0xCD, 0xD0)})
_TABLES: Final = frozenset({0xC4, 0xDB, 0xDD, 0xDC})  # Huffman, quantisation, restarts, lines
_EXIF_HEAD: Final = b"Exif\x00\x00"
_JFIF, _EXIF, _PROFILE, _ADOBE = 0xE0, 0xE1, 0xE2, 0xEE

# Within a scan FF 00 is a coded FF, and FF D0 to FF D7 are restart marks (B.1.1.5).
_SCAN_END: Final = re.compile(rb"\xff+[^\x00\xff\xd0-\xd7]", re.DOTALL)


def is_jpeg(content: bytes) -> bool:
    """Return whether the content begins as a JPEG picture does."""
    return content.startswith(_START + b"\xff")


def read(content: bytes) -> Picture:
    """Return the picture, its coded pixels unchanged. Raises BadImageError when it is damaged.

    Of its metadata only the way to turn it is left, where it is not upright.
    """
    kept = [_START]
    size: tuple[int, int] | None = None
    has_scan = False
    turned = 1
    for marker, data, scan in _segments(content):
        if marker == _EXIF and data.startswith(_EXIF_HEAD) and turned == 1:
            turned = orientation_of(data[6:])
            exif = exif_of(turned)
            if exif:  # browsers turn the picture by it (CSS Images 3, image-orientation)
                kept.append(_packed(_EXIF, _EXIF_HEAD + exif))
        if marker in _OTHER_FRAMES:
            raise BadImageError("browsers cannot show this kind of JPEG picture", "save it anew")
        if marker in _FRAMES:
            if size is not None or len(data) < 6:
                raise damaged("JPEG")
            height, width = struct.unpack_from(">HH", data, 1)
            size = width, height
        has_scan |= marker == _SCAN
        clean = _clean(marker, data)
        if clean is not None:
            kept.append(_packed(marker, clean) + scan)
    if size is None or not has_scan or 0 in size:
        raise damaged("JPEG")
    return Picture(b"".join([*kept, _END]), *upright(size, turned))


def _packed(marker: int, data: bytes) -> bytes:
    return struct.pack(">BBH", 0xFF, marker, len(data) + 2) + data


def _clean(marker: int, data: bytes) -> bytes | None:
    """Return what of a segment decides how the pixels look, None when nothing does."""
    if marker in _FRAMES or marker in _TABLES or marker == _SCAN:
        return data
    if marker == _JFIF and data.startswith(b"JFIF\x00") and len(data) >= 14:
        return data[:12] + b"\x00\x00"  # without the thumbnail
    if marker == _PROFILE and data.startswith(b"ICC_PROFILE\x00"):
        return data
    if marker == _ADOBE and data.startswith(b"Adobe") and len(data) >= 12:
        return data[:12]
    return None


def _segments(content: bytes) -> Iterator[tuple[int, bytes, bytes]]:
    """Yield marker, data and the coded pixels that follow, up to the end mark."""
    place = len(_START)
    while place + 2 <= len(content):
        if content[place] != 0xFF:
            break
        marker = content[place + 1]
        if marker == 0xFF:  # a fill byte
            place += 1
            continue
        if marker == 0xD9:
            return
        if place + 4 > len(content):
            break
        (length,) = struct.unpack_from(">H", content, place + 2)
        end = place + 2 + length
        if length < 2 or end > len(content):
            break
        data = content[place + 4 : end]
        place = end
        if marker == _SCAN:
            found = _SCAN_END.search(content, end)
            if found is None:
                break
            place = found.start()
        yield marker, data, content[end:place]
    raise damaged("JPEG")
