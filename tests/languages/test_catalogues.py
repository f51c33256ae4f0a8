"""The catalogues are whole, agree with the code, and are shipped as they are written."""

from __future__ import annotations

import gettext
import io
import re
from collections.abc import Iterator
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType
from typing import Any, Final

import pytest

from browser.tools import ROOT, need_module
from plybook.board import ledger
from plybook.site.wording.catalogue import catalogue, language_of
from plybook.site.wording.languages import words_for

LOCALE: Final = ROOT / "generator" / "plybook" / "locale"
LANGUAGES: Final = ("de", "es", "fr", "ru")
_SLOT: Final = re.compile(r"%\((\w+)\)s|\{(\w+)\}")


@pytest.fixture(scope="module")
def script() -> ModuleType:
    """Return the script that brings the catalogues up to date."""
    need_module("babel", of="babel")
    spec = spec_from_file_location("catalogues", ROOT / "generator" / "catalogues.py")
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def template(script: ModuleType) -> Any:
    with (LOCALE / "plybook.pot").open("rb") as file:
        return script.read_po(file)


def written(script: ModuleType, language: str) -> Any:
    with (LOCALE / language / "LC_MESSAGES" / "plybook.po").open("rb") as file:
        return script.read_po(file, locale=language)


def messages(catalog: Any) -> Iterator[Any]:
    return (message for message in catalog if message.id)


def texts(value: str | tuple[str, ...]) -> tuple[str, ...]:
    return (value,) if isinstance(value, str) else tuple(value)


def keys(catalog: Any) -> set[tuple[str, tuple[str, ...]]]:
    return {(message.context or "", texts(message.id)) for message in messages(catalog)}


def slots(text: str) -> set[str]:
    return {first or second for first, second in _SLOT.findall(text)}


def test_there_is_a_catalogue_for_each_language_and_no_other() -> None:
    assert tuple(sorted(path.parent.parent.name for path in LOCALE.glob("*/*/*.mo"))) == LANGUAGES


def test_the_template_holds_what_the_code_says_now(script: ModuleType, template: Any) -> None:
    """Where this fails, run `python generator/catalogues.py` and translate what it names."""
    assert keys(template) == keys(script.collected())


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_message_is_translated(script: ModuleType, template: Any, language: str) -> None:
    catalog = written(script, language)
    assert keys(catalog) == keys(template)
    for message in messages(catalog):
        assert all(text.strip() for text in texts(message.string)), message.id
        assert not message.fuzzy, message.id
    assert not catalog.obsolete


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_is_filled_in_is_the_same_in_every_language(script: ModuleType, language: str) -> None:
    for message in messages(written(script, language)):
        known = set().union(*map(slots, texts(message.id)))
        for text in texts(message.string):
            assert slots(text) <= known, message.id
            assert slots(text) >= known - {"count", "number"}, message.id
            left = _SLOT.sub("", text)
            assert not set("{}%") & set(left), message.id  # would be read as a broken slot


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_is_shipped_is_what_is_written(
    script: ModuleType, template: Any, language: str
) -> None:
    target = io.BytesIO()
    script.write_mo(target, script.merged(template, language))
    shipped = (LOCALE / language / "LC_MESSAGES" / "plybook.mo").read_bytes()
    assert gettext.GNUTranslations(io.BytesIO(target.getvalue()))._catalog == (
        gettext.GNUTranslations(io.BytesIO(shipped))._catalog
    )


@pytest.mark.parametrize("language", LANGUAGES)
def test_catalogues_are_written_the_same_twice(
    script: ModuleType, template: Any, language: str, tmp_path: Path
) -> None:
    for name in ("first.po", "second.po"):
        script.write(script.merged(template, language), tmp_path / name)
    assert (tmp_path / "first.po").read_bytes() == (tmp_path / "second.po").read_bytes()
    assert b"Date" not in (tmp_path / "first.po").read_bytes().split(b"\n\n")[0]


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_fact_of_the_ledger_can_be_told(language: str) -> None:
    words = words_for(language).of_ledger
    knight = ledger.Stone(side="black", man="n", square="c6")
    pawn = ledger.Stone(side="black", man="p", square="a6")
    for kind in ledger.FactKind:
        fact = ledger.Fact(
            kind=kind,
            side="white",
            man=ledger.Stone(side="white", man="b", square="b5"),
            others=(knight, pawn),
            squares=("d4", "e5"),
            files=("d",),
            moves=("3...g6", "4.Qf3"),
            amount=3,
        )
        told = ledger.say(fact, words=words)
        assert told != ledger.say(fact)
        assert "  " not in told
        assert not re.search(r"\b(the|and|is|of)\b", told), told


# The rules of plurals are those of Unicode CLDR (supplemental/plurals.xml).
@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("de", {0: "0 Minuten", 1: "1 Minute", 2: "2 Minuten"}),
        ("es", {0: "0 minutos", 1: "1 minuto", 2: "2 minutos"}),
        ("fr", {0: "0 minute", 1: "1 minute", 2: "2 minutes"}),
        (
            "ru",
            {
                1: "1 минута",
                3: "3 минуты",
                5: "5 минут",
                11: "11 минут",
                21: "21 минута",
                22: "22 минуты",
                112: "112 минут",
            },
        ),
    ],
)
def test_plurals_follow_the_language(language: str, said: dict[int, str]) -> None:
    count = catalogue(language).ngettext
    one, many = "%(count)s minute", "%(count)s minutes"
    assert {number: count(one, many, number) % {"count": number} for number in said} == said


def test_a_region_speaks_its_language_and_the_unknown_english() -> None:
    assert [language_of(tag) for tag in ("de-AT", "fr-CA", "en-GB", "pl", "he")] == [
        "de", "fr", "en", "en", "en",
    ]  # fmt: skip  # one row each
    assert words_for("es-MX") == words_for("es-AR")
