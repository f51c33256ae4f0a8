"""What is not ours is never touched: foreign, edited and linked files, and dangerous folders."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from plybook.site.publishing import disk
from plybook.site.publishing.manifest import MANIFEST, Manifest
from plybook.site.publishing.publish import Foreign, Held, PublishError
from plybook.site.publishing.refusals import AnotherCourse
from publish.stand import NEW, OLD, Site

Snapshot = dict[str, object]


def snapshot(top: Path) -> Snapshot:
    """Return every entry below `top`: a file's bytes, a link's way, None for a folder."""
    found: Snapshot = {}
    for path in sorted(top.rglob("*")):
        name = path.relative_to(top).as_posix()
        if path.is_symlink():
            found[name] = os.readlink(path)
        elif path.is_dir():
            found[name] = None
        elif path.is_file():
            found[name] = path.read_bytes()
        else:
            found[name] = stat.S_IFMT(path.stat().st_mode)
    return found


def write(name: str, content: bytes = b"not ours") -> Callable[[Path], None]:
    def do(out: Path) -> None:
        (out / name).parent.mkdir(parents=True, exist_ok=True)
        (out / name).write_bytes(content)

    return do


def link(name: str, target: str) -> Callable[[Path], None]:
    def do(out: Path) -> None:
        (out / name).unlink(missing_ok=True)
        (out / name).symlink_to(target)

    return do


def move_out_and_link(out: Path) -> None:
    (out / "lessons").rename(out.parent / "elsewhere")
    (out / "lessons").symlink_to("../elsewhere")


def same_length(out: Path) -> None:
    content = (out / "index.html").read_bytes()
    (out / "index.html").write_bytes(content.replace(b"old", b"odd"))


LAYOUTS: dict[str, tuple[Callable[[Path], None], tuple[str, ...], tuple[str, ...]]] = {
    "a file at the top": (write("CNAME"), ("CNAME",), ()),
    "a hidden file": (write(".htaccess"), (".htaccess",), ()),
    "an empty file": (write("empty", b""), ("empty",), ()),
    "a file in a folder of ours": (write("lessons/notes.txt"), ("lessons/notes.txt",), ()),
    "a file in a folder of its own": (write(".git/HEAD"), (".git/", ".git/HEAD"), ()),
    "an empty folder": (lambda out: (out / "photos").mkdir(), ("photos/",), ()),
    "a link to a file": (link("quay.png", "/etc/hostname"), ("quay.png",), ()),
    "a link to a folder": (link("photos", "/etc"), ("photos",), ()),
    "a link in a circle": (link("round", "round"), ("round",), ()),
    "a dangling link": (link("dangling", "nowhere"), ("dangling",), ()),
    "a link instead of a page": (link("index.html", "style.css"), ("index.html",), ()),
    "a folder of ours behind a link": (move_out_and_link, ("lessons",), ()),
    "a pipe": (lambda out: os.mkfifo(out / "pipe"), ("pipe",), ()),
    "an edited page": (write("index.html", b"<p>by hand</p>"), (), ("index.html",)),
    "an edit of the same length": (same_length, (), ("index.html",)),
    "an emptied page": (write("lessons/anchor.html", b""), (), ("lessons/anchor.html",)),
    "a longer style sheet": (
        write("style.css", OLD["style.css"] + b" "),
        (),
        ("style.css",),
    ),
}


@pytest.mark.parametrize("name", LAYOUTS)
def test_a_folder_with_something_foreign_is_refused_with_the_list_and_left_alone(
    site: Site, name: str
) -> None:
    spoil, extra, edited = LAYOUTS[name]
    site.publish(OLD)
    spoil(site.out)
    before = snapshot(site.top)
    with pytest.raises(Foreign, match="files of somebody else") as refusal:
        site.publish(NEW)
    assert (refusal.value.extra, refusal.value.edited) == (extra, edited)
    assert snapshot(site.top) == before


def test_all_foreign_files_are_listed_at_once(site: Site) -> None:
    site.publish(OLD)
    for number in range(30):
        write(f"photos/{number:02}.jpg")(site.out)
    write("index.html")(site.out)
    write("style.css")(site.out)
    with pytest.raises(Foreign) as refusal:
        site.publish(NEW)
    assert len(refusal.value.extra) == 31  # the folder as well
    assert refusal.value.edited == ("index.html", "style.css")


def test_the_site_of_another_course_is_refused_and_left_alone(site: Site) -> None:
    site.publish(OLD, course="harbour")
    before = snapshot(site.top)
    with pytest.raises(AnotherCourse, match="another course, `harbour`"):
        site.publish(NEW, course="lighthouse")
    assert snapshot(site.top) == before
    site.publish(NEW, course="harbour")
    assert site.content() == NEW


@pytest.mark.parametrize("name", [".DS_Store", "lessons/Thumbs.db"])
def test_what_a_desktop_leaves_behind_does_not_stop_a_build(site: Site, name: str) -> None:
    """A coach who looks at the site in a file manager can still build it again."""
    site.publish(OLD)
    write(name)(site.out)
    site.publish(NEW)
    assert site.content() == NEW
    assert site.names_beside() <= {"site", ".site.lock"}


def test_a_folder_that_never_held_a_site_is_refused(site: Site) -> None:
    site.out.mkdir()
    write("thesis.doc")(site.out)
    with pytest.raises(Foreign) as refusal:
        site.publish(NEW)
    assert refusal.value.extra == ("thesis.doc",)


@pytest.mark.parametrize(
    "content",
    [b"", b"{", b"[]", b'{"version": 1, "files": [{}]}', b"\xff\xfe", b"[" * 100_000],
    ids=["empty", "torn", "list", "bare", "binary", "deep"],
)
def test_a_spoilt_manifest_makes_nothing_ours(site: Site, content: bytes) -> None:
    site.publish(OLD)
    (site.out / MANIFEST).write_bytes(content)
    with pytest.raises(Foreign) as refusal:
        site.publish(NEW)
    assert MANIFEST in refusal.value.edited
    assert site.content() == OLD


def test_a_manifest_that_points_outside_is_no_manifest() -> None:
    row = b'{"path": "../secret", "sha256": "00", "size": 1}'
    with pytest.raises(ValueError, match="not a manifest"):
        Manifest.decode(b'{"version": 1, "files": [\n' + row + b"\n]}\n")


def test_a_page_that_went_missing_is_simply_published_again(site: Site) -> None:
    site.publish(OLD)
    (site.out / "index.html").unlink()
    assert not site.publish(OLD).is_unchanged
    assert site.content() == OLD


@pytest.mark.parametrize("name", [".site.new", ".site.old"])
def test_a_folder_that_only_has_the_name_of_our_work_is_left_alone(site: Site, name: str) -> None:
    site.publish(OLD)
    (site.top / name).mkdir()
    write("letter.txt")(site.top / name)
    before = snapshot(site.top)
    with pytest.raises(PublishError, match=r"letter\.txt"):
        site.publish(NEW)
    assert snapshot(site.top) == before


@pytest.mark.parametrize("name", [".site.new", ".site.old"])
def test_a_link_with_the_name_of_our_work_is_not_followed(site: Site, name: str) -> None:
    site.publish(OLD)
    other = Site.__new__(Site)
    other.top, other.course, other.out = site.top, site.course, site.top / "other"
    other.publish(OLD)
    (site.top / name).symlink_to("other")
    before = snapshot(site.top)
    with pytest.raises(PublishError, match="files of somebody else"):
        site.publish(NEW)
    assert snapshot(site.top) == before


def test_a_file_added_while_the_site_is_written_stops_the_swap(
    quick_site: Site, strategy: str
) -> None:
    quick_site.publish(OLD)
    with pytest.raises(Foreign) as refusal:
        quick_site.publish(NEW, validate=lambda folder: write("late.txt")(quick_site.out))
    assert refusal.value.extra == ("late.txt",)
    assert quick_site.content() == {**OLD, "late.txt": b"not ours"}


def test_a_page_edited_after_a_power_cut_is_not_rolled_over(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    site.publish(OLD)
    monkeypatch.setattr("os.path.ismount", lambda path: path == site.out)
    with monkeypatch.context() as patch:
        patch.setattr("plybook.site.publishing.in_place.roll_forward", _cut)
        with pytest.raises(SystemExit):
            site.publish(NEW)
    write("index.html", b"by hand")(site.out)
    with pytest.raises(Foreign) as refusal:
        site.publish(NEW)
    assert refusal.value.edited == ("index.html",)
    assert site.read("index.html") == b"by hand"


def _cut(out: Path) -> None:
    raise SystemExit


def test_a_file_may_become_a_folder_and_a_folder_a_file(quick_site: Site, strategy: str) -> None:
    quick_site.publish({"a": b"1", "b/c/d": b"2", "b/e": b"3"})
    after = {"a/x": b"4", "b": b"5"}
    quick_site.publish(after)
    assert quick_site.content() == after
    assert quick_site.names_inside() == {"a", "b", MANIFEST}


class TestTarget:
    """Folders whose loss would hurt are no targets."""

    def refused(self, site: Site, out: Path, match: str) -> None:
        before = snapshot(site.top)
        site.out = out
        with pytest.raises(PublishError, match=match) as refusal:
            site.publish(NEW)
        assert refusal.value.hint
        assert snapshot(site.top) == before

    def test_the_course_folder(self, site: Site) -> None:
        self.refused(site, site.course, "is the course folder")

    def test_a_folder_above_the_course(self, site: Site) -> None:
        self.refused(site, site.top, "is the course folder or holds it")

    @pytest.mark.parametrize("name", ["lessons", "principles", "images", "images/site"])
    def test_the_sources_of_the_course(self, site: Site, name: str) -> None:
        (site.course / name).mkdir(parents=True)
        self.refused(site, site.course / name, "of the course")

    def test_a_way_round_does_not_help(self, site: Site) -> None:
        (site.course / "lessons").mkdir()
        (site.top / "way").symlink_to(site.course)
        self.refused(site, site.top / "way" / "lessons", "of the course")
        self.refused(site, site.course / "lessons" / ".." / ".." / "course", "course folder")

    def test_the_home_folder_and_those_above(
        self, site: Site, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        home = site.top / "people" / "coach"
        home.mkdir(parents=True)
        monkeypatch.setenv("HOME", str(home))
        self.refused(site, home, "home folder")
        self.refused(site, home.parent, "home folder")

    def test_a_root(self, site: Site) -> None:
        self.refused(site, Path(site.top.anchor), "top of a disk")

    def test_a_link(self, site: Site) -> None:
        (site.top / "real").mkdir()
        site.out.symlink_to("real")
        self.refused(site, site.out, "is a link")

    def test_a_file(self, site: Site) -> None:
        site.out.write_bytes(b"text")
        self.refused(site, site.out, "is not a folder")

    def test_a_missing_parent(self, site: Site) -> None:
        self.refused(site, site.top / "missing" / "site", "does not exist")

    def test_a_folder_of_its_own_in_the_course_is_fine(self, site: Site) -> None:
        site.out = site.course / "build"
        site.publish(NEW)
        assert site.content() == NEW


@pytest.mark.parametrize(
    ("number", "match"),
    [
        (errno.EROFS, "read-only"),
        (errno.ENOSPC, "disk is full"),
        (errno.EDQUOT, "share of the disk is full"),
        (errno.EACCES, "not allowed"),
        (errno.EIO, "error"),
    ],
)
@pytest.mark.parametrize("step", ["make_folder", "write_new", "flush", "exchange"])
def test_a_disk_that_refuses_is_named_and_the_old_site_stands(
    site: Site, monkeypatch: pytest.MonkeyPatch, step: str, number: int, match: str
) -> None:
    site.publish(OLD)

    def refuse(*arguments: object) -> None:
        raise OSError(number, "refused")

    with monkeypatch.context() as patch:
        patch.setattr(disk, step, refuse)
        with pytest.raises(PublishError, match=match) as refusal:
            site.publish(NEW)
    assert refusal.value.hint
    assert not isinstance(refusal.value, Held | Foreign)
    assert site.content() == OLD
    assert site.names_beside() == {"site"}


def test_a_disk_that_is_read_only_from_the_start_is_named(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    site.publish(OLD)

    def refuse(path: Path) -> None:
        raise OSError(errno.EROFS, "refused", str(path))

    monkeypatch.setattr("plybook.site.publishing.publish.hold", refuse)
    with pytest.raises(PublishError, match="the disk is read-only"):
        site.publish(NEW)
    assert site.content() == OLD


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0,
    reason="access rights do not bind the superuser; the disk that refuses stands in for them",
)
def test_a_folder_one_may_not_write_to_is_named(site: Site) -> None:
    site.publish(OLD)
    for folder in (site.out, site.top):
        folder.chmod(0o555)
    try:
        with pytest.raises(PublishError, match="not allowed"):
            site.publish(NEW)
    finally:
        for folder in (site.top, site.out):
            folder.chmod(0o755)
    assert site.content() == OLD


def test_an_old_site_that_cannot_be_removed_is_a_warning_and_goes_with_the_next_run(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    site.publish(OLD)

    def refuse(path: Path) -> None:
        raise OSError(errno.EACCES, "in use", str(path))

    with monkeypatch.context() as patch:
        patch.setattr(disk, "remove_file", refuse)
        done = site.publish(NEW)
    assert [warning for warning in done.warnings if "could not be removed" in warning]
    assert site.content() == NEW
    assert site.publish(NEW).is_unchanged
    assert site.names_beside() == {"site"}
