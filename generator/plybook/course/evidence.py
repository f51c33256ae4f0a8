"""Where a principle is kept, broken, justified or punished: what the ledger finds, and the tags.

A principle names kinds of facts. A fact of a kind that breaks it is a breach, and a justified one
when the same move has a fact that the principle takes as a reason. A punishment follows a breach of
the side that suffers it. What the coach writes in a `tags` block goes before what is computed.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache, cached_property, partial
from typing import Final

from plybook.board import Ply, Side, ledger
from plybook.course.evidence_index import EvidenceIndex, Keyed
from plybook.course.ledgers import Ledgers
from plybook.course.model import Evidence, EvidenceTable, Lesson, Place
from plybook.diagnostics import Report
from plybook.kept import Kept
from plybook.text.model import Located, PrincipleDraft, TagDraft, TagsDraft

__all__ = ["Finding", "Findings", "other_side", "verb_of"]

Kind = ledger.FactKind

#: Facts that are told of the side that suffers them. It breaks a principle by them when the move is
#: its own; where they keep or punish, the other side does it.
_OF_THE_SUFFERER: Final = frozenset(
    {Kind.RIGHT_LOST, Kind.HELD, Kind.STUCK, Kind.OPENED_ON_KING, Kind.QUEEN_DRIVEN}
)
#: Facts that follow from a breach by their meaning, however long ago it was.
_OF_AN_OLD_BREACH: Final = frozenset(
    {
        Kind.FILE_TAKEN,
        Kind.FILE_CHECK,
        Kind.FILE_PIN,
        Kind.FILE_WINS,
        Kind.KING_CAUGHT,
        Kind.HITS_QUEEN,
        Kind.QUEEN_DRIVEN,
    }
)
#: Facts that say something of a principle while the opening goes on, and are noted later too.
_OF_THE_OPENING: Final = frozenset(
    {
        Kind.CENTRE_PAWN,
        Kind.CENTRE_CONTROL,
        Kind.CENTRE_PAWN_REMOVED,
        Kind.CENTRE_PAWN_GIVEN_UP,
        Kind.DEVELOPS,
        Kind.TOWARD_CENTRE,
        Kind.AGAINST_CENTRE,
        Kind.AWAY_FROM_CENTRE,
        Kind.ON_THE_RIM,
        Kind.GOES_HOME,
        Kind.BACK_RANK,
        Kind.KNIGHT_FIRST,
        Kind.BISHOP_FIRST,
    }
)
#: Kings that stand apart from an open centre.
_SAFE: Final = frozenset({ledger.KingState.CASTLED, ledger.KingState.WALKED})
#: Plies within which any other fact counts as the punishment of a breach: three moves of each side.
_SOON: Final = 6

_WEAK: Final = frozenset({2, 4, 6})  # ? ?? ?!
_VERBS: Final = {"obeys": "kept", "breaks": "broken", "punishes": "punished"}


@dataclass(frozen=True, slots=True)
class _Rule:
    """The facts that serve a principle, by what they do to it, in the order of its head."""

    kept: tuple[Kind, ...]
    broken: tuple[Kind, ...]
    justified: frozenset[Kind]
    punished: tuple[Kind, ...]

    @classmethod
    def of(cls, principle: PrincipleDraft) -> _Rule:
        return cls(
            kept=_kinds(principle.kept_by),
            broken=_kinds(principle.broken_by),
            justified=frozenset(_kinds(principle.justified_by)),
            punished=_kinds(principle.punished_by),
        )


def _kinds(names: Iterable[Located]) -> tuple[Kind, ...]:
    """Return the kinds of facts that are named; a name that is none has been reported."""
    known = {kind.value: kind for kind in Kind}
    return tuple(known[name.value] for name in names if name.value in known)


@dataclass(frozen=True, slots=True)
class Finding:
    """What the ledger says of a principle at one place, and of which side."""

    verb: str
    side: Side
    facts: tuple[ledger.Fact, ...]


def _tags_placed(lesson: Lesson, _: Report) -> tuple[tuple[Place, TagDraft], ...]:
    """Return the tags of a lesson whose moves are there."""
    return tuple(
        (place, tag)
        for block in lesson.draft.blocks
        if isinstance(block, TagsDraft)
        for tag in block.tags
        if (place := lesson.targets.get(tag.place)) is not None
    )


class Findings(EvidenceTable):
    """The evidence of the published lessons by principle, each made when it is first asked for.

    In the order of the lessons and their lines; of equal positions with the same verb only the
    first is kept. A tag speaks for its move in its position wherever that stands. `ledgers` may
    hold drafts too: their tags can be checked, and show nowhere unless they are among `shown`.
    """

    def __init__(
        self,
        ledgers: Ledgers,
        principles: Mapping[str, PrincipleDraft],
        *,
        kept: Kept | None = None,
        shown: Collection[str] | None = None,
    ) -> None:
        self._kept = kept or Kept()
        self._ledgers = ledgers
        self._shown = (
            {slug for slug, lesson in ledgers.lessons.items() if not lesson.draft.is_draft}
            if shown is None
            else shown
        )
        self._rules = self._kept.same(
            "rules", {slug: _Rule.of(principle) for slug, principle in principles.items()}
        )
        self._tags: dict[tuple[Place, str], list[TagDraft]] = {}
        self._everywhere: dict[tuple[bytes, bytes, str], list[TagDraft]] = {}
        self._sort_tags()
        self._made: dict[str, tuple[Evidence, ...]] = {}
        self._of = cache(self._look)

    def _sort_tags(self) -> None:
        self._kept.only("tags-placed", self._ledgers.lessons)
        for slug, lesson in self._ledgers.lessons.items():
            for place, tag in self._kept.take(
                "tags-placed", slug, (lesson,), partial(_tags_placed, lesson), report=Report()
            ):
                if tag.principle in self._rules:
                    self._tags.setdefault((place, tag.principle), []).append(tag)
                    if slug in self._shown:
                        step = (*self._step(place), tag.principle)
                        self._everywhere.setdefault(step, []).append(tag)

    def __getitem__(self, slug: str) -> tuple[Evidence, ...]:
        if slug not in self._rules:
            raise KeyError(slug)
        if slug not in self._made:
            self._made[slug] = tuple(self._merged(slug))
        return self._made[slug]

    def at(self, before: bytes, after: bytes) -> tuple[Evidence, ...]:
        index = self._kept.take(
            "evidence-index", "", (self._rules,), lambda _: EvidenceIndex(), report=Report()
        )
        return index.at((before, after), self._found)

    def __iter__(self) -> Iterator[str]:
        return iter(self._rules)

    def __len__(self) -> int:
        return len(self._rules)

    def tags(self) -> Iterator[tuple[Place, TagDraft]]:
        """Yield every tag of a known principle with the place after its move."""
        for (place, _), tags in self._tags.items():
            for tag in tags:
                yield place, tag

    def ply(self, place: Place) -> Ply:
        """Return the move that leads to a place."""
        return self._ledgers.line(place).plies[place.index - 1]

    def of_mover(self, place: Place, slug: str) -> Finding | None:
        """Return what the ledger says of the mover's own conduct, whatever the tags say."""
        mover = self.ply(place).mover
        return next((one for one in self._of(place, slug) if one.side == mover), None)

    def is_after_breach(self, place: Place, slug: str, side: Side) -> bool:
        """Return whether a side has broken a principle, justified or not, on the way to a place."""
        return any(
            self._breach(earlier, slug, side, with_reason=True)
            for earlier in self._ledgers.before(place)
        )

    # ------------------------------------------------------------------ what the ledger finds

    def _look(self, place: Place, slug: str) -> tuple[Finding, ...]:
        """Return the conduct of either side that shows at a place, one finding a side."""
        rule = self._rules[slug]
        entry = self._ledgers.entry(place) if rule.kept or rule.broken else None
        if entry is None or entry.mover is None:
            return ()
        before = self._ledgers.entry(replace(place, index=self.ply(place).parent))
        facts = tuple(
            fact
            for fact in entry.facts
            if fact.kind not in _OF_THE_OPENING or (before and before.is_opening)
        )
        found: dict[Side, Finding] = {}
        for fact in _ranked(facts, rule.broken):
            if fact.side == entry.mover or fact.kind not in _OF_THE_SUFFERER:
                found.setdefault(fact.side, _breach_of(fact, facts, rule))
        for fact in _ranked(facts, rule.kept):
            if _is_kept(fact, entry):
                side = _doer(fact)
                found.setdefault(side, Finding("kept", side, (fact,)))
        return tuple(found.values())

    def _punishments(self, place: Place, slug: str, *, is_tagged: bool) -> Iterator[Finding]:
        """Yield the first punishment at a place. Of a breach with a reason the coach must say so,
        and he may say it of any breach."""
        rule = self._rules[slug]
        entry = self._ledgers.entry(place) if rule.punished else None
        for fact in _ranked(entry.facts, rule.punished) if entry else ():
            doer = _doer(fact)
            for number, earlier in enumerate(self._ledgers.before(place), start=1):
                if number > _SOON and fact.kind not in _OF_AN_OLD_BREACH:
                    break
                if self._breach(earlier, slug, other_side(doer), with_reason=is_tagged):
                    yield Finding("punished", doer, (fact,))
                    return

    def _breach(self, place: Place, slug: str, side: Side, *, with_reason: bool) -> bool:
        """Return whether a side breaks a principle at a place; the tags go first."""
        verbs = {"broken", "justified"} if with_reason else {"broken"}
        if self.ply(place).mover == side:
            conduct = [tag for tag in self._tags_of(place, slug) if tag.verb != "punishes"]
            if conduct:
                return any(verb_of(tag, self.ply(place)) in verbs for tag in conduct)
        return any(one.side == side and one.verb in verbs for one in self._of(place, slug))

    # ------------------------------------------------------------------ evidence, tags first

    @cached_property
    def _found(self) -> Mapping[str, Mapping[str, tuple[Keyed, ...]]]:
        """The evidence of each lesson by principle, that of equal positions included."""
        said = self._kept.same(
            "said",
            {
                step: tuple((tag.verb, tag.reason) for tag in tags)
                for step, tags in self._everywhere.items()
            },
        )
        lessons = self._ledgers.lessons
        self._kept.only("evidence", lessons)
        return {
            slug: self._kept.take(
                "evidence",
                slug,
                (self._rules, said, *self._ledgers.lessons_before(slug)),
                partial(self._of_lesson, lesson),
                report=Report(),
            )
            for slug, lesson in lessons.items()
            if slug in self._shown
        }

    def _of_lesson(self, lesson: Lesson, _: Report) -> Mapping[str, tuple[Keyed, ...]]:
        return {slug: tuple(self._collect(lesson, slug)) for slug in self._rules}

    def _collect(self, lesson: Lesson, slug: str) -> Iterator[Keyed]:
        rule = self._rules[slug]
        telling = frozenset((*rule.kept, *rule.broken, *rule.punished))
        for name, line in lesson.lines.items():
            if line.start.is_partial:
                continue
            entries = self._ledgers[lesson.slug, name].entries if telling else ()
            for ply in line.plies:
                place = Place(lesson.slug, name, ply.index)
                facts = entries[ply.index].facts if entries else ()
                if (place, slug) in self._tags or any(fact.kind in telling for fact in facts):
                    for one in self._at(place, slug):
                        yield (line.key(ply.parent), line.key(ply.index)), one

    def _at(self, place: Place, slug: str) -> Iterator[Evidence]:
        mover = self.ply(place).mover
        own = self._tags.get((place, slug), [])
        for tag in own:
            verb = verb_of(tag, self.ply(place))
            yield Evidence(
                place=place,
                principle=slug,
                verb=verb,
                facts=self._facts(place, slug, verb, mover),
                is_tagged=True,
                because=tag.reason or "",
            )
        said = {tag.verb == "punishes" for tag in self._tags_of(place, slug)}
        for one in (*self._of(place, slug), *self._punishments(place, slug, is_tagged=False)):
            if (one.verb == "punished") not in said or one.side != mover:
                yield Evidence(
                    place=place,
                    principle=slug,
                    verb=one.verb,
                    facts=one.facts,
                    is_tagged=False,
                    because="",
                )

    def _facts(self, place: Place, slug: str, verb: str, mover: Side) -> tuple[ledger.Fact, ...]:
        """Return what the ledger finds to the same end as a tag."""
        if verb == "punished":
            found = tuple(self._punishments(place, slug, is_tagged=True))
        else:
            found = self._of(place, slug)
        kept = {"kept", "punished"}
        same = (
            one.facts for one in found if one.side == mover and (one.verb in kept) == (verb in kept)
        )
        return next(same, ())

    def _merged(self, slug: str) -> Iterator[Evidence]:
        seen = set()
        for of_lesson in self._found.values():
            for (_, key), one in of_lesson[slug]:
                if (key, one.verb) not in seen:
                    seen.add((key, one.verb))
                    yield one

    def _tags_of(self, place: Place, slug: str) -> list[TagDraft]:
        """Return the tags of a move: its own, or those that it has at another place."""
        own = self._tags.get((place, slug))
        return own or self._everywhere.get((*self._step(place), slug), [])

    def _step(self, place: Place) -> tuple[bytes, bytes]:
        """Return what is equal for one move in one position: the positions around it."""
        line = self._ledgers.line(place)
        return line.key(line.plies[place.index - 1].parent), line.key(place.index)


