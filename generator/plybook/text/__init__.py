"""What the coach wrote: files, heads, Markdown, movetext and blocks, all with their spans.

No chess is known here: a move is a word with a place in a file.
"""

from plybook.text.folder import COURSE_FILE, LOCK_FILE, read_course_folder
from plybook.text.model import CourseDraft, LessonDraft, PrincipleDraft, Reference

__all__ = [
    "COURSE_FILE",
    "LOCK_FILE",
    "CourseDraft",
    "LessonDraft",
    "PrincipleDraft",
    "Reference",
    "read_course_folder",
]
