"""No option destroys what is there, a bin that is named is the bin, and nothing outside its folder is shown."""

from __future__ import annotations

import os
import stat
import time
from pathlib import Path

import forked
import pytest

from matcher.errors import BadInput
from matcher.store.files import read_file, write_out

MINE = "name: my own\nroles: . main, x contrast 1\n\n.x\nx.\n"
LOTS = "lot,grams,colour,class,garment\nnavy,41,navy,3,pullover\n"


def bin_with_motif(folder: Path, motif: str) -> Path:
    folder.mkdir()
    (folder / "lots.csv").write_text(LOTS, encoding="utf-8")
    (folder / "garments.csv").write_text(f"garment,status,motif\npullover,worn,{motif}\n", encoding="utf-8")
    return folder


WRITES = {
    "motif --svg": ("motif", "crosses", "--svg", "F.svg"),
    "motif --png": ("motif", "crosses", "--png", "F.png"),
    "motif --grid": ("motif", "crosses", "--grid", "F.txt"),
    "palette --svg": ("palette", "DEMO", "--svg", "F.svg"),
    "calibration --png": ("calibration", "--png", "F.png"),
    "photo --out": ("photo", "DEMO/scraps.jpg", "--out", "F.jpg"),
    "tags --out": ("tags", "DEMO", "--out", "F.html"),
}


