"""What is true on the board: lines played, drawings tested. The only room that imports `chess`."""

from plybook.board.attacked import newly_attacked
from plybook.board.drawings import try_drawings
from plybook.board.model import Line, Mark, Outcome, Ply, Position, Side
from plybook.board.play import play_line
from plybook.board.positions import START, open_place, read_fen

__all__ = [
    "START",
    "Line",
    "Mark",
    "Outcome",
    "Ply",
    "Position",
    "Side",
    "newly_attacked",
    "open_place",
    "play_line",
    "read_fen",
    "try_drawings",
]
