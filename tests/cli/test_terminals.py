"""Terminals as they are: whatever stdout can show, and wherever it leads, a command ends in words and with its own code."""

from __future__ import annotations

import json
import os
import re
import shutil
import signal
from collections.abc import Callable
from pathlib import Path

import forked
import pytest
from typer.testing import CliRunner

from matcher.actions.beginning.begin import begin
from matcher.actions.keeping.cells import change
from matcher.actions.keeping.intake import intake
from matcher.actions.keeping.lots import split
from matcher.cli.commands import app
from matcher.store.database.store import open_store

HARD = "Žluť ± … 毛 🧶"
# One run of each command; each starts from the same store. SHEETS and OUT stand for places.
RUNS = {
    "suggest": ["suggest"],
    "explain": ["suggest", "--kind", "hat", "--explain", "1"],
    "contrast": ["contrast", "navy", "cream"],
    "reserve": ["reserve"],
    "needs": ["needs", "hat-ribbed", "--size", "adult medium", "--class", "3"],
    "piece": ["piece", "--structure", "stocking", "--stitches", "110", "--height", "20", "--class", "3"],
    "partner": ["partner", "--garment", "pullover", "--accessory", "hat-stranded-band", "--motif", "crosses"],
    "motif": ["motif", "crosses", "--lots", "navy", "--lots", "cream"],
    "check": ["check", "SHEETS"],
    "intake": ["intake", "SHEETS"],
    "export": ["export", "OUT"],
    "add": ["add", f"new {HARD}", "--grams", "41", "--colour", "#2f6f66", "--tex", "300", "--place", HARD],
    "weigh": ["weigh", "navy", "61g"],
    "change": ["change", "navy", "--note", HARD],
    "split": ["split", "navy", "20g", "--as", f"split {HARD}"],
    "join": ["join", HARD, "half"],
    "move": ["move", "navy", HARD],
    "garment": ["garment", f"vest {HARD}", "worn"],
    "mended": ["mended", "pullover", "navy", "3m"],
    "begin": ["begin", "egg-cosy", "--lots", "cream", "--as", HARD],
    "finish": ["finish", "cosy", "--weigh", "rust=55g"],
    "abandon": ["abandon", "cosy"],
    "undo": ["undo"],
    "bare": [],
    "list": ["list"],
    "show": ["show", "navy"],
    "person": ["person", HARD, "--size", "adult small"],
    "wishes": ["wishes", "--never", "yokes"],
    "undo list": ["undo", "--list"],
    "verify": ["verify"],
    "triage": ["triage"],
    "tags": ["tags", "--out", "OUT.html"],
    "swatch": ["swatch", "cream", "--stitches", "20", "--rows", "26", "--grams", "3.2"],
    "calibration": ["calibration"],
    "lookalikes": ["lookalikes"],
    "whose": ["whose", "--colour", "navy"],
    "palette": ["palette"],
    "help": ["--help"],
    "help of one": ["suggest", "--help"],
    "version": ["--version"],
    "no such command": [f"frob {HARD}"],
    "no such lot": ["weigh", f"no {HARD}", "4"],
    "no such file": ["photo", f"no {HARD}.jpg"],
}


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with a bin in it, one lot of a name that few terminals can show, and a piece on the needles."""
    folder = tmp_path_factory.mktemp("begun")
    sheets = folder / "sheets"
    sheets.mkdir()
    lots = "lot,garment,yarn,colour,grams,ball_grams,ball_metres,fibre,wash,dye_lot,place\n"
    for name, colour in (("navy", "#1f2a4a"), ("cream", "#efe6d0"), ("rust", "#9c4a24"), ("fog", "#c3c6c8")):
        lots += f"{name},{'pullover' if name == 'navy' else ''},plain wool,{colour},90,50,125,wool,hand,8,blue box\n"
    (sheets / "lots.csv").write_text(lots, encoding="utf-8")
    (sheets / "garments.csv").write_text("garment,kind,status,chest_cm\npullover,pullover,worn,98\n", encoding="utf-8")
    store = folder / "bin.sqlite"
    intake(sheets, bin=store)
    change("fog", {"note": HARD}, name=HARD, bin=store)
    split(HARD, "20g", name="half", bin=store)
    begin("egg-cosy", ["rust"], name="cosy", bin=store)
    _load_all(store)
    return store


def _load_all(begun: Path) -> None:
    """Run every command once, so that the forks find all libraries loaded."""
    used = begun.with_name("used.sqlite")
    places = {
        "SHEETS": str(begun.parent / "sheets"),
        "OUT": str(begun.with_name("out")),
        "OUT.html": str(used) + ".html",
    }
    for arguments in RUNS.values():
        shutil.copy(begun, used)
        asked = [places.get(one, one) for one in arguments]
        CliRunner().invoke(app, asked, env={"MATCHER_BIN": str(used)})


@pytest.fixture
def run(begun: Path, tmp_path: Path) -> Callable[..., forked.Ended]:
    """A command on a store of its own that is as begun; `also` are further arguments."""

    def start(what: str, *also: str, **wishes: object) -> forked.Ended:
        store = tmp_path / "bin.sqlite"
        shutil.copy(begun, store)
        shutil.rmtree(tmp_path / "bin copies", ignore_errors=True)
        places = {
            "SHEETS": str(begun.parent / "sheets"),
            "OUT": str(tmp_path / "out"),
            "OUT.html": str(tmp_path / "t.html"),
        }
        arguments = [places.get(one, one) for one in RUNS[what]]
        return forked.run(*arguments, *also, environment={"MATCHER_BIN": str(store), "COLUMNS": "80"}, **wishes)

    return start


@pytest.fixture(scope="module")
def well() -> dict[str, forked.Ended]:
    """How commands end where all is well, as far as they were tried."""
    return {}


@pytest.fixture
def heard(well: dict[str, forked.Ended], run: Callable[..., forked.Ended]) -> Callable[[str], forked.Ended]:
    """A command on a terminal that can show everything: run once for all that is held to it."""
    return lambda what: well[what] if what in well else well.setdefault(what, run(what))


def in_words(ended: forked.Ended) -> None:
    """No traceback, and not the last net."""
    assert ended.code in (0, 1, 2), ended.told
    assert "Traceback" not in ended.told
    assert "Exception ignored" not in ended.told


def in_turn(what: str, several: tuple[str, ...]) -> str:
    """One of several, of which every third command or so meets the same; all that they print goes one way."""
    return several[list(RUNS).index(what) % len(several)]


@pytest.mark.parametrize("what", RUNS)
def test_a_terminal_that_cannot_show_everything(
    what: str, run: Callable[..., forked.Ended], heard: Callable[[str], forked.Ended]
):
    full = heard(what)
    in_words(full)
    for encoding in ("ascii", in_turn(what, ("latin-1", "cp1252", "cp437"))):
        ended = run(what, encoding=encoding)
        in_words(ended)
        assert ended.code == full.code
        ended.out.decode(encoding)
        ended.err.decode(encoding)
        assert bool(ended.out) == bool(full.out)


JSON = [what for what, run in RUNS.items() if run and run[0].isalpha() and not what.startswith(("no such", "help"))]


@pytest.mark.parametrize("what", JSON)
def test_json_loses_nothing_on_such_a_terminal(what: str, run: Callable[..., forked.Ended], tmp_path: Path):
    full, ended = run(what, "--json"), run(what, "--json", encoding="ascii")
    assert (full.code, ended.code) == (0, 0), full.told
    found, expected = json.loads(ended.out.decode("ascii")), json.loads(full.out.decode("utf-8"))
    for one in (found, expected):
        one.pop("copy", None)  # named by the time
    assert found == expected


@pytest.mark.parametrize("what", RUNS)
def test_a_stdout_that_takes_nothing(what: str, run: Callable[..., forked.Ended], heard: Callable[[str], forked.Ended]):
    """A full disk is said in a sentence; a reader that has gone, or nobody listening, needs none."""
    well = heard(what)
    for out in ("full", in_turn(what, ("closed", "gone"))):
        ended = run(what, out=out)
        in_words(ended)
        if out == "full" and well.out:
            assert ended.code == 2
            assert "the answer can't be written (No space left on device)" in ended.words
        elif well.out:
            assert ended.code == 0
            # A slow run tells its progress, which leaves an empty line.
            told, before = (set(re.sub(r"\d", "", one.told).splitlines()) for one in (ended, well))
            assert told - {""} <= before
        else:
            assert ended.code == well.code


def test_what_was_done_is_said_although_the_answer_cannot_be(run: Callable[..., forked.Ended], tmp_path: Path):
    ended = run("weigh", out="full")
    assert "changed and whole: " in ended.words
    assert ended.unbroken.endswith(f"changedandwhole:{tmp_path / 'bin.sqlite'}")
    with open_store(tmp_path / "bin.sqlite") as store:
        assert store.row("lots", "navy")["grams"] == "61g"
    assert "nothing was changed" in run("suggest", out="full").words


def test_a_stderr_that_takes_nothing(run: Callable[..., forked.Ended]):
    def fill() -> None:
        os.dup2(os.open("/dev/full", os.O_WRONLY), 2)

    heard = run("no such lot", before=fill)
    assert (heard.code, heard.out) == (2, b"")
    assert run("suggest", before=fill).code == 0


@pytest.mark.parametrize("what", ["suggest", "intake", "weigh", "add"])
def test_nothing_to_read_from(what: str, run: Callable[..., forked.Ended]):
    ended = run(what, stdin="closed")
    in_words(ended)
    assert ended.code == 0


@pytest.mark.parametrize("what", RUNS)
def test_no_home(what: str, run: Callable[..., forked.Ended]):
    """The system's list of people does not know her either, so that nothing tells where her things would lie."""

    def nobody() -> None:
        import pwd

        def unknown(_: object) -> None:
            raise KeyError

        pwd.getpwuid = pwd.getpwnam = unknown

    wishes = {"without": ("HOME", "XDG_DATA_HOME", "MATCHER_BIN"), "before": nobody}
    ended = run(what, **wishes)
    in_words(ended)
    if what in ("weigh", "verify"):
        assert "your home folder isn't known" in ended.words


