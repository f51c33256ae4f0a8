"""A trial course in Hebrew: its text runs from right to left, its moves do not."""

from __future__ import annotations

from typing import Final

__all__ = ["FILES"]

FILES: Final = {
    "course.yaml": "title: קורס הנמל\nid: namal\nlanguage: he\nclub: מועדון הנוער\n",
    "lessons/01-merkaz.md": """---
title: קודם המרכז
subtitle: כל כלי יוצא פעם אחת
minutes: 20
teaches: [paam]
---

הלבן פותח במסע 1.e4, והשחור עונה 1...e5. אחר כך יוצא הפרש: 2.Nf3, והוא תוקף את הרגלי.

> כלי אחד, מסע אחד.

```moves rashi
title: הקו הראשי
at 2.Nf3: arrow attack f3 e5

1. e4 e5 2. Nf3 {הפרש תוקף את e5.} 2... Nc6 (2... Nf6 {גם זה אפשרי.} 3. Nxe5) 3. Bc4 Bc5 4. O-O Nf6
```

```diagram rashi@2.Nf3
caption: הפרש על f3
arrow attack: f3 e5
```

```tags rashi
2.Nf3 obeys paam anyway "הפרש יוצא"
```

```exercise lakachat
board: rashi@2.Nf3
task: הגן על הרגלי.
check: none because יש כמה דרכים
answer: 2... Nc6
hint: פרש יכול.
```

```cards
rashi@2.Nf3 מה תוקף הפרש? | את הרגלי.
```
""",
    "principles/paam.md": "---\ntitle: פעם אחת\nshort: כל כלי יוצא פעם אחת.\n---\n\nכך זה.\n",
}
