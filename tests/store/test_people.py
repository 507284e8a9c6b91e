"""People as a sheet has them, and in the store: read, refused, taken in, changed, undone, written out again."""

from __future__ import annotations

from pathlib import Path

import pytest

import matcher
from matcher.errors import BadCells, BadInput, BadSheets, NotFound
from matcher.knitting.bodies import parse_size
from matcher.materials.people import Person, parse_eyes
from matcher.materials.reading.numerals import Unclear
from matcher.materials.skin_words import heard_unsuited
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of
from matcher.store.sheets.read import reading_of

CATALOGUE = load_catalogue()
LOTS = "lot,grams,colour,class,fibre\nnavy,61,navy,3,wool\n"
PEOPLE = """name,size,head,hand (cm),avoid on skin,eyes,likes,dislikes,note
Ada,5 years,20 in,,wool; mohair,red-green colour blind,hats and blue,,"grows, fast"
my father,adult large,,21.5,,,,small,
"""


def bin_of(folder: Path, people: str = PEOPLE) -> Path:
    folder.mkdir(exist_ok=True)
    (folder / "lots.csv").write_text(LOTS, encoding="utf-8")
    (folder / "people.csv").write_text(people, encoding="utf-8")
    return folder


def test_people_are_read_from_a_sheet(tmp_path: Path):
    ada, father = matcher.read_bin(bin_of(tmp_path)).people.values()
    wool = ("wool", "superwash wool", "merino", "lambswool")
    assert ada == Person(
        "Ada", "5 years", {"head": 50.8}, (*wool, "mohair"), "red-green", ("hats", "blue"), (), "grows, fast"
    )
    assert (father.size, father.measures, father.eyes, father.dislikes) == (
        "adult large",
        {"hand": 21.5},
        "ordinary",
        ("small",),
    )


def test_a_workbook_has_them_too(tmp_path: Path):
    people = matcher.read_bin(bin_of(tmp_path / "bin")).people
    for name in ("book.xlsx", "book.ods"):
        matcher.export(tmp_path / name, tmp_path / "bin")
        assert matcher.read_bin(tmp_path / name).people == people


@pytest.mark.parametrize("heading", ["Baby", "Friend", "First name"])
def test_whoever_the_people_are_their_skin_is_read(tmp_path: Path, heading: str):
    folder = bin_of(tmp_path, "")
    (folder / "people.csv").rename(folder / "family.csv")
    (folder / "family.csv").write_text(f"{heading},Age (months),Allergic to\nLily,8,mohair\n", encoding="utf-8")
    (folder / "garments.csv").write_text("garment,status\naran,worn\n", encoding="utf-8")
    assert matcher.read_bin(folder).people["Lily"].unsuited == ("mohair",)


def test_a_list_of_skins_that_names_nobody_is_told(tmp_path: Path):
    (tmp_path / "lots.csv").write_text(LOTS, encoding="utf-8")
    (tmp_path / "cousins.csv").write_text("Bairn,Size,Allergic to\nLily,M,wool\n", encoding="utf-8")
    said = [str(one) for one in matcher.read_bin(tmp_path).notes]
    assert any("cousins.csv was left alone" in one and "skin" in one for one in said)


@pytest.mark.parametrize(("note", "told"), [("allergic to wool, size M", True), ("likes long walks", False)])
def test_a_note_that_tells_of_skin_is_to_be_looked_at(tmp_path: Path, note: str, told: bool):
    reading = reading_of(bin_of(tmp_path, f'Name,Size,Notes\nAda,M,"{note}"\n'), CATALOGUE)
    assert any(one.column == "note" and not one.sure for one in reading.understood.cells) == told


def test_what_two_columns_list_is_of_both(tmp_path: Path):
    rows = "Name,No wool,Allergies,Itchy fibres\nAda,yes,mohair,angora\nBea,no,,alpaca\nCal,no,none,\nDot,,nylon,-\n"
    people = matcher.read_bin(bin_of(tmp_path, rows)).people
    assert set(people["Ada"].unsuited) == {*WOOL, "mohair", "angora"}
    assert (people["Bea"].unsuited, people["Cal"].unsuited, people["Dot"].unsuited) == (("alpaca",), (), ("nylon",))


def test_a_cross_beside_ticks_bars_a_fibre(tmp_path: Path):
    people = matcher.read_bin(bin_of(tmp_path, "Name,No wool\nAda,x\nBea,yes\nCal,no\n")).people
    assert (people["Ada"].unsuited, people["Cal"].unsuited) == (people["Bea"].unsuited, ())


def test_a_bin_without_them_has_none(tmp_path: Path):
    (tmp_path / "lots.csv").write_text(LOTS, encoding="utf-8")
    assert matcher.read_bin(tmp_path).people == {}
    assert sorted(one.name for one in matcher.export(tmp_path / "out", tmp_path).written) == [
        "garments.csv",
        "lots.csv",
    ]


