"""Games that other programs wrote: read leniently, each one whole or rejected with its reason."""

from plybook.board.games_in.lines import line_of, places_of
from plybook.board.games_in.model import CHANGES, Change, Drawn, Moved, RawGame, ReadGame, Rejected
from plybook.board.games_in.read import read_game
from plybook.board.games_in.split import split_games
from plybook.board.games_in.stream import BadFileError, Piece, encoding_of, pieces_of

__all__ = [
    "CHANGES",
    "BadFileError",
    "Change",
    "Drawn",
    "Moved",
    "Piece",
    "RawGame",
    "ReadGame",
    "Rejected",
    "encoding_of",
    "line_of",
    "pieces_of",
    "places_of",
    "read_game",
    "split_games",
]
