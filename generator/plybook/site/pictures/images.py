"""The coach's pictures, read safely and rid of everything that is not picture.

A photo carries where and when it was taken, with what, and by whom. The picture data itself is
copied byte for byte; nothing is compressed anew.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from plybook.diagnostics import Report, Span, shown
from plybook.files import read_regular
from plybook.site.names import BadNameError, check_name
from plybook.site.pictures import jpeg, png, webp
from plybook.site.pictures.picture import BadImageError, Picture

__all__ = [
    "MOST_BYTES",
    "MOST_PIXELS",
    "BadImageError",
    "Image",
    "image_of",
    "read_image",
    "read_images",
]

Kind = Literal["png", "jpeg", "webp"]

MOST_BYTES: Final = 5 * 1024 * 1024
MOST_PIXELS: Final = 25_000_000

_READERS: Final[tuple[tuple[Kind, Callable[[bytes], bool], Callable[[bytes], Picture]], ...]] = (
    ("png", png.is_png, png.read),
    ("jpeg", jpeg.is_jpeg, jpeg.read),
    ("webp", webp.is_webp, webp.read),
)
#: How the name of each kind ends: hosts and browsers go by the name and not by the content.
_ENDINGS: Final[dict[Kind, tuple[str, ...]]] = {
    "png": (".png",),
    "jpeg": (".jpg", ".jpeg"),
    "webp": (".webp",),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Image:
    """A picture fit to be published. Width and height are in pixels."""

    content: bytes
    width: int
    height: int
    kind: Kind


def read_images(folder: Path, names: Iterable[str], *, report: Report) -> dict[str, Image]:
    """Return the pictures of a course by their names, which are paths from the course folder.

    A picture that cannot be published is reported and left out.
    """
    found = {}
    for name in names:
        try:
            found[name] = read_image(folder / name, within=folder)
        except BadImageError as bad:
            report.add("bad-image", Span.of_file(name), bad.message, help=bad.hint)
    return found


def read_image(path: Path, *, within: Path | None = None) -> Image:
    """Return the picture at `path`, without its metadata.

    Every part of the path below `within` (only the last part, when it is not given) must be spelled
    as the folder lists it, be a safe name and no link; the name must end as its kind does. Raises
    BadImageError.
    """
    image = image_of(_content(path, path.parent if within is None else within))
    endings = _ENDINGS[image.kind]
    if not path.name.lower().endswith(endings):
        raise BadImageError(
            f"this is a {image.kind.upper()} picture under another name",
            f"let its name end in `{endings[0]}`",
        )
    return image


def image_of(content: bytes) -> Image:
    """Return a picture by its bytes, without its metadata. What it is, its content says.

    Raises BadImageError for anything but a whole PNG, JPEG or WebP picture of bearable size.
    """
    for kind, is_kind, read in _READERS:
        if is_kind(content):
            found = read(content)
            if found.width * found.height > MOST_PIXELS:
                raise BadImageError(
                    f"the picture has {found.width} x {found.height} pixels",
                    "make it smaller: 25 million pixels are the most, 1600 x 1200 are plenty",
                )
            return Image(content=found.content, width=found.width, height=found.height, kind=kind)
    raise BadImageError("this is no PNG, JPEG or WebP picture", "save it as one of these")


def _content(path: Path, within: Path) -> bytes:
    """Return the bytes of a regular file, read from the file that was examined."""
    place = within
    try:
        for part in path.relative_to(within).parts:
            _check_part(place, part)
            place /= part
        # One byte more than allowed tells a file that is too large.
        content = read_regular(place, most=MOST_BYTES + 1)
    except OSError as error:
        reason = error.strerror.lower() if error.strerror else str(error)
        raise BadImageError(f"the picture cannot be read: {reason}", "look at the file") from error
    except BadNameError as error:
        raise BadImageError(str(error), "give the picture a plain name") from error
    except ValueError as error:
        raise BadImageError("the picture lies outside its folder", "copy it there") from error
    if len(content) > MOST_BYTES:
        raise BadImageError(
            "the picture is larger than 5 MiB", "make it smaller or save it as JPEG"
        )
    return content


def _check_part(folder: Path, part: str) -> None:
    """Raise BadImageError unless the folder lists `part` in this spelling, and it is no link."""
    check_name(part)
    listed = os.listdir(folder)
    if part not in listed:
        near = [name for name in sorted(listed) if name.casefold() == part.casefold()]
        raise BadImageError(
            f"there is no `{shown(part)}`",
            f"write `{shown(near[0])}`, as the file is named" if near else "look at the name",
        )
    if (folder / part).is_symlink():
        raise BadImageError(f"`{shown(part)}` is a link", "copy the picture itself into the folder")
