"""Pages of the site taken apart and written anew.

What comes in has passed the strict reader of site/inspection: every tag is closed, every value is
quoted. So a tag can be found by its shape.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from html import unescape
from html.entities import html5
from typing import Final

from markupsafe import escape

__all__ = ["Attributes", "as_xhtml", "between", "with_tags"]

#: The attributes of an element by name, their character references resolved; None has no value.
Attributes = Mapping[str, str | None]

_TAG: Final = re.compile(
    r'<([A-Za-z][A-Za-z0-9]*)((?:\s+[^\s"\'<>/=`]+(?:="[^"<]*")?)*)\s*(/?)>', re.DOTALL
)
_ATTRIBUTE: Final = re.compile(r'([^\s"\'<>/=`]+)(?:="([^"<]*)")?')
# HTML Living Standard, 13.1.2: elements without an end tag.
_VOID: Final = frozenset(
    ("area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track")
) | {"wbr"}
_NAMED: Final = re.compile(r"&([A-Za-z][A-Za-z0-9]*;)")
_XML_NAMES: Final = frozenset({"amp;", "lt;", "gt;", "quot;"})


def with_tags(text: str, change: Callable[[str, Attributes], Attributes]) -> str:
    """Return the text with the attributes of each start tag as `change` returns them.

    A tag whose attributes stay the same stays as it was written.
    """

    def changed(found: re.Match[str]) -> str:
        tag, written, slash = found.groups()
        before = _read(written)
        after = change(tag, before)
        return found[0] if after == before else f"<{tag}{_write(after)}{slash}>"

    return _TAG.sub(changed, text)


def between(text: str, start: str, end: str) -> str:
    """Return what stands between the first `start` and the first `end` behind it, without them."""
    _, found, rest = text.partition(start)
    inner, closed, _ = rest.partition(end)
    if not found or not closed:
        raise ValueError(f"no {start} … {end} in the page")
    return inner


def as_xhtml(text: str) -> str:
    """Return a piece of HTML as XML: empty elements closed, no name of a character but XML's own.

    An attribute without a value gets its own name as the value.
    """

    def closed(found: re.Match[str]) -> str:
        tag, written, slash = found.groups()
        values = {name: name if value is None else value for name, value in _read(written).items()}
        end = "/" if slash or tag in _VOID else ""
        return f"<{tag}{_write(values)}{end}>"

    def numbered(found: re.Match[str]) -> str:
        name = found[1]
        return (
            found[0] if name in _XML_NAMES else "".join(f"&#{ord(sign)};" for sign in html5[name])
        )

    return _NAMED.sub(numbered, _TAG.sub(closed, text))


def _read(written: str) -> dict[str, str | None]:
    # findall cannot tell an empty value from none; an attribute without one is a switch.
    return {
        found[1]: None if found[2] is None else unescape(found[2])
        for found in _ATTRIBUTE.finditer(written)
    }


def _write(values: Attributes) -> str:
    return "".join(
        f" {name}" if value is None else f' {name}="{escape(value)}"'
        for name, value in values.items()
    )
