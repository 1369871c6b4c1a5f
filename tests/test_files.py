"""Files that never end, are none, or are written by two at a time."""

import os
import threading
from pathlib import Path

import pytest

from benchassist.files import folder_for, read_text, read_whole, write_whole


def test_a_plain_file_is_read_whole(tmp_path):
    path = tmp_path / "x"
    path.write_bytes(b"ab\n")
    assert read_whole(path) == b"ab\n"
    assert read_text(path, 3) == "ab\n"


def test_a_file_over_the_bound_is_not_read(tmp_path):
    path = tmp_path / "x"
    path.write_bytes(b"abcd")
    with pytest.raises(OSError, match="over 0 MiB"):
        read_whole(path, 3)


@pytest.mark.parametrize("name", ["/dev/zero", "/dev/null", "pipe", ".", "no\0name"])
def test_what_is_no_plain_file_is_said_at_once(tmp_path, name):
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(OSError) as seen:  # noqa: PT011 - its word is looked at below
        read_whole(tmp_path / name)
    assert seen.value.strerror


def test_two_that_write_one_file_do_not_meet(tmp_path):
    path, texts = tmp_path / "day.csv", [bytes([n]) * 200_000 for n in (65, 66)]
    start = threading.Barrier(2)

    def write(text):
        start.wait()
        for _ in range(20):
            write_whole(path, text)

    threads = [threading.Thread(target=write, args=(text,)) for text in texts]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert path.read_bytes() in texts
    assert [each.name for each in tmp_path.iterdir()] == ["day.csv"]


def test_what_was_there_stays_where_the_folder_refuses(tmp_path):
    path = tmp_path / "x"
    path.mkdir()
    with pytest.raises(OSError):  # noqa: PT011 - whichever the system says
        write_whole(path, b"new")
    assert [each.name for each in tmp_path.iterdir()] == ["x"]


def test_a_home_folder_is_understood(tmp_path, monkeypatch):
    monkeypatch.setenv("HOME", str(tmp_path))
    assert folder_for(Path("~/x")) == tmp_path / "x"
    assert (tmp_path / "x").is_dir()
    with pytest.raises(OSError, match="name"):
        folder_for(Path("a\0b"))
