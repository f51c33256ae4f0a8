"""Paper as PDF, by WeasyPrint: an extra that need not be there."""

from __future__ import annotations

import logging
from types import ModuleType
from typing import Final

from plybook.diagnostics import UsageError

__all__ = ["as_pdf", "is_paper_of"]

_NO_LIBRARY: Final = (
    "a PDF needs WeasyPrint, which is not installed: `pip install 'plybook[pdf]'`; "
    "the HTML files print the same from any browser"
)
_NO_PANGO: Final = (
    "a PDF needs the library Pango, which is not installed: on Debian and Ubuntu `sudo apt "
    "install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0`"
)


#: How a file begins, where its last part begins (ISO 32000-1, section 7.5.5), and what is put
#: before it: a comment, so that no reader minds and nothing in the file changes its place.
_HEAD: Final = b"%PDF-"
_LAST: Final = b"startxref\n"
_MARK: Final = "% plybook paper of {course}\n"
_TAIL: Final = 1024  # bytes at the end in which mark and last part stand


def as_pdf(document: str, *, course: str) -> bytes:
    """Return a self-contained HTML document as PDF; the same document gives the same bytes.

    The file is marked as a paper of the course with the ident `course`: what a library says of its
    document may be packed, so that a look at the bytes would not find it. Raises UsageError in one
    line when the library, or Pango below it, is missing.
    """
    library = _library()
    fetcher = library.urls.URLFetcher(allowed_protocols=("data",), fail_on_errors=True)
    written: bytes = library.HTML(string=document, url_fetcher=fetcher).write_pdf()
    body, last, end = written.rpartition(_LAST)
    return body + _MARK.format(course=course).encode() + last + end


def is_paper_of(course: str, content: bytes) -> bool:
    """Return whether a file is a PDF that was made here of a paper of this course."""
    marked = _MARK.format(course=course).encode() + _LAST
    return content.startswith(_HEAD) and marked in content[-_TAIL:]


def _library() -> ModuleType:
    """Return WeasyPrint, loaded when it is asked for: it takes longer to load than a check."""
    try:
        import weasyprint
        import weasyprint.urls
    except ImportError as error:
        raise UsageError(_NO_LIBRARY) from error
    except OSError as error:  # how it says that a shared library is not there
        raise UsageError(_NO_PANGO) from error
    # It remarks on what only browsers read, such as the policy; what matters it raises.
    logging.getLogger("weasyprint").setLevel(logging.ERROR)
    library: ModuleType = weasyprint
    return library
