"""Why something is not suggested: the rule, the figure and what was asked, one small bin for each; and ways into the list."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from matcher.actions.desk import Desk
from matcher.actions.ranking.answer import Answer
from matcher.actions.ranking.suggest import suggest
from matcher.actions.ranking.why_not import why
from matcher.errors import BadInput, NotFound
from matcher.materials.lots import Bin, Decision
from matcher.materials.people import Person
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import bin_from_sheets

CATALOGUE = load_catalogue()
HEAD = "lot,grams,colour,ball_grams,ball_metres,yarn,fibre,dye_lot,reserve\n"
MOSS = "moss,100,#6b7f4a,50,125,plain wool,wool,1,"
NAVY = "navy,100,#1f2a4a,50,125,plain wool,wool,2,"
CREAM = "cream,100,#efe6d0,50,125,plain wool,wool,3,"


def bin_of(folder: Path, *rows: str) -> Bin:
    (folder / "lots.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    return bin_from_sheets(folder, CATALOGUE)


def with_lot(bin: Bin, name: str, **changed: Any) -> Bin:
    return replace(bin, lots=tuple(replace(one, **changed) if one.name == name else one for one in bin.lots))


def desk_of(bin: Bin, *keys: str) -> Desk:
    """With no more than these accessories in the catalogue, so that its list is quickly made."""
    return Desk(bin, replace(CATALOGUE, accessories={key: CATALOGUE.accessories[key] for key in keys}))


def asked(bin: Bin | Desk, accessory: str, **more: Any) -> Answer:
    return why(bin if isinstance(bin, Desk) else desk_of(bin, accessory, "hat-striped"), accessory=accessory, **more)


def rules(answer: Answer) -> list[str]:
    assert answer.verdict == "not possible"
    return [one.rule for one in answer.because]


def changes(answer: Answer) -> dict[str, dict[str, Any]]:
    """Ways of one step, by what is changed."""
    return {
        way["steps"][0]["change"]: way["steps"][0] for way in answer.as_dict()["least_change"] if len(way["steps"]) == 1
    }


def test_a_lot_that_is_all_kept_for_mending(tmp_path: Path):
    answer = asked(bin_of(tmp_path, f"{MOSS}400", NAVY), "hat-plain", lot="moss")
    assert rules(answer) == ["reserve"]
    assert changes(answer)["reserve"]["lot"] == "moss"
    assert str(answer.because[0].figure) == "250 m"


def test_a_lot_that_she_decided_to_keep(tmp_path: Path):
    bin = bin_of(tmp_path, MOSS, NAVY)
    answer = asked(
        replace(bin, decisions={"moss": Decision("keep with the garment", "2026-11-01")}), "hat-plain", lot="moss"
    )
    assert rules(answer) == ["decision"]
    assert list(changes(answer)) == ["decision"]


def test_a_lot_that_is_on_the_needles(tmp_path: Path):
    answer = asked(with_lot(bin_of(tmp_path, MOSS, NAVY), "moss", claimed_m=250.0), "hat-plain", lot="moss")
    assert rules(answer) == ["claim"]
    assert changes(answer)["claim"]["metres"] == 250.0


def test_a_lot_that_is_too_thick_and_one_that_is_too_fine(tmp_path: Path):
    bin = bin_of(tmp_path, "rope,400,#6b7f4a,100,60,rope,wool,1,", "thread,50,#6b7f4a,50,700,thread,wool,2,")
    thick = asked(bin, "socks-ankle", lot="rope")
    assert rules(thick) == ["thickness"]
    assert str(thick.because[0].figure) == "1667 tex"
    assert rules(asked(bin, "cowl-ribbed", lot="thread", held_together=False)) == ["thickness"]


def test_a_lot_that_is_too_short_for_any_part(tmp_path: Path):
    answer = asked(bin_of(tmp_path, MOSS, "end,4,#efe6d0,50,125,plain wool,wool,9,"), "hat-plain", lot="end")
    assert rules(answer) == ["yarn"]
    assert changes(answer)["more yarn"]["lot"] == "end"


def test_a_fibre_that_its_wearer_does_not_bear(tmp_path: Path):
    bin = bin_of(tmp_path, "cloud,100,#6b7f4a,50,125,cloud,mohair,1,", NAVY)
    bin = replace(bin, people={"Ada": Person("Ada", "adult small", unsuited=("mohair",))})
    answer = asked(bin, "hat-plain", lot="cloud")
    assert rules(answer) == ["skin"]
    assert "Ada" in str(answer.because[0].said)
    assert changes(answer)["size"]["to"] == "adult small"
    assert asked(bin, "egg-cosy", lot="cloud").verdict != "not possible"
    assert rules(asked(replace(bin, lots=bin.lots[:1]), "hat-plain")) == ["people"]


def test_a_dislike_of_things_and_one_of_colours(tmp_path: Path):
    bin = bin_of(tmp_path, MOSS, NAVY)
    no_hats = replace(bin, people={"Ada": Person("Ada", "adult small", dislikes=("hats",))})
    assert rules(asked(no_hats, "hat-plain")) == ["dislike"]
    assert changes(asked(no_hats, "hat-plain"))["size"]["to"] == "adult small"
    no_blue = replace(bin, people={"Ada": Person("Ada", "adult small", dislikes=("blue",))})
    assert rules(asked(no_blue, "hat-plain", lot="navy")) == ["dislike"]
    only_stripes = replace(bin, people={"Ada": Person("Ada", "adult small", likes=("hat-striped",))})
    assert rules(asked(only_stripes, "hat-plain")) == ["like"]


def test_a_size_that_it_does_not_come_in(tmp_path: Path):
    answer = asked(bin_of(tmp_path, MOSS, NAVY), "hat-baby", size="adult large")
    assert rules(answer) == ["size"]
    assert changes(answer)["size"]["to"] in CATALOGUE.accessories["hat-baby"].sizes
    assert rules(asked(bin_of(tmp_path, MOSS), "hat-baby")) == ["size"], "it is looked for in the sizes of adults"


def test_a_thing_that_she_never_wants(tmp_path: Path):
    desk = desk_of(bin_of(tmp_path, MOSS, NAVY), "hat-plain", "mittens")
    answer = asked(desk.with_(wishes=replace(desk.wishes, never=("hats",))), "hat-plain")
    assert rules(answer) == ["wish", "size"] or rules(answer) == ["wish"]
    assert changes(answer)["kind"]["to"] == "hat"


def test_yarns_that_she_keeps_apart(tmp_path: Path):
    desk = desk_of(bin_of(tmp_path, NAVY, CREAM), "hat-stranded-band")
    assert asked(desk, "hat-stranded-band").verdict != "not possible"
    answer = asked(desk.with_(wishes=replace(desk.wishes, apart=(("navy", "cream"),))), "hat-stranded-band")
    assert rules(answer) == ["together", "wish"]
    assert list(changes(answer)) == ["apart"]


def test_colours_that_read_too_little(tmp_path: Path):
    rows = ("fog,200,#c3c6c8,50,125,plain wool,wool,1,", "pearl,200,#aeb1b3,50,125,plain wool,wool,2,")
    answer = asked(bin_of(tmp_path, *rows), "hat-stranded-band", least_contrast="readable")
    assert rules(answer) == ["contrast"]
    assert (str(answer.because[0].figure), str(answer.because[0].asked)) == ("quiet", "readable")
    assert changes(answer)["contrast"]["to"] == "quiet"


def test_eyes_that_decide(tmp_path: Path):
    rows = ("green,200,#4f7a3a,50,125,plain wool,wool,1,", "red,200,#b0503c,50,125,plain wool,wool,2,")
    desk = desk_of(bin_of(tmp_path, *rows), "hat-stranded-band")
    seen = {eyes: asked(desk, "hat-stranded-band", eyes=eyes) for eyes in ("ordinary", "red-green")}
    assert seen["ordinary"].verdict != "not possible"
    assert rules(seen["red-green"]) == ["contrast"]
    assert "eyes" in changes(seen["red-green"])


def test_where_two_lots_are_short_both_are_named_and_neither_could_be_less(tmp_path: Path):
    rest = {"navy": "#1f2a4a,50,125,plain wool,wool,2,", "cream": "#efe6d0,50,125,plain wool,wool,3,"}

    def with_more(navy: float, cream: float) -> Answer:
        rows = (f"navy,{5 + navy},{rest['navy']}", f"cream,{3 + cream},{rest['cream']}")
        return asked(bin_of(tmp_path, *rows), "hat-stranded-all-over")

    answer = with_more(0, 0)
    assert set(rules(answer)) == {"yarn"}
    (steps,) = [way["steps"] for way in answer.as_dict()["least_change"]]
    grams = {step["lot"]: step["grams"] for step in steps}
    assert set(grams) == {"navy", "cream"}
    assert with_more(**grams).verdict != "not possible"
    for lot in grams:
        assert with_more(**{**grams, lot: grams[lot] - 1}).verdict == "not possible"


def test_a_bin_of_which_nothing_is_free(tmp_path: Path):
    answer = asked(bin_of(tmp_path, f"{MOSS}400"), "hat-plain")
    assert rules(answer) == ["yarn"]
    assert str(answer.because[0].said) == "nothing in this bin is free"
    assert "reserve" in changes(answer)


# In the list or below it ------------------------------------------------------------------------------------


@pytest.mark.long  # the list of the demo is asked for again for every way into it
def test_the_place_is_that_of_suggest_and_each_way_leads_into_its_list():
    """The demo: what is said to bring a thing into the list is asked of `suggest`."""
    desk = Desk("demo")
    shown = suggest(desk)
    first, last = shown.suggestions[0], shown.suggestions[-1]
    here = asked(desk, first.found.variant.accessory.key)
    assert (here.verdict, here.place, here.length) == ("in the list", 1, len(shown))
    assert here.beside is not None
    assert here.because
    rust = asked(desk, first.found.variant.accessory.key, lot="rust")
    assert rust.verdict == "not first"
    assert rust.because[0].rule == "once"
    for way in rust.as_dict()["least_change"]:
        assert way["lets_in"] == "in the list"
        _leads(desk, rust, way)
    ribbed = asked(desk, "hat-ribbed")
    assert ribbed.verdict == "not first"
    assert ribbed.suggestion is not None
    assert ribbed.suggestion.score < last.score
    for way in ribbed.as_dict()["least_change"]:
        _leads(desk, ribbed, way)


def _leads(desk: Desk, answer: Answer, way: dict[str, Any]) -> None:
    (step,) = way["steps"]
    key, lots, kind = answer.accessory.key, answer.lot or (), answer.accessory.kind
    if step["change"] == "kind":
        found = suggest(desk, kind=kind, lot=lots)
    elif step["change"] == "all of a kind":
        found = suggest(desk, kind=kind, lot=lots, varied=False, top=60)
    elif step["change"] == "longer list":
        assert key not in {one.found.variant.accessory.key for one in suggest(desk, top=step["to"] - 1)}
        found = suggest(desk, top=step["to"])
    else:
        assert step["change"] == "lot away"
        kept = {**desk.bin.decisions, step["lot"]: Decision("keep with the garment", "2026-11-01")}
        found = suggest(desk.with_(bin=replace(desk.bin, decisions=kept)))
    assert any(
        one.found.variant.accessory.key == key
        and (not answer.lot or any(lot.name == answer.lot for role in one.roles for lot in role.lots))
        for one in found
    ), step


def test_a_longer_list_holds_it_from_the_length_that_is_said(tmp_path: Path):
    few = ("hat-plain", "mittens", "cowl-ribbed", "headband", "hat-striped", "boot-cuffs")
    desk = desk_of(bin_of(tmp_path, MOSS, NAVY, CREAM), *few)
    names = [one.found.variant.accessory.key for one in suggest(desk)]
    answer = asked(desk, names[4], top=3)
    assert (answer.verdict, answer.length) == ("not first", 3)
    assert changes(answer)["longer list"]["to"] == 5
    assert asked(desk, names[4], top=5).place == 5


# What is asked wrongly --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("error", "wrong"),
    [
        (NotFound, {"accessory": "umbrella"}),
        (NotFound, {"lot": "nothing like it"}),
        (NotFound, {"size": "giant"}),
        (NotFound, {"whom": "nobody"}),
        (BadInput, {"sure": 2.0}),
        (BadInput, {"top": 0}),
        (BadInput, {"least_contrast": "loud"}),
    ],
)
def test_what_is_asked_wrongly_is_refused(error: type[Exception], wrong: dict[str, Any], tmp_path: Path):
    with pytest.raises(error):
        why(Desk(bin_of(tmp_path, MOSS), CATALOGUE), **{"accessory": "hat-plain", **wrong})
