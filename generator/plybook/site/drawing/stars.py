"""The stars of a level: as many are full as there are levels up to it."""

from __future__ import annotations

from typing import Final

from markupsafe import Markup, escape

__all__ = ["stars"]

_STAR: Final = "M10 1.6l2.5 5.7 6.2.6-4.7 4.1 1.4 6.1-5.4-3.2-5.4 3.2 1.4-6.1-4.7-4.1 6.2-.6z"


def stars(
    filled: int, total: int, *, high: float, unit: str, ink: str = "currentColor", label: str = ""
) -> Markup:
    """Return a row of stars, some filled, `high` units of CSS high.

    Without a `label` it says nothing to a listener.
    """
    drawn = "".join(
        f'<path transform="translate({20 * at} 0)" fill="{ink if at < filled else "none"}"'
        f' stroke="{ink}" stroke-width="1.1" stroke-linejoin="round" d="{_STAR}"/>'
        for at in range(total)
    )
    said = f'role="img" aria-label="{escape(label)}"' if label else 'aria-hidden="true"'
    return Markup(  # numbers, our own path, and a label that is escaped
        f'<svg class="stars" viewBox="0 0 {20 * total} 20" width="{high * total:g}{unit}"'
        f' height="{high:g}{unit}" {said}>{drawn}</svg>'
    )
