"""How lessons hang together: lines played in order, references resolved, indexes, the lock."""

from plybook.course.assemble import assemble, lock_of
from plybook.course.model import (
    Course,
    Evidence,
    Lesson,
    Meeting,
    Part,
    Place,
    PrincipleUse,
    Settled,
    Tagged,
)

__all__ = [
    "Course",
    "Evidence",
    "Lesson",
    "Meeting",
    "Part",
    "Place",
    "PrincipleUse",
    "Settled",
    "Tagged",
    "assemble",
    "lock_of",
]
