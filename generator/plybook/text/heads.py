"""YAML heads with positions: YAML 1.2 core, no tags, no aliases, every fault in one run."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, TypeVar

import msgspec
import yaml

from plybook.diagnostics import Report, Span, near_miss, shown
from plybook.text.fields import DAY, LANGUAGE, SLUG, WEB, PartFields
from plybook.text.source import Excerpt, unseen_character

__all__ = ["Head", "read_fields", "read_yaml"]

_HEAD_LIMIT: Final = 16 * 1024
_DEPTH_LIMIT: Final = 5
_KEY_LIMIT: Final = 50

_Base: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # libyaml where it is there


class _CoreLoader(_Base):  # type: ignore[misc]  # the base is chosen at run time
    """The YAML 1.2 core schema: `no` and `12:30` are text."""

    yaml_implicit_resolvers: Final[dict[str, Any]] = {}


for _tag, _pattern, _first in (
    ("bool", r"^(?:true|True|TRUE|false|False|FALSE)$", "tTfF"),
    ("null", r"^(?:~|null|Null|NULL|)$", ["~", "n", "N", ""]),
    ("int", r"^[-+]?[0-9]+$", "-+0123456789"),
    ("float", r"^[-+]?(?:\.[0-9]+|[0-9]+\.[0-9]*)(?:[eE][-+]?[0-9]+)?$", "-+.0123456789"),
):
    _CoreLoader.add_implicit_resolver(
        f"tag:yaml.org,2002:{_tag}", re.compile(_pattern), list(_first)
    )

Path = tuple[str | int, ...]
_Fields = TypeVar("_Fields", bound=msgspec.Struct)


@dataclass(frozen=True, slots=True)
class Head:
    """A head's values and the spans of its keys and values, by path (`("parts", 0, "title")`)."""

    values: dict[str, Any]
    value_spans: Mapping[Path, Span]
    key_spans: Mapping[Path, Span]
    span: Span

    def at(self, *path: str | int) -> Span:
        """Return the span of the value at `path`, or of the nearest value around it."""
        while path and path not in self.value_spans:
            path = path[:-1]
        return self.value_spans.get(path, self.span)


class _RefusedError(Exception):
    """A fault that ends the reading of one head."""

    def __init__(self, code: str, span: Span, message: str, help: str = "") -> None:
        super().__init__(message)
        self.code, self.span, self.message, self.help = code, span, message, help


def read_yaml(excerpt: Excerpt, *, report: Report) -> Head | None:
    """Return the mapping written in `excerpt`, or None after a report."""
    whole = excerpt.span(0, len(excerpt.text))
    if len(excerpt.text) > _HEAD_LIMIT:
        report.add(
            "head-too-large",
            whole,
            f"the head has {len(excerpt.text)} characters; the limit is {_HEAD_LIMIT}",
            help="look whether its closing line of `---` stands where it should",
        )
        return None
    reader = _Reader(excerpt)
    try:
        values = reader.read()
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        span = reader.span_of(mark, mark) if mark else whole
        problem = shown(error.problem or "not readable as YAML", limit=60)
        report.add("bad-yaml", span, f"the head cannot be read: {problem}", help=_advice(problem))
        return None
    except yaml.YAMLError:
        report.add("bad-yaml", whole, "the head cannot be read as YAML")
        return None
    except _RefusedError as refused:
        report.add(refused.code, refused.span, refused.message, help=refused.help or ())
        return None
    for code, span, message, advice in reader.faults:
        report.add(code, span, message, help=advice)
    return Head(values, reader.value_spans, reader.key_spans, whole)


def _advice(problem: str) -> str:
    if "mapping values are not allowed" in problem:
        return 'put text that holds a colon in quotes: title: "Pins: a start"'
    if "tab" in problem or "cannot start any token" in problem:
        return "indent with spaces; put text that begins with a sign in quotes"
    return "write `key: value`, one a line"


