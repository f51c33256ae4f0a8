"""What the readers of picture formats have in common."""

from __future__ import annotations

import struct
from dataclasses import dataclass
from typing import Final

__all__ = [
    "BadImageError",
    "Picture",
    "check_orientation",
    "damaged",
    "exif_of",
    "orientation_of",
    "upright",
]

_ORIENTATION: Final = 0x0112  # TIFF 6.0, page 36; Exif 2.3, 4.6.4
_SHORT: Final = 3
_UPRIGHT: Final = 1
_LYING: Final = frozenset({5, 6, 7, 8})  # width and height change places


class BadImageError(Exception):
    """A picture that cannot be published: what is wrong, and what to do."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture without its metadata; width and height in pixels."""

    content: bytes
    width: int
    height: int


def damaged(kind: str) -> BadImageError:
    """Return the fault of a picture that breaks off or contradicts itself."""
    return BadImageError(f"the {kind} picture is damaged", "save it anew")


def check_orientation(exif: bytes) -> None:
    """Raise BadImageError when the Exif data says that the picture must be turned to be looked at.

    For a kind of picture that browsers do not turn: it would be shown lying on its side.
    """
    if orientation_of(exif) != _UPRIGHT:
        raise BadImageError(
            "the picture is stored on its side or mirrored, with a note how to turn it",
            "open it in a picture program, turn it upright and save it anew",
        )


def orientation_of(exif: bytes) -> int:
    """Return how a picture must be turned, 1 to 8; 1 is upright, and what unreadable data says.

    `exif` begins with the TIFF header.
    """
    turned = _orientation(exif)
    return turned if turned is not None and 1 <= turned <= 8 else _UPRIGHT


def exif_of(orientation: int) -> bytes:
    """Return Exif data that says how to turn the picture and nothing else, b"" for upright."""
    if orientation == _UPRIGHT:
        return b""
    return b"II*\x00" + struct.pack("<IHHHIHHI", 8, 1, _ORIENTATION, _SHORT, 1, orientation, 0, 0)


def upright(size: tuple[int, int], orientation: int) -> tuple[int, int]:
    """Return width and height as the picture is looked at."""
    return (size[1], size[0]) if orientation in _LYING else size


def _orientation(exif: bytes) -> int | None:
    order = {b"II*\x00": "<", b"MM\x00*": ">"}.get(exif[:4])
    if order is None:
        return None
    try:
        (start,) = struct.unpack_from(f"{order}I", exif, 4)
        (count,) = struct.unpack_from(f"{order}H", exif, start)
        for number in range(count):
            tag, kind, _, value = struct.unpack_from(f"{order}HHIH", exif, start + 2 + 12 * number)
            if tag == _ORIENTATION and kind == _SHORT:
                return int(value)
    except struct.error:
        return None
    return None