@pytest.mark.parametrize(
    ("cell", "size", "taken"),
    [
        ("adult medium", "adult medium", ""),
        ("Adult M", "adult medium", "adult medium"),
        ("child", "5 years", "5 years"),
        ("4 yrs", "5 years", "5 years, the nearest size"),
        ("age 7", "8 years", "8 years, the nearest size"),
        ("4 months old", "6 months", "6 months, the nearest size"),
        ("12-year-old", "13 years", "13 years, the nearest size"),
        ("1 year", "2 years", "2 years, the nearest size"),
        ("3 months", "6 months", "6 months, the nearest size"),
        ("6m", "6 months", "6 months, the nearest size"),
        ("10 weeks", "1 month", "1 month, the nearest size"),
        ("3-6 months", "6 months", "6 months, the nearest size"),
        ("12-18 months", "2 years", "2 years, the nearest size"),
        ("5-6 years", "5 years", "5 years, the nearest size"),
        ("Men's L", "adult large", "adult large"),
        ("women's small", "adult small", "adult small"),
    ],
)
def test_a_size_may_be_a_word_or_an_age(cell: str, size: str, taken: str):
    heard = parse_size(cell, CATALOGUE.sizes)
    assert (heard.value, str(heard.taken)) == (size, taken)


@pytest.mark.parametrize(
    ("heading", "cell", "size"),
    [
        ("Age (months)", "8", "6 months"),
        ("Age in months", "1 year", "2 years"),
        ("How old?", "8", "8 years"),
        ("Age", "8 months", "6 months"),
        ("Age", "34", ""),
        ("Size", "34 years", ""),
        ("Size", "size M", "adult medium"),
    ],
)
def test_a_heading_says_in_what_an_age_is_counted(tmp_path: Path, heading: str, cell: str, size: str):
    people = matcher.read_bin(bin_of(tmp_path, f"Name,{heading},Likes\nAda,{cell},hats\n")).people
    assert people["Ada"].size == size


@pytest.mark.parametrize(
    ("heading", "cell", "body", "cm"),
    [
        ("Foot circumference", "23", "foot", 23.0),
        ("Foot in inches", "9", "foot", 22.86),
        ("Feet", "9", "foot", 9.0),
        ("Hand", "7.5", "hand", 19.05),
        ("Head", "22½", "head", 57.15),
        ("Head", "22-23 in", "head", 57.15),
        ("Head", "about 56", "head", 56.0),
    ],
)
def test_what_is_measured_round_somebody(tmp_path: Path, heading: str, cell: str, body: str, cm: float):
    people = matcher.read_bin(bin_of(tmp_path, f"Who,{heading},Age\nAda,{cell},\n")).people
    assert people["Ada"].measures == {body: pytest.approx(cm)}


@pytest.mark.parametrize("heading", ["Foot length", "Hand length", "Head to toe", "Shoe size"])
def test_what_is_not_measured_round_a_body_is_left_out(tmp_path: Path, heading: str):
    people = matcher.read_bin(bin_of(tmp_path, f"Who,{heading},Age\nAda,19,8\n")).people
    assert people["Ada"].measures == {}


def test_a_bare_number_is_a_guess():
    assert not parse_size("7", CATALOGUE.sizes).sure


@pytest.mark.parametrize(
    ("cell", "whose"),
    [
        ("red", "red"),
        ("deutan", "green"),
        ("Red-Green", "red-green"),
        ("red-green colour blindness", "red-green"),
        ("colour-blind", "any"),
        ("normal", "ordinary"),
        ("?", "ordinary"),
        ("blue-yellow", "blue"),
        ("red/green colourblind", "red-green"),
        ("blue eyes", "ordinary"),
        ("hazel", "ordinary"),
        ("wears glasses", "ordinary"),
    ],
)
def test_eyes(cell: str, whose: str):
    assert parse_eyes(cell).value == whose


def test_a_word_may_stand_for_several_fibres():
    unsuited = heard_unsuited("animal fibres; nylon", CATALOGUE.fibres, CATALOGUE.fibre_groups).value
    assert set(unsuited) == {one.name for one in CATALOGUE.fibres if one.animal} | {"nylon"}
    with pytest.raises(Unclear, match="mohair"):
        heard_unsuited("mohar", CATALOGUE.fibres, CATALOGUE.fibre_groups)


WOOL = ("wool", "superwash wool", "merino", "lambswool")
ANIMAL = tuple(one.name for one in CATALOGUE.fibres if one.animal)