class _Reader:
    def __init__(self, excerpt: Excerpt) -> None:
        self._excerpt = excerpt
        self.value_spans: dict[Path, Span] = {}
        self.key_spans: dict[Path, Span] = {}
        self.faults: list[tuple[str, Span, str, str]] = []
        self._keys = 0

    def read(self) -> dict[str, Any]:
        text = self._excerpt.text
        for event in yaml.parse(text, Loader=_CoreLoader):
            if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
                raise _RefusedError(
                    "bad-yaml",
                    self.span_of(event.start_mark, event.end_mark),
                    "`&` and `*` (YAML anchors and aliases) are not allowed in a head",
                    'write the value out, or put it in quotes if it is text: "*"',
                )
            tag = getattr(event, "tag", None)
            if tag:
                raise _RefusedError(
                    "bad-yaml",
                    self.span_of(event.start_mark, event.end_mark),
                    f"`{shown(tag)}`: tags are not allowed in a head",
                )
        node = yaml.compose(text, Loader=_CoreLoader)
        if node is None:
            return {}
        if not isinstance(node, yaml.MappingNode):
            raise _RefusedError(
                "bad-yaml",
                self.span_of(node.start_mark, node.end_mark),
                "the head is not a list of `key: value` lines",
            )
        values: dict[str, Any] = self._value(node, ())
        return values

    def span_of(self, start: Any, end: Any) -> Span:
        first = self._offset(start)
        return self._excerpt.span(first, max(self._offset(end), first))  # libyaml may say less

    def _offset(self, mark: Any) -> int:
        """Return a mark's offset into the excerpt (`mark.index` counts bytes in libyaml)."""
        rows = self._excerpt.text.split("\n")
        row = min(mark.line, len(rows) - 1)
        column: int = min(mark.column, len(rows[row]))
        return sum(len(text) + 1 for text in rows[:row]) + column

    def _value(self, node: Any, path: Path) -> Any:
        if len(path) > _DEPTH_LIMIT:
            raise _RefusedError(
                "bad-yaml",
                self.span_of(node.start_mark, node.end_mark),
                f"values nested deeper than {_DEPTH_LIMIT}",
            )
        self.value_spans[path] = self.span_of(node.start_mark, node.end_mark)
        if isinstance(node, yaml.MappingNode):
            return self._mapping(node, path)
        if isinstance(node, yaml.SequenceNode):
            return [self._value(item, (*path, at)) for at, item in enumerate(node.value)]
        return self._scalar(node)

    def _mapping(self, node: Any, path: Path) -> dict[str, Any]:
        values: dict[str, Any] = {}
        for key_node, value_node in node.value:
            span = self.span_of(key_node.start_mark, key_node.end_mark)
            self._keys += 1
            if not isinstance(key_node, yaml.ScalarNode):
                raise _RefusedError("bad-yaml", span, "a key must be plain text")
            if self._keys > _KEY_LIMIT * 10:
                raise _RefusedError("head-too-large", span, "too many keys in one head")
            key = key_node.value
            if key in values:
                first = self.key_spans[(*path, key)].line
                message = f"`{shown(key)}` is already given on line {first}"
                self.faults.append(("duplicate-key", span, message, "keep one of them"))
                continue
            self.key_spans[(*path, key)] = span
            values[key] = self._value(value_node, (*path, key))
        return values

    def _scalar(self, node: Any) -> str | int | float | bool | None:
        text: str = node.value
        unseen = unseen_character(text)
        if unseen:  # written as an escape, so the look at the whole file has not seen it
            self.faults.append(
                (
                    "control-character",
                    self.span_of(node.start_mark, node.end_mark),
                    f"an escape for a character that cannot be seen: U+{ord(unseen[0]):04X}",
                    "delete it, or write what was meant",
                )
            )
        match node.tag.rpartition(":")[2]:
            case "int" if len(text) < 19:
                return int(text)
            case "float":
                return float(text)
            case "bool":
                return text.lower() == "true"
            case "null":
                return None
        return text  # or a number too long for one


_PATH = re.compile(r"\[(\d+)\]|\.([A-Za-z0-9_-]+)")


def read_fields(head: Head | None, kind: type[_Fields], *, report: Report) -> tuple[_Fields, bool]:
    """Return the head as a `kind`, and whether nothing in it is at fault.

    Every key is tried, so every fault is reported. A value at fault is left at its default, and
    empty where there is none: the rest of the course can be checked all the same.
    """
    fields = {field.encode_name: field for field in msgspec.structs.fields(kind)}
    values: dict[str, Any] = {field.name: "" for field in fields.values() if field.required}
    if head is None:
        return kind(**values), False
    is_whole = True
    for key, value in head.values.items():
        field = fields.get(key)
        if field is None:
            _report_unknown(head, key, sorted(fields), report)
            is_whole = False
            continue
        try:
            values[field.name] = msgspec.convert(value, field.type)
        except msgspec.ValidationError as error:
            _report_value(head, key, error, report)
            is_whole = False
    for key, field in fields.items():
        if field.required and key not in head.values:
            report.add(
                "missing-key",
                Span(head.span.file, head.span.line, 1, head.span.line, 1),
                f"the head has no `{key}`",
                help=f"add a line `{key}: …`",
            )
            is_whole = False
    return kind(**values), is_whole


