"""Wishes: kept, shown, undone; each the default of the option that asks for the like, and an option given wins."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from typer.main import get_command

import matcher
from matcher.cli.commands import app
from matcher.errors import BadInput
from matcher.materials.wishes import WISHES, StandingWishes, parse_pairs, wishes_of
from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of

LOTS = """lot,garment,role,grams,colour,class,fibre,yarn
navy,jumper,main,190,#1f3355,3,wool,plain
cream,jumper,contrast 1,90,#efe6d2,3,cotton,plain cotton
red,,,120,#b3262e,3,acrylic,
green,,,120,#3f7a48,3,cotton,
straw,,,120,#d9c27a,3,mohair,fluff
"""
GARMENTS = "garment,kind,status,wearer,chest_cm,motif\njumper,pullover,worn,,100,crosses\n"
PARTNER = {"garment": "jumper", "accessory": "hat-stranded-band", "mending": "little"}
COMMANDS = get_command(app).commands
WITH_UNITS = sorted(
    name for name, one in COMMANDS.items() if name != "wishes" and any(p.name == "units" for p in one.params)
)


@pytest.fixture
def store(tmp_path: Path) -> Path:
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "lots.csv").write_text(LOTS, encoding="utf-8")
    (tmp_path / "in" / "garments.csv").write_text(GARMENTS, encoding="utf-8")
    matcher.intake(tmp_path / "in", bin=tmp_path / "bin.sqlite")
    return tmp_path / "bin.sqlite"


def wish(store: Path, **wishes: str) -> None:
    matcher.wishes(wishes, bin=store)


# Kept


def test_wishes_are_kept_shown_changed_and_undone(store: Path):
    assert "no wishes" in str(matcher.wishes(bin=store).said[0])
    wish(
        store,
        units="mixed",
        never="yokes; egg cosy",
        apart="mohair + cotton",
        least_contrast="clear",
        eyes="deutan",
        mending="all",
    )
    shown = matcher.wishes(bin=store)
    assert tuple(shown.values["wishes"]) == tuple(sorted(WISHES))
    assert [str(one) for one in shown.said] == [
        "Units: mixed.",
        "Never wanted: yokes; egg cosy.",
        "Never in one piece: mohair + cotton.",
        "Least contrast: clear.",
        "Whose eyes count: deutan.",
        "Mending that yarn is kept for: all.",
    ]
    wish(store, units="imperial", eyes="")
    assert "eyes" not in matcher.wishes(bin=store).values["wishes"]
    matcher.undo(bin=store)
    assert matcher.wishes(bin=store).values == shown.values
    matcher.undo(bin=store)
    assert matcher.wishes(bin=store).values["wishes"] == {}
    with open_store(store) as opened:
        assert faults_of(opened) == ()


def test_a_wish_that_is_so_already_leaves_no_trace(store: Path):
    wish(store, units="mixed")
    assert "nothing was changed" in str(matcher.wishes({"units": "mixed"}, bin=store).said[0])
    matcher.undo(bin=store)
    assert matcher.wishes(bin=store).values["wishes"] == {}


def test_without_a_store_it_is_said_where_they_will_be_kept(tmp_path: Path):
    place = tmp_path / "new.sqlite"
    assert str(place) in str(matcher.wishes(bin=place).said[0])
    assert not place.exists()
    wish(place, units="mixed")
    assert matcher.wishes(bin=place).values["wishes"] == {"units": "mixed"}


def test_a_bin_in_sheets_says_where_wishes_are_kept(store: Path):
    assert "sheets, which hold no wishes" in str(matcher.wishes(bin=store.parent / "in").said[0])
    with pytest.raises(BadInput, match="not a store"):
        matcher.wishes({"units": "mixed"}, bin=store.parent / "in")


def test_they_are_in_the_export(store: Path, run_json):
    wish(store, units="mixed")
    assert run_json("export", "--bin", store)["wishes"] == [{"wish": "units", "wanted": "mixed"}]


def test_a_wish_that_no_command_could_go_by_is_told_by_verify(store: Path):
    wish(store, units="mixed")
    with closing(sqlite3.connect(store)) as db:
        db.execute("UPDATE wishes SET wanted = 'furlongs'")
        db.commit()
    assert any("furlongs" in str(one.what) for one in matcher.verify(bin=store).faults)


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"units": "furlongs"}, ("furlongs", "metric, imperial or mixed", "--units")),
        ({"units": "imperiel"}, ("did you mean imperial?",)),
        ({"never": "yokez"}, ("yokez", "did you mean yoke?", "--never")),
        ({"apart": "mohair"}, ("mohair", "two yarns", "--apart")),
        ({"least_contrast": "bold"}, ("bold", "clear, readable or quiet", "--least-contrast")),
        ({"eyes": "purple"}, ("purple", "--eyes")),
    ],
    ids=str,
)
def test_what_makes_no_sense_is_refused_in_one_message(asked: dict[str, str], words: tuple[str, ...], run, store: Path):
    typed = [word for name, text in asked.items() for word in (f"--{name.replace('_', '-')}", text)]
    shown = run("wishes", *typed, "--bin", store)
    assert shown.exit_code == 2
    for word in words:
        assert word in " ".join(shown.stderr.split())
    assert matcher.wishes(bin=store).values["wishes"] == {}


def test_a_yarn_that_is_not_there_is_remarked_on(store: Path):
    notes = matcher.wishes({"apart": "mohiar + cotton"}, bin=store).notes
    assert [str(one) for one in notes] == [
        'Nothing in the bin is called "mohiar", and no lot has such a fibre: the wish waits until there is.'
    ]


def test_pairs():
    assert parse_pairs("mohair + cotton; fog & navy\nred with green") == (
        ("mohair", "cotton"),
        ("fog", "navy"),
        ("red", "green"),
    )
    assert wishes_of({"units": "furlongs", "eyes": "red"}) == StandingWishes(eyes="red")


# Units, of every command that has them


@pytest.mark.parametrize("command", WITH_UNITS)
@pytest.mark.parametrize("wished", ["imperial", "mixed"])
def test_units_wished_are_the_default_of_every_command(command: str, wished: str, store: Path, monkeypatch):
    """What each command is given for the option, as typed without it."""
    wish(store, units=wished)
    monkeypatch.setenv("MATCHER_BIN", str(store))
    context = COMMANDS[command].make_context(command, [], resilient_parsing=True)
    assert context.params["units"].value == wished
    given = COMMANDS[command].make_context(command, ["--units", "metric"], resilient_parsing=True)
    assert given.params["units"].value == "metric"


@pytest.mark.parametrize(
    "typed",
    [
        ["reserve"],
        ["suggest", "--kind", "hat"],
        ["needs", "hat-plain", "--size", "adult medium", "--class", "3"],
        ["weigh", "navy", "180g"],
        ["partner", "--garment", "jumper", "--accessory", "hat-stranded-band"],
    ],
    ids=lambda typed: typed[0],
)
def test_lengths_and_weights_are_in_the_units_wished(typed: list[str], store: Path, run, monkeypatch):
    wish(store, units="imperial")
    monkeypatch.setenv("MATCHER_BIN", str(store))
    shown = run(*typed)
    assert shown.exit_code == 0, shown.output
    assert " yd" in shown.stdout or " oz" in shown.stdout
    assert " m " not in shown.stdout
    given = run(*typed, "--units", "metric")
    assert " yd" not in given.stdout
    assert " oz" not in given.stdout
    # She wished it: nothing is said of it.
    assert "wish" not in (shown.stdout + shown.stderr).lower()


def test_a_bin_in_sheets_has_no_wishes(store: Path, run, monkeypatch):
    wish(store, units="imperial", never="hats")
    monkeypatch.setenv("MATCHER_BIN", str(store))
    assert " yd" not in run("reserve", store.parent / "in").stdout
    assert " yd" in run("reserve", store).stdout
    assert any(one.kind == "hat" for one in matcher.suggest(store.parent / "in", kind="hat"))


# Eyes


def eyes_that_decided(store: Path, **asked: str) -> dict[str, tuple[str, ...]]:
    """Of each action that asks for eyes, whose decided."""
    from matcher.actions.desk import Desk

    desk = Desk(store)
    found = {"contrast": matcher.contrast("navy", "green", bin=store, **asked).eyes}
    for name, act in {
        "motif": lambda: matcher.motif("crosses", lots=["navy", "cream"], bin=desk, **asked),
        "palette": lambda: matcher.palette(desk, **asked),
        "suggest": lambda: matcher.suggest(desk, kind="hat", size="adult medium", **asked),
        "partner": lambda: matcher.partner(desk, **PARTNER, **asked),
    }.items():
        seen: list[tuple[str, ...]] = []
        real = Desk.seen_by

        def watched(self: Desk, eyes: str | None, real=real, seen=seen):
            catalogue = real(self, eyes)
            seen.append(catalogue.contrast.eyes)
            return catalogue

        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(Desk, "seen_by", watched)
            act()
        found[name] = seen[0]
    return found


def test_eyes_wished_decide_wherever_eyes_are_asked_for(store: Path):
    wish(store, eyes="red-green")
    found = eyes_that_decided(store)
    assert found.pop("contrast") == "red-green"
    assert set(found.values()) == {("protan", "deutan")}


def test_eyes_given_win(store: Path):
    wish(store, eyes="red-green")
    assert matcher.contrast("navy", "green", bin=store, eyes="ordinary").eyes == "ordinary"
    asked = {"top": 1000, "each": 3, "held_together": False, "varied": False}
    every = [matcher.suggest(store, eyes=eyes, **asked) for eyes in (None, "red-green", "ordinary")]
    marks = [[(one.accessory, one.size, round(one.score, 9)) for one in found] for found in every]
    assert marks[0] == marks[1]
    assert len(marks[2]) >= len(marks[0])
    assert marks[2] != marks[0]


# Least contrast


def test_the_least_contrast_wished_is_the_default(store: Path):
    wish(store, least_contrast="clear")
    assert matcher.contrast("navy", "cream", bin=store).least_contrast == "clear"
    assert matcher.contrast("navy", "cream", bin=store, least_contrast="quiet").least_contrast == "quiet"

    # Two colours that read, but not clearly.
    (store.parent / "lots.csv").write_text("lot,grams,colour,class\nnavy,150,#1f3355,3\nslate,150,#5a6f93,3\n", "utf-8")
    two = store.parent / "two.sqlite"
    matcher.intake(store.parent, bin=two)

    def in_colours(**asked: str) -> int:
        return sum(bool(one.contrasts) for one in matcher.suggest(two, top=100, held_together=False, **asked))

    assert in_colours() > 0
    wish(two, least_contrast="clear")
    assert in_colours() == 0
    assert in_colours(least_contrast="readable") > 0


# Kinds never wanted


def test_what_is_never_wanted_is_never_suggested(store: Path):
    wish(store, never="hats; egg cosy")
    found = matcher.suggest(store, top=100, held_together=False)
    assert len(found) > 0
    near = [one.suggestion for one in found.near_misses]
    assert all(one.kind != "hat" and one.accessory != "egg cosy" for one in (*found, *near))
    assert any(one.kind == "hat" for one in matcher.suggest(store, kind="hat", held_together=False))


# Yarns never to meet


def pairs_used(store: Path) -> set[frozenset[str]]:
    """Lots that meet in a piece: of hats and cowls in single strands, and of small hats also held together."""
    return {
        frozenset((a, b))
        for lot in ("red", "green", "straw")
        for narrowed in ({"held_together": False, "kind": ("hat", "cowl")}, {"kind": "hat", "size": "newborn"})
        for one in matcher.suggest(store, lot=lot, top=1000, each=3, varied=False, **narrowed)
        for a in {lot.name for role in one.roles for lot in role.lots}
        for b in {lot.name for role in one.roles for lot in role.lots}
        if a != b
    }


def test_yarns_that_must_not_meet_are_in_no_piece_together(store: Path):
    before = pairs_used(store)
    assert frozenset(("red", "cream")) in before
    assert frozenset(("navy", "straw")) in before
    wish(store, apart="acrylic + cotton; navy + fluff")
    after = pairs_used(store)
    assert not after & {frozenset(("red", "cream")), frozenset(("red", "green")), frozenset(("navy", "straw"))}
    assert after


def test_a_palette_and_a_partner_keep_them_apart_too(store: Path):
    def together(found) -> set[frozenset[str]]:
        return {frozenset(pool.name for pool in one.pools) for one in found.pairs}

    assert frozenset(("navy", "straw")) in together(matcher.palette(store))
    wish(store, apart="navy + mohair")
    assert frozenset(("navy", "straw")) not in together(matcher.palette(store))
    ways = matcher.partner(store, **PARTNER, recolour=True).recolourings
    assert all(not {"navy", "straw"} <= {pool.name for pool in way.pools} for way in ways)


def test_mending_wished_is_kept_for_where_nothing_is_asked(store: Path):
    def kept(**asked: str) -> float:
        return sum(group.reserve_m for group in matcher.reserve(store, **asked).groups)

    usual, everything, little = kept(), kept(mending="all"), kept(mending="little")
    assert little < usual < everything
    wish(store, mending="all")
    assert kept() == everything
    assert kept(mending="little") == little
    wish(store, mending="")
    assert kept() == usual
    with pytest.raises(BadInput):
        wish(store, mending="plenty")


def test_mending_wished_counts_on_the_command_line(store: Path, run_json):
    wish(store, mending="all")
    wished = run_json("reserve", store)
    assert wished == run_json("reserve", store, "--mending", "all")
    assert wished != run_json("reserve", store, "--mending", "usual")