@pytest.mark.parametrize("words", WRITES.values(), ids=WRITES)
def test_a_file_of_hers_is_replaced_only_when_she_says_so(words, run, demo: Path, tmp_path: Path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    words = [one.replace("DEMO", str(demo)) for one in words]
    file = tmp_path / words[-1]
    file.write_bytes(b"her own")
    refused = run(*words)
    assert refused.exit_code == 2
    assert "--replace" in " ".join(refused.stderr.split())
    assert file.read_bytes() == b"her own"
    assert run(*words, "--replace").exit_code == 0
    assert file.read_bytes() != b"her own"
    assert [one.name for one in tmp_path.iterdir()] == [file.name]


@pytest.mark.parametrize("words", WRITES.values(), ids=WRITES)
def test_a_link_is_not_followed_and_a_pipe_not_waited_for(words, run, demo: Path, tmp_path: Path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    words = [one.replace("DEMO", str(demo)) for one in words]
    (tmp_path / "kept").write_bytes(b"her own")
    file = tmp_path / words[-1]
    file.symlink_to("kept")
    assert "this is a link" in " ".join(run(*words, "--replace").stderr.split())
    assert (tmp_path / "kept").read_bytes() == b"her own"
    file.unlink()
    os.mkfifo(file)
    assert "a pipe or a device" in " ".join(run(*words, "--replace").stderr.split())
    assert stat.S_ISFIFO(file.stat().st_mode)


def test_a_pipe_as_a_bin_is_called_one(run, tmp_path: Path):
    """Not a name that is near to itself."""
    os.mkfifo(tmp_path / "bin")
    shown = run("check", tmp_path / "bin")
    assert shown.exit_code == 2
    assert "is a pipe or a device" in " ".join(shown.stderr.split())
    assert "did you mean" not in shown.stderr


def test_a_store_is_no_picture(run, tmp_path: Path):
    store = tmp_path / "keep.sqlite"
    store.write_bytes(b"her bin")
    for option in ("--svg", "--png", "--grid"):
        assert run("motif", "crosses", option, store, "--replace").exit_code == 2
    assert store.read_bytes() == b"her bin"


def test_what_goes_wrong_at_the_last_moment_is_undone(tmp_path: Path, monkeypatch):
    first, second, third = (tmp_path / name for name in "abc")
    first.write_bytes(b"old")
    first.chmod(0o600)
    replace = os.replace

    def fails(source, target):
        if Path(target) == third:
            raise OSError(28, "No space left on device")
        replace(source, target)

    monkeypatch.setattr(os, "replace", fails)
    with pytest.raises(BadInput, match="no space left"):
        write_out({first: b"new", second: b"new", third: b"new"}, replace=True)
    assert [one.name for one in tmp_path.iterdir()] == ["a"]
    assert first.read_bytes() == b"old"
    monkeypatch.undo()
    write_out({first: b"new"}, replace=True)
    assert stat.S_IMODE(first.stat().st_mode) == 0o600


def test_nothing_stays_of_folders_made_for_files_that_came_to_nothing(tmp_path: Path):
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(BadInput):
        write_out({tmp_path / "a" / "b" / "one": b"1", tmp_path / "file" / "two": b"2"})
    assert not (tmp_path / "a").exists()


def test_what_a_killed_run_has_left_is_cleaned_away(tmp_path: Path):
    old, fresh, hers = (
        tmp_path / name for name in (".matcher-out-ab12cd34", ".matcher-out-ab12cd35", ".matcher-notes")
    )
    for one in (old, fresh, hers):
        one.write_bytes(b"half")
    for one in (old, hers):
        os.utime(one, (time.time() - 7200,) * 2)
    write_out({tmp_path / "a": b"1"})
    assert sorted(one.name for one in tmp_path.iterdir()) == [hers.name, fresh.name, "a"]


def test_a_bin_that_is_named_is_never_the_demo(run, tmp_path: Path, monkeypatch):
    monkeypatch.setenv("MATCHER_BIN", str(tmp_path / "typo.sqlite"))
    for words in (["suggest"], ["reserve"], ["palette"], ["export", "--json"], ["triage"]):
        shown = run(*words)
        assert shown.exit_code == 2
        assert "typo.sqlite" in " ".join(shown.stderr.split())
        assert "demo" not in shown.stderr
    # A store is begun there all the same.
    assert run("add", "navy", "--grams", "20", "--colour", "navy", "--class", "3").exit_code == 0


def test_a_motif_is_the_bin_s_then_the_catalogue_s(run, tmp_path: Path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("crosses").write_text("not a motif at all", encoding="utf-8")
    folder = bin_with_motif(tmp_path / "bin", "crosses")
    match = ("partner", folder, "--garment", "pullover", "--accessory", "hat-stranded-band")
    assert run(*match).exit_code == 0
    (folder / "crosses").write_text(MINE, encoding="utf-8")
    assert "my own" in run(*match).stdout


@pytest.mark.parametrize("how", ["dots", "whole", "link"])
def test_a_bin_from_elsewhere_shows_nothing_outside_its_folder(how: str, run, tmp_path: Path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    secret = tmp_path / "secret.txt"
    secret.write_text("password: swordfish\n", encoding="utf-8")
    motif = {"dots": "../secret.txt", "whole": str(secret), "link": "mine.txt"}[how]
    folder = bin_with_motif(tmp_path / "bin", motif)
    if how == "link":
        (folder / "mine.txt").symlink_to(secret)
    shown = run("check", folder)
    assert "outside the folder" in " ".join((shown.stdout + shown.stderr).split())
    assert "swordfish" not in shown.stdout + shown.stderr
    asked = run("partner", folder, "--garment", "pullover", "--accessory", "hat-stranded-band")
    assert asked.exit_code == 2
    assert "--motif" in " ".join(asked.stderr.split())


def test_a_sheet_that_is_a_link_to_elsewhere_is_not_read(run, tmp_path: Path):
    (tmp_path / "secret").write_text("password,swordfish\n", encoding="utf-8")
    folder = tmp_path / "bin"
    folder.mkdir()
    (folder / "lots.csv").symlink_to(tmp_path / "secret")
    shown = run("check", folder)
    assert shown.exit_code == 2
    assert "link" in " ".join(shown.stderr.split())
    assert "swordfish" not in shown.stderr


@pytest.mark.parametrize("how", ["pipe", "device", "large"])
def test_files_that_are_no_files_are_told_at_once(how: str, demo: Path, tmp_path: Path):
    """As a sheet, a workbook, a motif, a photograph, an entry and a bin, with less room than reading them would take."""
    names = ("bin/lots.csv", "book.xlsx", "motif.txt", "photo.jpg", "own/accessories/a.toml", "store.sqlite")
    for name in names:
        file = tmp_path / name
        file.parent.mkdir(parents=True, exist_ok=True)
        if how == "pipe":
            os.mkfifo(file)
        elif how == "device":
            file.symlink_to("/dev/zero")
        else:
            with file.open("wb") as opened:
                opened.truncate(8 << 30)
    commands = [
        ("check", tmp_path / "bin"),
        ("check", tmp_path / "book.xlsx"),
        ("motif", tmp_path / "motif.txt"),
        ("photo", tmp_path / "photo.jpg"),
        ("suggest", demo, "--catalog", tmp_path / "own"),
        ("suggest", tmp_path / "store.sqlite"),
        ("weigh", "navy", "20", "--bin", tmp_path / "store.sqlite"),
    ]
    for words in [*commands, ("suggest",)]:
        own = {"MATCHER_BIN": str(tmp_path / "store.sqlite")} if words == ("suggest",) else {}
        ended = forked.run(*map(str, words), environment=own, before=lambda: forked.limit_memory(4))
        assert ended.code == 2, (words, ended.told)


TOML = {
    "digits": "a = " + "9" * 500_000,
    "brackets": "a = " + "[" * 500_000,
    "dots": ".".join(["a"] * 200_000) + " = 1",
}


@pytest.mark.parametrize("text", TOML.values(), ids=TOML)
def test_an_entry_that_explodes_is_refused(text: str, run, demo: Path, tmp_path: Path):
    folder = tmp_path / "own" / "accessories"
    folder.mkdir(parents=True)
    (folder / "mine.toml").write_text(text, encoding="utf-8")
    shown = run("suggest", demo, "--catalog", tmp_path / "own")
    assert shown.exit_code == 2
    assert "mine.toml" in " ".join(shown.stderr.split())


def test_reading_is_limited(tmp_path: Path):
    file = tmp_path / "a"
    file.write_bytes(b"12345")
    assert read_file(file, 5) == b"12345"
    with pytest.raises(OSError, match="too large"):
        read_file(file, 4)
