"""What is published: the bytes, the list of them, who may read them, and which names can be."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import random
import stat
import sys
from pathlib import Path

import pytest

from plybook.site.publishing.manifest import MANIFEST, Manifest
from plybook.site.publishing.publish import PublishError
from publish.stand import NEW, OLD, Site


def test_every_file_is_published_as_it_was_given(site: Site) -> None:
    done = site.publish(NEW)
    assert (done.files, done.method, done.warnings) == (len(NEW), "first", ())
    assert site.content() == NEW
    assert site.names_beside() == {"site"}


def test_an_empty_folder_may_become_a_site(site: Site) -> None:
    site.out.mkdir()
    site.publish(NEW)
    assert site.content() == NEW
    assert site.names_beside() == {"site"}


def test_the_manifest_lists_path_digest_and_size_of_every_file_in_order(site: Site) -> None:
    site.publish(NEW)
    listed = json.loads(site.read(MANIFEST))["files"]
    assert listed == [
        {
            "path": path,
            "sha256": hashlib.sha256(NEW[path]).hexdigest(),
            "size": len(NEW[path]),
        }
        for path in sorted(NEW)
    ]


def test_the_order_of_the_files_does_not_show_in_the_manifest() -> None:
    names = [f"lessons/{number}.html" for number in range(50)]
    shuffled = names[:]
    random.Random(7).shuffle(shuffled)
    first = Manifest.of({name: name.encode() for name in names})
    second = Manifest.of({name: name.encode() for name in shuffled})
    assert first.encode() == second.encode()


def test_a_manifest_survives_being_written_and_read() -> None:
    manifest = Manifest.of({"index.html": b"", "bilder/möwe.png": b"\x00", "a/b/c.html": b"x"})
    assert Manifest.decode(manifest.encode()) == manifest


def test_the_same_site_is_not_written_again(site: Site) -> None:
    site.publish(NEW)
    before = {path: os.stat(site.out / path) for path in [*NEW, MANIFEST]}
    done = site.publish(dict(reversed(NEW.items())))
    assert done.is_unchanged
    for path, found in before.items():
        after = os.stat(site.out / path)
        assert (after.st_ino, after.st_mtime_ns) == (found.st_ino, found.st_mtime_ns)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows knows no such permission bits")
@pytest.mark.parametrize("umask", [0o000, 0o022, 0o077, 0o277])
def test_everybody_may_read_whatever_the_umask(site: Site, umask: int) -> None:
    before = os.umask(umask)
    try:
        site.publish(NEW)
    finally:
        os.umask(before)
    for path in [site.out, *site.out.rglob("*")]:
        mode = stat.S_IMODE(path.stat().st_mode)
        assert mode == (0o755 if path.is_dir() else 0o644), path


@pytest.mark.skipif(sys.platform == "win32", reason="Windows knows no such permission bits")
def test_a_stick_that_keeps_no_rights_can_hold_a_site(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*arguments: object) -> None:
        raise PermissionError(errno.EPERM, "refused")

    monkeypatch.setattr(os, "chmod", refuse)
    monkeypatch.setattr(os, "fchmod", refuse)
    site.publish(NEW)
    assert site.content() == NEW


def test_the_examination_sees_the_whole_new_site_while_the_old_one_stands(site: Site) -> None:
    site.publish(OLD)
    seen: list[tuple[dict[str, bytes], dict[str, bytes] | None]] = []

    def look(folder: Path) -> None:
        new = {path: (folder / path).read_bytes() for path in NEW}
        seen.append((new, site.content()))

    site.publish(NEW, validate=look)
    assert seen == [(NEW, OLD)]


@pytest.mark.skipif(sys.platform != "linux", reason="other systems fall back where they must")
def test_the_swap_is_one_exchange_on_linux(site: Site) -> None:
    site.publish(OLD)
    assert site.publish(NEW).method == "exchange"


def test_each_way_says_which_it_was(quick_site: Site, strategy: str) -> None:
    quick_site.publish(OLD)
    method = quick_site.publish(NEW).method
    expected = {"exchange": "exchange", "renames": "renames"}.get(strategy, "in place")
    assert method == expected
    assert quick_site.content() == NEW


BAD_NAMES = [
    "",
    "/index.html",
    "../index.html",
    "a/../b.html",
    "a/./b.html",
    "a//b.html",
    "a/",
    "a\\b.html",
    "C:/a.html",
    "what?.html",
    "a*.html",
    "a|b.html",
    'a"b.html',
    "<a>.html",
    "a\nb.html",
    "a\x00b.html",
    "a\u200bb.html",
    "a\u202eb.html",
    "a\ud800.html",
    "trailing.",
    "trailing ",
    " leading",
    "con",
    "NUL.html",
    "a/Aux.txt",
    "com1.tar.gz",
    "lpt¹.html",
    "conin$",
    "cafe\u0301.html",
    "x" * 256,
    "ж" * 130,
    "/".join(["folder"] * 40),
    MANIFEST,
    ".plybook.new/a",
]


@pytest.mark.parametrize("name", BAD_NAMES, ids=ascii)
def test_a_name_that_some_system_cannot_hold_is_refused(site: Site, name: str) -> None:
    with pytest.raises(PublishError) as refusal:
        site.publish({"index.html": b"", name: b""})
    assert refusal.value.hint
    assert site.names_beside() == set()


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Anchor.html", "anchor.html"),
        ("straße.html", "STRASSE.html"),
        ("lessons/a.html", "Lessons/b.html"),
        ("a.html", "\uff41.html"),
        ("\u2460.html", "1.html"),
        ("Site-Manifest.json", "a.html"),
        ("quay", "quay/a.html"),
        ("quay/a.html", "Quay"),
    ],
)
def test_two_names_that_are_one_somewhere_are_refused(site: Site, one: str, other: str) -> None:
    with pytest.raises(PublishError):
        site.publish({one: b"", other: b""})


@pytest.mark.parametrize("name", ["möwe.html", "a.b.c", "console.html", "com10", "a b.html", "-x"])
def test_an_ordinary_name_is_published(site: Site, name: str) -> None:
    site.publish({name: b"x"})
    assert site.content() == {name: b"x"}