def _report_unknown(head: Head, key: str, known: list[str], report: Report) -> None:
    near = near_miss(key, known)
    report.add(
        "unknown-key",
        head.key_spans[(key,)],
        f"unknown key `{shown(key)}`",
        help=f"did you mean `{near}`?" if near else f"known keys: {', '.join(known)}",
    )


def _report_value(head: Head, key: str, error: msgspec.ValidationError, report: Report) -> None:
    message, _, where = str(error).partition(" - at `")
    path: list[str | int] = [key]
    for index, name in _PATH.findall(where):
        path.append(int(index) if index else name)
    in_part = re.fullmatch(r"Object (contains unknown|missing required) field `(.*)`", message)
    if in_part:
        _report_part_key(head, tuple(path), in_part[2], in_part[1] == "contains unknown", report)
        return
    named = [part for part in path if isinstance(part, str)][-1]
    what = f"`{named}`" if path[-1] == named else f"an item of `{named}`"
    wanted = re.fullmatch(r"Expected `(\w+)(?: \| \w+)*`, got `(\w+)`", message)
    if wanted:
        want, got = (_KINDS.get(word, word) for word in wanted.groups())
        report.add(
            "wrong-type",
            head.at(*path),
            f"{what} must be {want}, not {got}",
            help=_EXAMPLES[want].format(named),
        )
        return
    rule, advice = _rule(message)
    report.add("bad-value", head.at(*path), f"{what} {rule}", help=advice)


def _report_part_key(head: Head, path: Path, key: str, is_unknown: bool, report: Report) -> None:
    """Report an unknown or a missing key of a part of the course."""
    known = [field.encode_name for field in msgspec.structs.fields(PartFields)]
    if is_unknown:
        near = near_miss(key, known)
        report.add(
            "unknown-key",
            head.key_spans.get((*path, key), head.at(*path)),
            f"unknown key `{shown(key)}`",
            help=f"did you mean `{near}`?" if near else f"known keys: {', '.join(known)}",
        )
        return
    start = head.at(*path)
    report.add(
        "missing-key",
        Span(start.file, start.line, start.column, start.line, start.column),
        f"this part has no `{key}`",
        help=f"add a line `{key}: …`",
    )


_KINDS: Final = {
    "str": "text",
    "int": "a whole number",
    "float": "a number",
    "array": "a list",
    "bool": "true or false",
    "object": "a group of keys",
    "null": "empty",
}

#: How a value of each kind is written; `{0}` is the key.
_EXAMPLES: Final = {
    "text": "write text that looks like something else in quotes",
    "a whole number": "write digits alone: `{0}: 20`",
    "a list": "write it between square brackets: `{0}: [one, two]`",
    "true or false": "write `{0}: true` or `{0}: false`",
    "a group of keys": "write `- title: …`, and below it `lessons: […]`, further in",
}

#: What a pattern of fields.py asks for, in words, and an example.
_PATTERNS: Final = {
    SLUG: ("takes small letters, digits and hyphens only", "for example `early-queen`"),
    LANGUAGE: ("is not a language tag", "for example `en`, `de` or `pt-BR`"),
    DAY: ("is not a day written year-month-day", "for example `2026-03-01`"),
    WEB: ("is not the address of a site", "begin with `https://`"),
}


def _rule(message: str) -> tuple[str, str]:
    """Return the rule that msgspec says was broken in plain words, and an advice."""
    pattern = re.fullmatch(r"Expected `str` matching regex '(.*)'", message)
    if pattern:
        return next(words for rule, words in _PATTERNS.items() if repr(rule)[1:-1] == pattern[1])
    if " of length >= 1" in message:
        return "must not be empty", "write a value, or delete the line"
    if message.startswith("Invalid enum value"):
        return "names no such thing", "write `paper: [sheet, key, cards]`, or some of these"
    most = re.search(r" of length <= (\d+)", message)
    if most:
        return f"may hold {most[1]} values at most", "keep those that matter most"
    bound = message.replace("Expected `int`", "").strip()
    return f"must be a whole number {bound}", "write digits alone"
