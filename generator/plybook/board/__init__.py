"""What is true on the board: lines played, drawings tested. The only room that imports `chess`."""

from plybook.board.attacked import newly_attacked
from plybook.board.drawings import try_drawings
from plybook.board.model import Line, Mark, Outcome, Ply, Position, Side
from plybook.board.opinion import Doubt, Opinion, ask_engine
from plybook.board.opinion_file import read_opinions, write_opinions
from plybook.board.play import play_line
from plybook.board.positions import START, open_place, read_fen
from plybook.board.replay import IllegalStepError, Step, replay
from plybook.board.replay_table import Arbiter

__all__ = [
    "START",
    "Arbiter",
    "Doubt",
    "IllegalStepError",
    "Line",
    "Mark",
    "Opinion",
    "Outcome",
    "Ply",
    "Position",
    "Side",
    "Step",
    "ask_engine",
    "newly_attacked",
    "open_place",
    "play_line",
    "read_fen",
    "read_opinions",
    "replay",
    "try_drawings",
    "write_opinions",
]
