"""What is kept survives whatever may happen to a folder that anybody may delete or share."""

import hashlib
import os
import shutil
import stat
import threading
import time

import pytest

from builder.base.store import FileStore

KEY = "ab" + "0" * 62


@pytest.fixture
def store(tmp_path):
    return FileStore(tmp_path / "kept", most_bytes=10_000)


def entries(tmp_path):
    return sorted(path for path in (tmp_path / "kept").rglob("*") if path.is_file())


def test_what_was_put_is_got_and_nothing_else(store):
    assert store.get(KEY) is None
    store.put(KEY, b"some bytes")
    assert store.get(KEY) == b"some bytes"
    assert store.get("ac" + KEY[2:]) is None


SPOILED = {
    "cut short": lambda old: old[:-1],
    "longer": lambda old: old + b"x",
    "empty": lambda _: b"",
    "another hash": lambda old: old[:20] + b"x" + old[21:],
    "one bit": lambda old: old[:-1] + bytes([old[-1] ^ 1]),
}


@pytest.mark.parametrize("spoil", SPOILED.values(), ids=SPOILED)
def test_a_spoiled_entry_is_not_there_and_is_made_anew(store, tmp_path, spoil):
    store.put(KEY, b"some bytes")
    (path,) = entries(tmp_path)
    path.write_bytes(spoil(path.read_bytes()))
    assert store.get(KEY) is None
    assert entries(tmp_path) == []
    store.put(KEY, b"some bytes")
    assert store.get(KEY) == b"some bytes"


@pytest.mark.parametrize(
    "put", [os.mkfifo, os.mkdir, lambda path: path.symlink_to(path)], ids=["pipe", "folder", "loop"]
)
def test_what_is_no_file_is_not_waited_for(store, tmp_path, put):
    store.put(KEY, b"some bytes")
    (path,) = entries(tmp_path)
    path.unlink()
    put(path)
    assert store.get(KEY) is None
    store.put(KEY, b"other bytes")
    assert store.get(KEY) in (b"other bytes", None)  # a folder stays, and what it stands for is made each time


def test_an_entry_moved_to_another_key_is_not_taken_for_it(store, tmp_path):
    store.put(KEY, b"some bytes")
    (path,) = entries(tmp_path)
    path.rename(path.with_name("1" * 62))
    assert store.get("ab" + "1" * 62) is None


@pytest.mark.parametrize(("umask", "mode"), [(0o002, 0o664), (0o022, 0o644), (0o077, 0o600)])
def test_who_may_read_and_replace_an_entry_is_for_the_keeper_of_the_folder_to_say(store, tmp_path, umask, mode):
    before = os.umask(umask)
    try:
        store.put(KEY, b"kept")
    finally:
        os.umask(before)
    [entry] = entries(tmp_path)
    assert stat.S_IMODE(entry.stat().st_mode) == mode


def test_the_least_recently_used_goes_first(store, tmp_path):
    for number in range(30):
        store.put(f"{number:02}" + "0" * 62, bytes(1000))
    for age, path in enumerate(entries(tmp_path)):
        os.utime(path, (1000 + age, 1000 + age))
    assert store.get("00" + "0" * 62) is not None
    store.trim()
    left = [path.parent.name for path in entries(tmp_path)]
    assert "00" in left
    assert left[1:] == [f"{number:02}" for number in range(30 - len(left) + 1, 30)]
    assert sum(path.stat().st_size for path in entries(tmp_path)) <= 8_000


def test_entries_are_not_gone_through_while_one_folder_tells_of_few(tmp_path, monkeypatch):
    store = FileStore(tmp_path)
    monkeypatch.setattr(store, "_entries", lambda: pytest.fail("all were looked at"))
    store.trim()
    for number in range(30):
        store.put(hashlib.sha256(bytes([number])).hexdigest(), bytes(1000))
    store.trim()


def test_what_is_kept_stays_bounded_though_one_folder_stands_for_all(tmp_path):
    most, after = 60_000, []
    for build in range(40):
        store = FileStore(tmp_path / "kept", most_bytes=most)
        for number in range(100):
            store.put(hashlib.sha256(f"{build} {number}".encode()).hexdigest(), bytes(number))
        store.trim()
        after.append(sum(path.stat().st_size for path in entries(tmp_path)))
    assert max(after) <= 2 * most
    assert min(after[20:]) > most // 4, "what is well below the most is left"


def test_a_folder_that_vanishes_or_cannot_be_written_is_no_fault(tmp_path):
    file = tmp_path / "file"
    file.write_text("no folder")
    store = FileStore(file)
    store.put(KEY, b"some bytes")
    assert store.get(KEY) is None
    store.trim()


def test_builds_at_once_write_remove_and_read_the_same_entries(tmp_path):
    """Several threads put, spoil, delete and trim; whoever reads gets the right bytes or none."""
    folder = tmp_path / "kept"
    wrong, until = [], time.monotonic() + 1.0

    def work(seed):
        store = FileStore(folder, most_bytes=2_000)
        number = seed
        while time.monotonic() < until:
            number = (number * 7 + 3) % 11
            key, data = f"{number:02}" + "0" * 62, bytes([number]) * 300
            store.put(key, data)
            if number == 5:
                store.trim()
            if number == 7:
                shutil.rmtree(folder, ignore_errors=True)
            found = store.get(key)
            if found not in (None, data):
                wrong.append(number)

    threads = [threading.Thread(target=work, args=(seed,)) for seed in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []
    assert FileStore(folder).get("01" + "0" * 62) in (None, b"\x01" * 300)
    assert not list(folder.rglob("*.part"))


def test_what_a_killed_build_left_half_written_is_removed_a_day_later(store, tmp_path):
    store.put(KEY, b"some bytes")
    part = tmp_path / "kept" / "1" / "ab" / ".x.part"
    part.write_bytes(b"half")
    store.trim()
    assert part.exists(), "another build may be writing it"
    os.utime(part, (1000, 1000))
    store.trim()
    assert not part.exists()
