"""The keys of course.yaml and of heads as JSON Schema, for editors that complete and underline."""

from __future__ import annotations

import json
from typing import Any, Final

import msgspec

from plybook.text.fields import CourseFields, LessonFields, PrincipleFields

__all__ = ["SCHEMAS", "schema_of"]

#: What has a schema, by the name under which a coach asks for it.
SCHEMAS: Final[dict[str, type[msgspec.Struct]]] = {
    "course": CourseFields,
    "lesson": LessonFields,
    "principle": PrincipleFields,
}


def schema_of(name: str) -> str:
    """Return the JSON Schema (draft 2020-12) of `course`, `lesson` or `principle`.

    An unknown key is refused, as `check` does.
    """
    schema = _plain(msgspec.json.schema(SCHEMAS[name]))
    own = schema["$defs"][SCHEMAS[name].__name__]
    own["additionalProperties"] = False
    own["description"] = (SCHEMAS[name].__doc__ or "").strip()
    whole = {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}
    return json.dumps(whole, ensure_ascii=False, indent=2) + "\n"


def _plain(value: Any) -> Any:
    """Return a schema whose patterns end in `$`: editors read them as JavaScript does."""
    match value:
        case dict():
            return {key: _plain(inner) for key, inner in value.items()}
        case list():
            return [_plain(inner) for inner in value]
        case str():
            return value.removesuffix(r"\Z") + "$" if value.endswith(r"\Z") else value
    return value
