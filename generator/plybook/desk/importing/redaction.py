"""Taking names out of a game before any of its text reaches a course folder."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Final

from plybook.text.consent import Consent, PublicGame
from plybook.text.contacts import contacts_in
from plybook.text.people import People, is_placeholder, name_key, words_of

__all__ = ["KEPT_TAGS", "Redactor", "redactor_of"]

#: The tags of which anything is kept; of Date only the year.
KEPT_TAGS: Final = frozenset({"FEN", "SetUp", "Result", "ECO", "Opening", "Date"})
#: Tags whose values name people or can tell who they are.
_PERSONAL: Final = ("Annotator", "WhiteTeam", "BlackTeam", "Event", "Site")
_OTHERS: Final = "…"
_NOBODY: Final = frozenset({"White", "Black", _OTHERS})


@dataclass(slots=True)
class Redactor:
    """How the people of one game may be spoken of. It counts what it took out, by kind."""

    shown: Mapping[str, str]  # how each name of the file is shown
    withheld: tuple[str, ...]  # the players that may not be named
    public: PublicGame | None = None
    white: str = "White"
    black: str = "Black"
    is_overruled: bool = False  # somebody with consent stands on the list of withheld names
    taken_out: Counter[str] = field(default_factory=Counter)
    _people: People = field(default_factory=lambda: People(()))

    def __post_init__(self) -> None:
        # Of two people with one name the withheld one counts: the first that is given finds it.
        self._people = People(sorted(self.shown, key=lambda name: self.shown[name] not in _NOBODY))

    def clean(self, text: str) -> str:
        """Return a text without names that may not be shown, addresses and telephone numbers."""
        pieces, at = [], 0
        for found in self._people.find(text):
            part = text[found.start : found.end]
            as_shown = self.shown.get(found.name, self.shown.get(f"={found.name}", _OTHERS))
            if as_shown not in _NOBODY and set(words_of(part)) <= set(words_of(as_shown)):
                as_shown = part  # consent covers this part of the name
            else:
                self.taken_out["name"] += 1
            pieces += [text[at : found.start], as_shown]
            at = found.end
        text = "".join([*pieces, text[at:]])
        pieces, at = [], 0
        for contact in contacts_in(text):
            self.taken_out["e-mail address" if contact.kind == "mail" else "telephone number"] += 1
            pieces += [text[at : contact.start], _OTHERS]
            at = contact.end
        return "".join([*pieces, text[at:]])


def redactor_of(
    tags: Mapping[str, str], consent: Consent, *, day: str, withheld: Iterable[str]
) -> Redactor:
    """Return the redactor of a game with these tags, by the consent that holds on a day.

    Players without consent become White and Black. `withheld` are names known from elsewhere: a
    person among them is not named, even with consent.
    """
    names = {side: " ".join(tags.get(side, "").split()) for side in ("White", "Black")}
    withheld = tuple(withheld)
    keys = {name_key(name) for name in withheld}
    is_overruled = False
    public = consent.public_game(names["White"], names["Black"])
    shown: dict[str, str] = {}
    players: dict[str, str] = {}
    held = []
    for side, name in names.items():
        players[side] = side
        if is_placeholder(name):
            continue
        entry = None if public else consent.valid_entry(name, day=day)
        if entry is not None and name_key(name) in keys:
            entry, is_overruled = None, True
        allowed = name if public else entry.shown if entry else None
        shown[name] = players[side] = allowed or side
        if allowed is None:
            held.append(name)
    for tag in _PERSONAL:
        value = tags.get(tag, "")
        if not is_placeholder(value):
            whole = "=" if tag in ("Event", "Site") else ""
            shown.setdefault(f"{whole}{value}", _OTHERS)
    for name in withheld:
        shown.setdefault(name, _OTHERS)
    return Redactor(
        shown=shown,
        withheld=tuple(held),
        public=public,
        white=players["White"],
        black=players["Black"],
        is_overruled=is_overruled,
    )
