"""Several processes at once: builds, readers, and builds that are killed."""

from __future__ import annotations

import hashlib
import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from plybook.site.publishing.manifest import MANIFEST
from plybook.site.publishing.publish import Held, PublishError
from publish.stand import NEW, OLD, Site

START = f"""
import os, signal, sys
sys.path[:0] = {[path for path in sys.path if path]!r}
from pathlib import Path
from publish.stand import NEW, OLD, Faults, STEPS
from plybook.site.publishing import disk
from plybook.site.publishing.publish import publish
top = Path(sys.argv[1])
def run(files, validate=None):
    return publish(files, top / "site", course_folder=top / "course", validate=validate)
"""
WAIT = (
    START
    + """
def wait(folder):
    print("at work", flush=True)
    sys.stdin.readline()
run(NEW, wait)
"""
)
# Each version's pages name it, so that a reader can tell a mixture.
MANY = (
    START
    + """
disk.flush = lambda top, paths: None
for version in range(150):
    run({f"lessons/{page}.html": f"version {version} ".encode() * 500 for page in range(8)})
"""
)
KILLED = (
    START
    + """
faults = Faults()
disk.flush = lambda top, paths: None
for name in STEPS:
    setattr(disk, name, faults.wrap(name, getattr(disk, name)))
def kill():
    os.kill(os.getpid(), signal.SIGKILL)
step = 0
while True:
    faults.disarm()
    run(OLD)
    child = os.fork()
    if child == 0:
        faults.arm(step, kill, is_final=False, is_after=False)
        run(NEW)
        os._exit(0)
    killed = os.WIFSIGNALED(os.waitpid(child, 0)[1])
    site = top / "site"
    content = {path: (site / path).read_bytes() for path in disk.tree(site).files}
    content.pop("site-manifest.json")
    state = "old" if content == OLD else "new" if content == NEW else "broken"
    run(NEW)
    after = {path: (site / path).read_bytes() for path in NEW}
    print(state, "whole" if after == NEW else "broken", flush=True)
    if not killed:
        break
    step += 1
"""
)

needs_flock = pytest.mark.skipif(sys.platform == "win32", reason="uses fork and POSIX signals")


def start(script: str, top: Path) -> subprocess.Popen[str]:
    here = str(Path(__file__).parent)
    return subprocess.Popen(
        [sys.executable, "-c", script, str(top)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": here},
    )


def test_the_second_of_two_builds_names_the_first(site: Site) -> None:
    with start(WAIT, site.top) as first:
        assert first.stdout is not None
        assert first.stdout.readline() == "at work\n"
        with pytest.raises(Held, match=f"process {first.pid} ") as refusal:
            site.publish(OLD)
        assert refusal.value.pid == first.pid
        first.communicate("go on\n")
    assert first.returncode == 0
    assert site.content() == NEW
    site.publish(OLD)
    assert site.content() == OLD


@needs_flock
def test_a_killed_build_holds_no_lock(site: Site) -> None:
    site.publish(OLD)
    with start(WAIT, site.top) as first:
        assert first.stdout is not None
        assert first.stdout.readline() == "at work\n"
        first.kill()
        first.wait()
    assert site.content() == OLD
    site.publish(NEW)
    assert site.names_beside() == {"site"}


@needs_flock
def test_a_build_interrupted_from_the_keyboard_leaves_nothing(site: Site) -> None:
    site.publish(OLD)
    with start(WAIT, site.top) as first:
        assert first.stdout is not None
        assert first.stdout.readline() == "at work\n"
        first.send_signal(signal.SIGINT)
        first.wait()
    assert first.returncode != 0
    assert site.content() == OLD
    assert site.names_beside() == {"site"}


@needs_flock
def test_a_build_killed_at_any_step_leaves_one_whole_site(quick_site: Site) -> None:
    with start(KILLED, quick_site.top) as runner:
        output, _ = runner.communicate()
    states = [line.split() for line in output.splitlines()]
    assert runner.returncode == 0
    assert len(states) > 30
    assert {before for before, _ in states} == {"old", "new"}
    assert {after for _, after in states} == {"whole"}


@pytest.mark.skipif(sys.platform != "linux", reason="needs the exchange of folders")
def test_a_reader_never_finds_a_site_missing_torn_or_mixed(quick_site: Site) -> None:
    out = quick_site.out
    quick_site.publish({f"lessons/{page}.html": b"version x " for page in range(8)})
    reads = whole = 0
    with start(MANY, quick_site.top) as builder:
        while builder.poll() is None:
            before = (out / MANIFEST).read_bytes()
            pages = {f"lessons/{page}.html": b"" for page in range(8)}
            for path in pages:
                pages[path] = (out / path).read_bytes()
                reads += 1
                assert len(set(pages[path].split(b"version "))) == 2, "torn"
            if (out / MANIFEST).read_bytes() == before:
                whole += 1
                listed = json.loads(before)["files"]
                assert [row["sha256"] for row in listed] == [
                    hashlib.sha256(page).hexdigest() for page in pages.values()
                ]
        builder.communicate()
    assert builder.returncode == 0
    assert reads > 500
    assert whole > 50


@pytest.mark.parametrize("content", [b"precious", b"12 apples\n", b"1" * 40])
def test_a_file_with_the_name_of_the_lock_is_neither_emptied_nor_removed(
    site: Site, content: bytes
) -> None:
    lock = site.top / ".site.lock"
    lock.write_bytes(content)
    with pytest.raises(PublishError, match="file of somebody else"):
        site.publish(NEW)
    assert lock.read_bytes() == content
    assert site.content() is None


@pytest.mark.parametrize("content", [b"", b"4711\n"])
def test_the_lock_of_a_build_that_died_is_taken_over(site: Site, content: bytes) -> None:
    (site.top / ".site.lock").write_bytes(content)
    site.publish(NEW)
    assert site.names_beside() == {"site"}
