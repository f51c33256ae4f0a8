"""A chess engine that knows no chess: it answers UCI as it was told to, for the tests.

    fake_engine.py LOG MANNER

Writes every line it is sent to LOG. MANNER says how it behaves:

plain    scores each position by the number of its men, a best line of one legal move
bound    the same, followed by a bound, which is no score
mate     says that the side to move mates in 2, or is mated in 2 when it is Black
illegal  gives a best line that is not legal
silent   never answers `go`
deaf     never answers at all
crash    leaves at the first `go`
mute     gives a best move and no score
flood    prints nonsense of many kinds around a plain answer
"""

from __future__ import annotations

import sys
import time

import chess


def main() -> None:
    """Answer until `quit`."""
    log, manner = sys.argv[1:]
    board = chess.Board()
    with open(log, "a", encoding="utf-8") as kept:
        for line in map(str.strip, sys.stdin):
            kept.write(line + "\n")
            kept.flush()
            word = line.partition(" ")[0]
            if manner == "deaf":
                time.sleep(60)
            elif word == "uci":
                say("id name Fake \x1b[31mEngine 1.0", "id author nobody")
                say("option name Threads type spin default 4 min 1 max 8")
                say("option name Hash type spin default 64 min 1 max 1024", "uciok")
            elif word == "isready":
                say("readyok")
            elif word == "position":
                board = position_of(line)
            elif word == "go":
                answer(board, manner)
            elif word == "quit":
                return


def position_of(line: str) -> chess.Board:
    """Return the board of a `position` line."""
    start, _, moves = line.partition(" moves ")
    words = start.split(" ", 2)
    board = chess.Board(words[2]) if words[1] == "fen" else chess.Board()
    for uci in moves.split():
        board.push_uci(uci)
    return board


def answer(board: chess.Board, manner: str) -> None:
    """Say what the manner says of a position."""
    move = min(board.legal_moves, key=chess.Move.uci).uci()
    plain = f"info depth 1 score cp {10 * len(board.piece_map()) + 4} pv {move}"
    mate = f"info depth 1 score mate {2 if board.turn else -2} pv {move}"
    match manner:
        case "plain":
            say(plain)
        case "bound":
            say(plain, f"info depth 2 score cp -999 lowerbound pv {move}")
        case "mate":
            say(mate)
        case "illegal":
            say("info depth 1 score cp 50 pv e2e5")
        case "silent":
            time.sleep(60)
        case "crash":
            sys.exit(3)
        case "flood":
            say("info string " + "x" * 5_000, "nonsense", "info depth x score y", plain, "")
        case _:
            pass
    say(f"bestmove {move}")


def say(*lines: str) -> None:
    """Print lines at once."""
    for line in lines:
        sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