# Places that a command is given, PLACE in them.
GIVEN = [
    *(["suggest", "PLACE"], ["check", "PLACE"], ["intake", "PLACE"], ["motif", "PLACE"], ["photo", "PLACE"]),
    *(["suggest", "--catalog", "PLACE"], ["verify", "--bin", "PLACE"], ["export", "PLACE"], ["weigh", "PLACE", "4"]),
    *(
        ["motif", "crosses", "--svg", "PLACE.svg"],
        ["motif", "crosses", "--grid", "PLACE.txt"],
        ["tags", "--out", "PLACE.html"],
    ),
    *(["calibration", "--svg", "PLACE.svg"], ["palette", "--svg", "PLACE.svg"], ["contrast", "PLACE", "navy"]),
    *(["partner", "--garment", "pullover", "--accessory", "egg-cosy", "--out", "PLACE"], ["frob", "PLACE"]),
    *(["add", "PLACE", "--grams", "41", "--colour", "red", "--tex", "300"], ["suggest", "--garment", "PLACE"]),
    *(
        ["add", "x", "--bin", "PLACE.sqlite", "--grams", "41", "--colour", "red", "--tex", "300"],
        ["suggest", "--units", "PLACE"],
    ),
]


ODD = ("~nosuchuser/x", "n" * 300, os.fsdecode(b"a\xff\xfeb"), "\x1b[31mred", "\u202eder")


