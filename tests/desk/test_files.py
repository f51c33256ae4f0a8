"""Files are replaced whole, and none that belongs to somebody else is followed or lost."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from plybook.files import read_regular, write_whole

needs_modes = pytest.mark.skipif(os.name != "posix", reason="needs permissions as in POSIX")
needs_pipes = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs pipes")


def test_a_file_is_made_and_replaced(tmp_path: Path) -> None:
    for content in (b"one\n", b"two\r\n"):
        write_whole(tmp_path / "kept", content)
        assert read_regular(tmp_path / "kept") == content
    assert [path.name for path in tmp_path.iterdir()] == ["kept"]


def test_files_of_the_names_in_use_are_left_alone(tmp_path: Path) -> None:
    strangers = [tmp_path / name for name in (".kept.new", ".kept.0.new", "kept.part")]
    for path in strangers:
        path.write_bytes(b"precious")
    write_whole(tmp_path / "kept", b"content")
    assert {path.read_bytes() for path in strangers} == {b"precious"}
    assert sorted(tmp_path.iterdir()) == sorted([*strangers, tmp_path / "kept"])


@pytest.mark.parametrize("name", ["kept", ".kept.0.new"])
def test_no_link_is_followed(tmp_path: Path, name: str) -> None:
    victim = tmp_path / "victim"
    victim.write_bytes(b"precious")
    (tmp_path / name).symlink_to(victim)
    if name == "kept":
        with pytest.raises(OSError, match="no ordinary file"):
            write_whole(tmp_path / "kept", b"content")
        with pytest.raises(OSError, match=r"link|symbolic"):
            read_regular(tmp_path / "kept")
    else:
        write_whole(tmp_path / "kept", b"content")
    assert victim.read_bytes() == b"precious"
    assert (tmp_path / name).is_symlink()


def test_a_failure_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError("refused")

    (tmp_path / "kept").write_bytes(b"old")
    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(PermissionError):
        write_whole(tmp_path / "kept", b"new")
    assert [path.read_bytes() for path in tmp_path.iterdir()] == [b"old"]


@needs_pipes
def test_a_pipe_is_neither_waited_for_nor_replaced(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(OSError, match="no ordinary file"):
        read_regular(tmp_path / "pipe")
    with pytest.raises(OSError, match="no ordinary file"):
        write_whole(tmp_path / "pipe", b"content")


def test_no_more_is_read_than_asked_for(tmp_path: Path) -> None:
    (tmp_path / "kept").write_bytes(b"content")
    assert read_regular(tmp_path / "kept", most=3) == b"con"


@needs_modes
@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664, 0o755])
def test_who_may_read_a_file_stays_as_it_was(tmp_path: Path, mode: int) -> None:
    path = tmp_path / "kept"
    path.write_bytes(b"old")
    path.chmod(mode)
    write_whole(path, b"new", mode=0o666)
    assert path.read_bytes() == b"new"
    assert stat.S_IMODE(path.stat().st_mode) == mode


@needs_modes
def test_a_new_file_has_the_permissions_asked_for(tmp_path: Path) -> None:
    before = os.umask(0o022)
    try:
        write_whole(tmp_path / "secret", b"content", mode=0o600)
        write_whole(tmp_path / "plain", b"content")
    finally:
        os.umask(before)
    modes = [stat.S_IMODE((tmp_path / name).stat().st_mode) for name in ("secret", "plain")]
    assert modes == [0o600, 0o644]


def test_the_content_is_on_the_disk_before_the_name_leads_to_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[int | str] = []
    sync, replace = os.fsync, os.replace

    def synced(descriptor: int) -> None:
        done.append(os.fstat(descriptor).st_size)
        sync(descriptor)

    def replaced(source: Path, target: Path) -> None:
        done.append("replaced")
        replace(source, target)

    monkeypatch.setattr(os, "fsync", synced)
    monkeypatch.setattr(os, "replace", replaced)
    write_whole(tmp_path / "kept", b"content")
    assert done == [len(b"content"), "replaced"]
