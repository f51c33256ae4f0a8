"""What is true on the board: lines played, drawings tested. The only room that imports `chess`."""

from plybook.board.attacked import newly_attacked
from plybook.board.drawings import try_drawings
from plybook.board.model import Line, Mark, Outcome, Ply, Position, Side
from plybook.board.play import play_line
from plybook.board.positions import START, open_place, read_fen
from plybook.board.replay import IllegalStepError, Step, replay

__all__ = [
    "START",
    "IllegalStepError",
    "Line",
    "Mark",
    "Outcome",
    "Ply",
    "Position",
    "Side",
    "Step",
    "newly_attacked",
    "open_place",
    "play_line",
    "read_fen",
    "replay",
    "try_drawings",
]