@pytest.mark.parametrize(
    ("cell", "unsuited", "sure"),
    [
        ("no wool pls", WOOL, True),
        ("wool (itchy)", WOOL, True),
        ("can't wear mohair", ("mohair",), True),
        ("mohair angora", ("mohair", "angora"), True),
        ("wool/mohair", (*WOOL, "mohair"), True),
        ("mohair?", ("mohair",), False),
        ("acrylic makes her sweat", ("acrylic",), False),
        ("wool ok, mohair not", ("mohair",), False),
        ("wool except merino", ("wool", "superwash wool", "lambswool"), False),
        ("superwash ok but not wool", ("wool", "merino", "lambswool"), False),
        ("everything ok except wool", WOOL, True),
        ("wool is ok but itchy", WOOL, False),
        ("wool isn't ok", WOOL, True),
        ("itchy", ANIMAL, False),
        ("sensitive, merino ok", tuple(one for one in ANIMAL if one != "merino"), False),
        ("vegan", ANIMAL, True),
        ("wool is all right", (), False),
        ("none", (), True),
        ("no allergies", (), True),
        ("wool is fine", (), False),
    ],
)
def test_what_a_skin_does_not_bear_in_her_words(cell: str, unsuited: tuple[str, ...], sure: bool):
    heard = heard_unsuited(cell, CATALOGUE.fibres, CATALOGUE.fibre_groups)
    assert (set(heard.value), heard.sure) == (set(unsuited), sure)


@pytest.mark.parametrize(
    "cell",
    [
        *("only cotton", "can wear cotton", "mohair angorra", "wool, latex", "wool ok in winter"),
        *("anything but wool", "anything but wool is fine", "everything except cotton", "prefers cotton"),
    ],
)
def test_what_may_leave_a_fibre_out_is_refused(cell: str):
    with pytest.raises(Unclear):
        heard_unsuited(cell, CATALOGUE.fibres, CATALOGUE.fibre_groups)


@pytest.mark.parametrize(
    ("heading", "cell", "unsuited"),
    [
        ("Fibres to avoid", "wool", WOOL),
        ("itch", "wool", WOOL),
        ("no wool", "x", WOOL),
        ("allergic to wool", "no", ()),
        ("vegan", "yes", ANIMAL),
        ("sensitive skin", "yes", ANIMAL),
    ],
)
def test_headings_that_tell_of_skin(tmp_path: Path, heading: str, cell: str, unsuited: tuple[str, ...]):
    people = matcher.read_bin(bin_of(tmp_path, f"name,{heading}\nAda,{cell}\n")).people
    assert set(people["Ada"].unsuited) == set(unsuited)


@pytest.mark.parametrize(
    ("likes", "dislikes", "liked", "against"),
    [
        ("hats; blue", "pink", ("hats", "blue"), ("pink",)),
        ("blues and greens, not yellow", "", ("blues", "greens"), ("yellow",)),
        ("blue (not navy or teal), hats", "", ("blue", "hats"), ("navy", "teal")),
        ("hates pink", "", (), ("pink",)),
        ("anything but pink", "", (), ("pink",)),
        ("cotton; nothing fluffy", "no wool", ("cotton",), ("fluffy", "wool")),
        ("", "anything but blue", ("blue",), ()),
        ("none", "nothing", (), ()),
    ],
)
def test_what_is_said_against_among_likes(
    tmp_path: Path, likes: str, dislikes: str, liked: tuple[str, ...], against: tuple[str, ...]
):
    people = matcher.read_bin(bin_of(tmp_path, f'name,likes,dislikes\nAda,"{likes}","{dislikes}"\n')).people
    assert (people["Ada"].likes, people["Ada"].dislikes) == (liked, against)


def test_every_sheeps_wool_counts_as_wool():
    """Whatever fibre is called wool without another animal's name."""
    (wool,) = (group for group in CATALOGUE.fibre_groups if group.name == "wool")
    called = {one.name for one in CATALOGUE.fibres if one.name.endswith("wool") or one.name == "merino"}
    assert called <= set(wool.fibres)


BAD = [
    ("name,size\nAda,gigantic\n", ("size", "gigantic", "adult medium")),
    ("name,size\nAda,34\n", ("size", "somebody grown", "adult small")),
    ("name,head\nAda,5\n", ("2 head:", "30 cm", "70 cm")),
    ("name,head\nAda,big\n", ("2 head:", "big")),
    ("name,avoid on skin\nAda,mohar\n", ("avoid_on_skin", "mohair")),
    ("name,eyes\nAda,gren\n", ("eyes", "green")),
    ("name,size\nAda,\nada,\n", ("a name of its own", "row 2")),
    ("name,size\n,5 years\n", ("person", "a name for the person")),
    ("size,eyes\n5 years,red\n", ("person", "add the column")),
]


@pytest.mark.parametrize(("people", "words"), BAD)
def test_what_cannot_be_read_is_one_report(tmp_path: Path, people: str, words: tuple[str, ...]):
    with pytest.raises(BadSheets) as caught:
        matcher.read_bin(bin_of(tmp_path, people))
    said = str(caught.value)
    assert "people.csv" in said
    for word in words:
        assert word in said


