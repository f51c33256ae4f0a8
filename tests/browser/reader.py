"""A reader of the built site: one browser page, what it asked for and what it complained of."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, Literal
from urllib.parse import quote

from playwright.sync_api import Browser, BrowserContext, Page

__all__ = ["Plate", "Reader", "reading"]

_PROBE: Final = Path(__file__).with_name("probe.js")
_WINDOW: Final = {"width": 1280, "height": 900}


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """What the live board and its controls say, as laid out on the screen."""

    placement: str  # 64 characters a1 to h8; `!` where two men stand on a square
    traces: list[str]  # squares the last move left and reached
    view: str
    places: list[str]  # ids of what is marked as the current place
    caption: str
    turn: str
    title: str
    words: str
    picture: str
    live: str
    sets: list[str]  # fragments of the groups of marks that show
    roles: list[str]
    rail: list[str]
    slider: list[int]  # lowest, now, highest
    said: str
    back: str
    onward: str
    atStart: bool  # noqa: N815  # named as in probe.js
    atEnd: bool  # noqa: N815  # named as in probe.js
    choices: list[str]
    leave: bool
    focus: str


class Reader:
    """A page of a browser without a network, on one site."""

    def __init__(self, context: BrowserContext, site: Path) -> None:
        self.site = site
        self.page: Page = context.new_page()
        self.messages: list[str] = []
        self.requests: list[str] = []
        context.on("request", lambda request: self.requests.append(request.url))
        context.on("console", lambda message: self.messages.append(message.text))
        context.on("weberror", lambda error: self.messages.append(str(error.error)))

    def address(self, path: str, fragment: str = "") -> str:
        """Return the address of a page of the site, as a browser writes it."""
        hash_part = f"#{quote(fragment, safe='@.~=-')}" if fragment else ""
        return (self.site / path).as_uri() + hash_part

    def open(self, path: str, fragment: str = "", *, whole: bool = False) -> None:
        """Load a page of the site anew, also where only the fragment differs.

        The page script has run then; `whole` waits for fonts and pictures too.
        """
        if self.page.url.split("#")[0] == self.address(path):
            self.page.goto("about:blank")
        until: Literal["load", "domcontentloaded"] = "load" if whole else "domcontentloaded"
        self.page.goto(self.address(path, fragment), wait_until=until)
        if whole:
            self.page.evaluate("document.fonts.ready.then(() => true)")

    def plate(self) -> Plate:
        """Return what the live board says."""
        return Plate(**self.page.evaluate("probe.plate()"))

    def placement(self) -> str:
        """Return the position on the live board."""
        drawn = "probe.placementOf(document.querySelector('#plate svg.bd'))"
        return str(self.page.evaluate(drawn))

    def focus(self, ident: str) -> None:
        """Move the focus to the element of this id."""
        self.page.evaluate("(id) => document.getElementById(id).focus()", ident)

    def press(self, key: str, times: int = 1) -> None:
        """Press a key of the keyboard."""
        for _ in range(times):
            self.page.keyboard.press(key)

    def follow(self, fragment: str) -> None:
        """Go to a move in its line, by the keyboard."""
        self.focus(fragment)
        self.press("Enter")

    def all(self, script: str, given: object = None) -> Any:  # JSON of any form
        """Return what a script finds in the page."""
        return self.page.evaluate(script, given)

    def is_calm(self) -> bool:
        """Return whether the page was silent and asked for nothing outside its site."""
        home = self.site.as_uri() + "/"
        # An empty page is what the browser shows between two loads.
        foreign = [url for url in self.requests if not url.startswith((home, "about:blank"))]
        heard = list(self.messages)
        # Each complaint is brought up once, by the test that heard it.
        self.messages.clear()
        self.requests.clear()
        if heard or foreign:
            raise AssertionError(f"messages {heard}, requests elsewhere {foreign}")
        return True


@contextmanager
def reading(
    browser: Browser, site: Path, **wishes: Any
) -> Iterator[Reader]:  # Playwright's own options
    """Yield a reader without a network; at the end it must have been calm.

    Motion is reduced unless `reduced_motion` says otherwise, so that men are where they go.
    """
    options: dict[str, Any] = {"viewport": _WINDOW, "reduced_motion": "reduce", **wishes}
    context = browser.new_context(offline=True, **options)
    context.add_init_script(path=_PROBE)
    context.set_default_timeout(5000)
    try:
        reader = Reader(context, site)
        yield reader
        reader.is_calm()
    finally:
        context.close()