def verb_of(tag: TagDraft, ply: Ply) -> str:
    """Return what a tag says of its move: kept, broken, justified or punished.

    A breach with the coach's reason is a justified one, unless the move itself is marked as weak:
    then the reason tells why it was one all the same.
    """
    if tag.verb == "breaks" and tag.reason and _WEAK.isdisjoint(ply.nags):
        return "justified"
    return _VERBS[tag.verb]


def _ranked(facts: Iterable[ledger.Fact], kinds: tuple[Kind, ...]) -> list[ledger.Fact]:
    """Return the facts of some kinds, in the order of the kinds."""
    return sorted(
        (fact for fact in facts if fact.kind in kinds), key=lambda fact: kinds.index(fact.kind)
    )


def _breach_of(breach: ledger.Fact, facts: tuple[ledger.Fact, ...], rule: _Rule) -> Finding:
    """Return a breach as it was found: with a reason among the facts it is a justified one.

    Reasons are the facts of the same side, and what was noted only as a reason of one of them: that
    the man was attacked.
    """
    own = [fact for fact in facts if fact.side == breach.side]
    own += [reason for fact in own for reason in fact.reasons if reason.side == breach.side]
    reasons = [fact for fact in own if fact.kind in rule.justified]
    told = [breach]
    if reasons and rule.justified.isdisjoint(reason.kind for reason in breach.reasons):
        told.append(reasons[0])
    return Finding("justified" if reasons else "broken", breach.side, tuple(told))


def _is_kept(fact: ledger.Fact, entry: ledger.Entry) -> bool:
    """Return whether a fact that keeps a principle does so here: of what the other side suffers
    the mover must be the cause, and who opens the centre must have left it."""
    if fact.kind not in _OF_THE_SUFFERER:
        return True
    doer = _doer(fact)
    return doer == entry.mover and entry.account(doer).king.state in _SAFE


def other_side(side: Side) -> Side:
    """Return the opponent of a side."""
    return "black" if side == "white" else "white"


def _doer(fact: ledger.Fact) -> Side:
    """Return the side that keeps or punishes by a fact."""
    return other_side(fact.side) if fact.kind in _OF_THE_SUFFERER else fact.side