def test_a_sheet_goes_into_the_store_and_out_again(tmp_path: Path):
    store = tmp_path / "bin.sqlite"
    source = bin_of(tmp_path / "in")
    people = matcher.read_bin(source).people
    taken = matcher.intake(source, bin=store)
    assert [one.name for one in taken.compared.added if one.sheet == "people"] == ["Ada", "my father"]
    assert matcher.read_bin(store).people == people
    matcher.export(tmp_path / "out", store)
    assert matcher.read_bin(tmp_path / "out").people == people
    again = matcher.intake(tmp_path / "out", bin=store)
    assert not again.compared.added
    assert not again.compared.changed
    assert matcher.verify(bin=store).ok
    matcher.undo(bin=store)
    with open_store(store) as opened:
        assert opened.people() == []
        assert faults_of(opened) == ()


def test_a_row_that_differs_is_asked_about_and_a_bad_one_refused(tmp_path: Path):
    store = tmp_path / "bin.sqlite"
    matcher.intake(bin_of(tmp_path / "in"), bin=store)
    bin_of(tmp_path / "in", "name,size\nAda,8 years\nBea,gigantic\n")
    with pytest.raises(BadSheets, match="gigantic"):
        matcher.intake(tmp_path / "in", bin=store)
    found = matcher.intake(
        tmp_path / "in", bin=store, take="file", refused=tmp_path / "refused", good_rows=True
    ).compared
    assert [(one.name, [(cell.column, cell.new) for cell in one.changes]) for one in found.changed] == [
        ("Ada", [("size", "8 years")])
    ]
    assert [(one.sheet, one.row) for one in found.refused] == [("people", 3)]
    assert "gigantic" in (tmp_path / "refused" / "people.csv").read_text(encoding="utf-8")
    assert matcher.read_bin(store).people["Ada"].size == "8 years"
    assert found.left["people"] == ("my father",)


def test_a_person_by_command(tmp_path: Path):
    store = tmp_path / "bin.sqlite"
    said = " ".join(map(str, matcher.person("Ada", {"size": "child", "eyes": "red"}, bin=store).said))
    assert "Ada: size child; eyes red." in said
    assert matcher.person("ada", {"size": "8 years"}, bin=store).values["changed"] == {
        "size": {"before": "child", "after": "8 years"}
    }
    matcher.person("Ada", {"eyes": ""}, bin=store)
    with open_store(store) as opened:
        assert (opened.people()[0]["size"], opened.people()[0]["eyes"]) == ("8 years", "")
    assert "nothing" not in str(matcher.person("Ada", bin=store).said[0])
    matcher.undo(3, bin=store)
    with open_store(store) as opened:
        assert opened.people() == []


def test_a_person_by_command_is_told_how_odd_words_were_read(tmp_path: Path):
    store = tmp_path / "bin.sqlite"
    said = [str(one) for one in matcher.person("Ada", {"avoid_on_skin": "wool except merino"}, bin=store).said]
    assert any("wool, superwash wool and lambswool" in one for one in said)
    said = [str(one) for one in matcher.person("Ada", {"likes": "blue, not yellow"}, bin=store).said]
    assert any("not yellow" in one and "read as" in one for one in said)


def test_a_person_is_forgotten_and_comes_back(tmp_path: Path):
    store = tmp_path / "bin.sqlite"
    matcher.person("Ada", {"size": "5 years"}, bin=store)
    matcher.person("Ada", forget=True, bin=store)
    with pytest.raises(NotFound, match="Ada"):
        matcher.person("Ada", bin=store)
    matcher.undo(bin=store)
    assert matcher.person("Ada", bin=store).values["cells"] == {"size": "5 years"}


def test_what_makes_no_sense_of_a_person_is_refused(tmp_path: Path):
    store = tmp_path / "bin.sqlite"
    with pytest.raises(BadCells, match="gigantic"):
        matcher.person("Ada", {"size": "gigantic", "eyes": "gren"}, bin=store)
    assert not store.exists()
    with pytest.raises(BadInput, match="forget"):
        matcher.person("Ada", {"size": "5 years"}, forget=True, bin=store)
    matcher.person("Ada", {"size": "5 years"}, bin=store)
    with pytest.raises(NotFound) as caught:
        matcher.person("Adda", bin=store)
    assert "Ada" in caught.value.near


def test_a_name_spelled_much_like_another_is_asked_about(tmp_path: Path):
    store = tmp_path / "bin.sqlite"
    matcher.person("my father", {"size": "adult large"}, bin=store)
    said = matcher.person("my fathre", {"size": "adult large"}, bin=store).said
    assert any("my father exists" in str(one) for one in said)
