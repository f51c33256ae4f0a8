"""What a page may load and run, as its own first words and as a host's header say it."""

from __future__ import annotations

from typing import Final

__all__ = ["POLICY"]

#: Content security policy: files of the site alone, no inline script or style, no form, no text
#: that becomes markup.
POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; "
    "base-uri 'none'; form-action 'none'; require-trusted-types-for 'script'; trusted-types 'none'"
)
