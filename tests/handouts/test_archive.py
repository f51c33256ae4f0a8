"""The site as a zip archive: opened by another reader, equal to the folder, the same twice."""

from __future__ import annotations

import io
import subprocess
import sys
import zipfile
from dataclasses import replace
from pathlib import Path

from plybook.desk.work import Work, publish_folder
from plybook.site.handouts.archive import site_zip


def folder_of(path: Path) -> dict[str, bytes]:
    return {
        file.relative_to(path).as_posix(): file.read_bytes()
        for file in path.rglob("*")
        if file.is_file()
    }


def test_unpacked_it_is_the_published_folder(work: Work, tmp_path: Path) -> None:
    publish_folder(replace(work, out=tmp_path / "site"))
    (tmp_path / "site.zip").write_bytes(site_zip(work.files, course="first-principles"))
    subprocess.run(
        [sys.executable, "-m", "zipfile", "-e", tmp_path / "site.zip", tmp_path / "unpacked"],
        check=True,
    )
    assert [path.name for path in (tmp_path / "unpacked").iterdir()] == ["first-principles"]
    assert folder_of(tmp_path / "unpacked" / "first-principles") == folder_of(tmp_path / "site")


def test_its_bytes_hang_on_the_files_alone(work: Work) -> None:
    backwards = dict(reversed(work.files.items()))
    first = site_zip(work.files, course="first-principles")
    assert site_zip(backwards, course="first-principles") == first
    with zipfile.ZipFile(io.BytesIO(first)) as archive:
        assert archive.testzip() is None
        names = archive.namelist()
        assert names == sorted(names)
        for entry in archive.infolist():
            assert entry.compress_type == zipfile.ZIP_STORED
            assert entry.date_time == (1980, 1, 1, 0, 0, 0)
            assert entry.external_attr >> 16 == 0o100644