# By day each meets two of them; each of the odd ones is met by two commands in five.
@pytest.mark.parametrize(
    ("arguments", "place"),
    [
        pytest.param(given, odd, marks=() if (number + place) % 5 < 2 else pytest.mark.long)
        for number, given in enumerate(GIVEN)
        for place, odd in enumerate(ODD)
    ],
)
def test_places_and_names_that_are_odd(arguments: list[str], place: str, begun: Path, tmp_path: Path):
    shutil.copy(begun, tmp_path / "bin.sqlite")
    given = [one.replace("PLACE", place) for one in arguments]
    ended = forked.run(*given, environment={"MATCHER_BIN": str(tmp_path / "bin.sqlite")}, folder=tmp_path)
    in_words(ended)
    assert b"\x1b" not in ended.out + ended.err
    assert "\u202e" not in ended.out.decode("utf-8") + ended.told
    assert ended.told.count("matcher:") <= 1


@pytest.mark.parametrize("arguments", GIVEN, ids=" ".join)
def test_a_working_folder_that_is_gone(arguments: list[str], begun: Path, tmp_path: Path):
    gone = tmp_path / "gone"
    gone.mkdir()
    shutil.copy(begun, tmp_path / "bin.sqlite")
    given = [one.replace("PLACE", "x") for one in arguments]
    ended = forked.run(
        *given, environment={"MATCHER_BIN": str(tmp_path / "bin.sqlite")}, folder=gone, before=gone.rmdir
    )
    in_words(ended)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can become somebody else")
@pytest.mark.parametrize("arguments", GIVEN, ids=" ".join)
def test_a_folder_that_she_may_not_look_into(arguments: list[str], begun: Path, tmp_path: Path):
    closed = tmp_path / "closed"
    closed.mkdir(mode=0o700)
    given = [one.replace("PLACE", str(closed / "x")) for one in arguments]

    def somebody() -> None:
        os.setgroups([])
        os.setgid(65534)
        os.setuid(65534)

    in_words(forked.run(*given, before=somebody))


def test_ctrl_c_while_a_question_is_open_or_work_is_done(run: Callable[..., forked.Ended], tmp_path: Path):
    """At many moments, early and late; what is under way is taken back, and one sentence says so."""
    stopped = 0
    for place, what in enumerate([*RUNS, *RUNS]):

        def soon(after: float = 0.002 * (1 + place % 19) ** 1.6) -> None:
            def press(*_: object) -> None:
                if signal.getsignal(signal.SIGINT) is signal.default_int_handler:  # the program has not begun
                    signal.setitimer(signal.ITIMER_REAL, 0.001)
                else:
                    os.kill(os.getpid(), signal.SIGINT)

            signal.signal(signal.SIGINT, signal.default_int_handler)
            signal.signal(signal.SIGALRM, press)
            signal.setitimer(signal.ITIMER_REAL, after)

        ended = run(what, before=soon)
        in_words(ended)
        if "stopped" in ended.told:
            stopped += 1
            assert ended.code == 2
            (sentence,) = [line for line in ended.told.splitlines() if line.startswith("matcher:")]
            assert sentence.startswith("matcher: stopped;")
        with open_store(tmp_path / "bin.sqlite") as store:
            assert store.select("PRAGMA integrity_check") == [{"integrity_check": "ok"}]
    assert stopped > len(RUNS) // 3
