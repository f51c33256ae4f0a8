"""A claim as a plain sentence for a pupil, in the language of the page.

The coach writes claims in a form that can be tested; a page says the same of the men that stand on
the squares: "The knight on c6 is pinned to its king by the bishop on b5." How far a claim was
searched stands beside it on the page, so no sentence tells a depth.

Languages bend the names of men, so what fills a place of a message is bent for its verb and not
for the English: who pins, attacks or guards is a subject, what that is done to an object.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

from plybook.site.wording.standing import Standing, target_of
from plybook.site.wording.words import Words
from plybook.text import claim_model as claims
from plybook.text.claim_model import Claim, MoveWord, SideWord

__all__ = ["claim_sentence"]


def claim_sentence(claim: Claim, *, placement: str, words: Words) -> str:
    """Return a claim about a position as a sentence, its moves in English letters.

    `placement` is that of `Position`. What is believed stays the coach's words.
    """
    if isinstance(claim, claims.Believed):
        return claim.words
    said = _SAID[type(claim)](Standing(placement, words), claim)
    # A square keeps its small letter at the head of a sentence, and so does a pawn's move.
    return said if said[1:2].isdigit() or said[1:2] == "x" else said[:1].upper() + said[1:]


# ------------------------------------------------------------------ men and squares


def _pinned(board: Standing, claim: claims.Pinned) -> str:
    pinned, pinner = board.man_as_object(claim.pinned), board.man(claim.pinner)
    if claim.kind == "absolute":
        return board.words.say(
            "{pinned} is pinned to its king by {pinner}.", pinned=pinned, pinner=pinner
        )
    return board.words.say(
        "{pinned} is pinned to {behind} by {pinner}.",
        pinned=pinned,
        pinner=pinner,
        behind=board.man_as_object(claim.behind),
    )


def _skewered(board: Standing, claim: claims.Skewered) -> str:
    return board.words.say(
        "{slider} skewers {front}: behind it stands {behind}.",
        slider=board.man(claim.slider),
        front=board.man_as_object(claim.front),
        behind=board.man(claim.behind),
    )


def _attacked(board: Standing, claim: claims.Attacked) -> str:
    words, guards = board.words, claim.guards
    if not claim.attacks:
        side, target = board.side(claim.side), board.man_as_object(claim.square)
        if not guards:
            return words.say(
                "{side} does not attack {target}, and nothing guards it.", side=side, target=target
            )
        return words.say(
            "{side} does not attack {target}, which is guarded by {guards}.",
            side=side,
            target=target,
            guards=guards,
        )
    man = board.man(claim.square)
    if claim.side == "white":
        attackers = words.count("{number} white man", "{number} white men", claim.attacks)
    else:
        attackers = words.count("{number} black man", "{number} black men", claim.attacks)
    if not guards:
        return words.say(
            "{man} is attacked by {attackers} and not guarded.", man=man, attackers=attackers
        )
    return words.say(
        "{man} is attacked by {attackers} and guarded by {guards}.",
        man=man,
        attackers=attackers,
        guards=guards,
    )


def _loose(board: Standing, claim: claims.Loose) -> str:
    return board.words.say("{man} is loose: nothing guards it.", man=board.man(claim.square))


def _hanging(board: Standing, claim: claims.Hanging) -> str:
    return board.words.say(
        "{man} is hanging: {side} can take it and win something.",
        man=board.man(claim.square),
        side=board.side(_other(board.owner(claim.square))),
    )


def _safe(board: Standing, claim: claims.Safe) -> str:
    return board.words.say("{man} is safe: taking it wins nothing.", man=board.man(claim.square))


def _trapped(board: Standing, claim: claims.Trapped) -> str:
    return board.words.say(
        "{man} is trapped: {side} loses {least}.",
        man=board.man(claim.square),
        side=board.side(board.owner(claim.square)),
        least=board.least(claim.worth),
    )


def _overloaded(board: Standing, claim: claims.Overloaded) -> str:
    return board.words.say(
        "{man} is overloaded: it must guard {wards} at once.",
        man=board.man(claim.square),
        wards=board.men_as_objects(claim.wards),
    )


# ------------------------------------------------------------------ what a move does


def _forks(board: Standing, claim: claims.Forks) -> str:
    targets = board.men_as_objects(claim.targets)
    return board.words.say(
        "{move} forks {targets}: every reply loses something.", move=claim.move, targets=targets
    )


def _attacks(board: Standing, claim: claims.Attacks) -> str:
    targets = board.men_as_objects(claim.targets)
    return board.words.say("{move} attacks {targets}.", move=claim.move, targets=targets)


def _double_check(board: Standing, claim: claims.GivesDoubleCheck) -> str:
    return board.words.say("{move} is double check: two men give check at once.", move=claim.move)


def _uncovers(board: Standing, claim: claims.Uncovers) -> str:
    return board.words.say(
        "{move} opens a line: now {slider} attacks {target}.",
        move=claim.move,
        slider=board.man(claim.slider),
        target=board.man_as_object(claim.target),
    )


def _only_legal_reply(board: Standing, claim: claims.OnlyLegalReply) -> str:
    return board.words.say(
        "After {move} only one move is legal: {reply}.", move=claim.move, reply=claim.reply
    )


# ------------------------------------------------------------------ threats and replies


def _threatens_mate(board: Standing, claim: claims.ThreatensMate) -> str:
    return board.words.count(
        "{side} threatens {move}, mate in {number} move.",
        "{side} threatens {move}, mate in {number} moves.",
        claim.moves,
        side=board.side(claim.side),
        move=claim.move,
    )


def _threatens_win(board: Standing, claim: claims.ThreatensWin) -> str:
    return board.words.say(
        "{side} threatens to take {man} and win {least}.",
        side=board.side(claim.side),
        man=board.man_as_object(claim.square),
        least=board.least(claim.worth),
    )


def _only_reply(board: Standing, claim: claims.OnlyReply) -> str:
    return board.words.say("Only one reply meets the threat: {reply}.", reply=claim.reply)


def _only_sound_reply(board: Standing, claim: claims.OnlySoundReply) -> str:
    return board.words.say("Only one reply loses nothing: {reply}.", reply=claim.reply)


def _no_reply_stops_mate(board: Standing, claim: claims.NoReplyStopsMate) -> str:
    return board.words.count(
        "No reply stops mate in {number} move.",
        "No reply stops mate in {number} moves.",
        claim.moves,
    )


def _replies(board: Standing, claim: claims.Replies) -> str:
    replies = board.moves(claim.replies)
    return board.words.say("Only these replies meet the threat: {replies}.", replies=replies)


def _sound_replies(board: Standing, claim: claims.SoundReplies) -> str:
    replies = board.moves(claim.replies)
    return board.words.say("Only these replies lose nothing: {replies}.", replies=replies)


# ------------------------------------------------------------------ mate


def _mates(board: Standing, claim: claims.Mates) -> str:
    return board.words.count(
        "{move} mates in {number} move.",
        "{move} mates in {number} moves.",
        claim.moves,
        move=claim.move,
    )


def _only_mate(board: Standing, claim: claims.OnlyMate) -> str:
    return board.words.count(
        "{move} is the only way to mate in {number} move.",
        "{move} is the only way to mate in {number} moves.",
        claim.moves,
        move=claim.move,
    )


# ------------------------------------------------------------------ what the Laws allow


def _illegal_guarded(board: Standing, claim: claims.IllegalGuarded) -> str:
    square = target_of(claim.move)
    guard = board.man_after(claim.guard, claim.before)
    said = board.words.say(
        "{move} is illegal: {guard} guards {square}.", move=claim.move, guard=guard, square=square
    )
    return _after(board, claim.before, said)


def _illegal_pinned(board: Standing, claim: claims.IllegalPinned) -> str:
    pinner = board.man_after(claim.pinner, claim.before)
    said = board.words.say(
        "{move} is illegal because of a pin: {pinner} would give check.",
        move=claim.move,
        pinner=pinner,
    )
    return _after(board, claim.before, said)


def _legal_but_loses(board: Standing, claim: claims.LegalButLoses) -> str:
    said = board.words.count(
        "{move} is legal but loses {number} point.",
        "{move} is legal but loses {number} points.",
        claim.worth,
        move=claim.move,
    )
    return _after(board, claim.before, said)


def _cannot_castle_attacked(board: Standing, claim: claims.CannotCastleAttacked) -> str:
    return board.words.say(
        "{side} cannot castle {wing}: {attacker} attacks {target}.",
        side=board.side(claim.side),
        wing=board.wing(claim.wing),
        attacker=board.man(claim.attacker),
        target=board.man_as_object(claim.square),
    )


def _cannot_castle_man(board: Standing, claim: claims.CannotCastleMan) -> str:
    return board.words.say(
        "{side} cannot castle {wing}: {man} is in the way.",
        side=board.side(claim.side),
        wing=board.wing(claim.wing),
        man=board.man(claim.square),
    )


def _cannot_castle_lost(board: Standing, claim: claims.CannotCastleLost) -> str:
    return board.words.say(
        "{side} can no longer castle {wing}: the right is lost.",
        side=board.side(claim.side),
        wing=board.wing(claim.wing),
    )


# ------------------------------------------------------------------ material and development


def _wins(board: Standing, claim: claims.Wins) -> str:
    return board.words.say("{move} wins {least}.", move=claim.move, least=board.least(claim.worth))


def _wins_by_lines(board: Standing, claim: claims.WinsByLines) -> str:
    least = board.least(claim.worth)
    return board.words.say("{move} wins {least}, as the lines show.", move=claim.move, least=least)


def _wins_not(board: Standing, claim: claims.WinsNot) -> str:
    return board.words.count(
        "{move} does not win {number} point: the answer is {reply}.",
        "{move} does not win {number} points: the answer is {reply}.",
        claim.worth,
        move=claim.move,
        reply=claim.reply,
    )


def _leads(board: Standing, claim: claims.LeadsDevelopment) -> str:
    return board.words.say(
        "{side} is ahead in development, {first} to {second}.",
        side=board.side(claim.side),
        first=claim.count,
        second=claim.other,
    )


def _minors_out(board: Standing, claim: claims.MinorsOut) -> str:
    side = board.side(claim.side)
    if not claim.count:
        return board.words.say("{side} has brought out none of its knights and bishops.", side=side)
    return board.words.say(
        "{side} has brought out {n} of its knights and bishops.", side=side, n=claim.count
    )


def _queen_cost(board: Standing, claim: claims.QueenCost) -> str:
    count, tempi = board.words.count, claim.tempi
    if claim.side is None:
        return count(
            "The queen has cost {number} tempo.", "The queen has cost {number} tempi.", tempi
        )
    if claim.side == "white":
        return count(
            "The white queen has cost {number} tempo.",
            "The white queen has cost {number} tempi.",
            tempi,
        )
    return count(
        "The black queen has cost {number} tempo.",
        "The black queen has cost {number} tempi.",
        tempi,
    )


# ------------------------------------------------------------------ helpers and the table


def _other(side: SideWord) -> SideWord:
    return "black" if side == "white" else "white"


def _after(board: Standing, before: Sequence[MoveWord], said: str) -> str:
    """Return a sentence that begins with a move, with the moves that lead to it before it."""
    if not before:
        return said
    moves = " ".join(map(str, before))
    return board.words.say("After {moves}, {sentence}", moves=moves, sentence=said)


#: Each function takes the class of its row: the type of a table cannot say so.
_SAID: Final[Mapping[type[Claim], Callable[[Standing, Any], str]]] = {
    claims.Pinned: _pinned,
    claims.Skewered: _skewered,
    claims.Attacked: _attacked,
    claims.Loose: _loose,
    claims.Hanging: _hanging,
    claims.Safe: _safe,
    claims.Trapped: _trapped,
    claims.Overloaded: _overloaded,
    claims.Forks: _forks,
    claims.Attacks: _attacks,
    claims.GivesDoubleCheck: _double_check,
    claims.Uncovers: _uncovers,
    claims.OnlyLegalReply: _only_legal_reply,
    claims.ThreatensMate: _threatens_mate,
    claims.ThreatensWin: _threatens_win,
    claims.OnlyReply: _only_reply,
    claims.OnlySoundReply: _only_sound_reply,
    claims.NoReplyStopsMate: _no_reply_stops_mate,
    claims.Replies: _replies,
    claims.SoundReplies: _sound_replies,
    claims.Mates: _mates,
    claims.OnlyMate: _only_mate,
    claims.IllegalGuarded: _illegal_guarded,
    claims.IllegalPinned: _illegal_pinned,
    claims.LegalButLoses: _legal_but_loses,
    claims.CannotCastleAttacked: _cannot_castle_attacked,
    claims.CannotCastleMan: _cannot_castle_man,
    claims.CannotCastleLost: _cannot_castle_lost,
    claims.Wins: _wins,
    claims.WinsByLines: _wins_by_lines,
    claims.WinsNot: _wins_not,
    claims.LeadsDevelopment: _leads,
    claims.MinorsOut: _minors_out,
    claims.QueenCost: _queen_cost,
}
