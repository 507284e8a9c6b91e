"""A partner is begun with its motif, roles and metres, and its recipe gives the same fit again."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import Result

from matcher.actions.partner.partner import partner
from matcher.actions.pattern.fitting import needs_of_recipe
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.database.store import open_store
from matcher.store.recipes import parse_recipe

OF = ("--garment", "grey yoke pullover", "--accessory")


@pytest.mark.parametrize(
    "asked",
    [
        ("hat-stranded-band",),
        ("hat-stranded-band", "--fit", "2", "--motif", "crosses"),
        ("mitts-fingerless-stranded", "--hand-cm", "19.3"),
        ("headband", "--for", "me", "--ease-percent", "-30..20"),
        ("hat-stranded-band", "--recolour", "--swatch", "20 st x 27 rows"),
    ],
    ids=" ".join,
)
def test_it_is_begun_as_it_was_fitted(demo_store: Path, run_json, asked: tuple[str, ...]) -> None:
    shown = run_json("partner", *OF, *asked)
    found = run_json("partner", *OF, *asked, "--begin", "--as", "to match")
    begun = found.pop("begun")
    assert found == shown
    assert (begun["name"], begun["accessory"]) == ("to match", shown["key"])
    assert begun["sure"] == pytest.approx(shown["sure"], abs=0.02)
    for role in shown["roles"]:
        claims = [one for one in begun["claims"] if one["role"] == role["role"]]
        assert [one["lot"] for one in claims] == role["lots"]
        assert sum(one["metres"] for one in claims) == pytest.approx(role["need_m"], abs=0.05)
    with open_store(demo_store) as store:
        recipe = parse_recipe(store.rows("works")[-1]["recipe"])
    catalogue = load_catalogue()
    again = needs_of_recipe(recipe, catalogue.accessories[recipe.accessory], catalogue)
    stitches = {need.role: need.stitches for need in again}
    assert stitches == {role["role"]: role["stitches"] for role in shown["roles"]}


def test_a_person_reads_that_it_is_begun(demo_store: Path, run: Callable[..., Result]) -> None:
    shown = run("partner", *OF, "hat-stranded-band", "--begin")
    assert shown.exit_code == 0
    assert "hat with a stranded band, adult medium is begun: 22 stitches and 29 rows" in " ".join(shown.stdout.split())
    assert "Follow the ball band" not in shown.stderr  # the screen has said it
    assert "hat with a stranded band" in run("list", "works").stdout


def test_it_is_not_begun_where_a_yarn_is_missing_or_too_short_or_there_is_no_store(
    demo_store: Path, run: Callable[..., Result], tmp_path: Path
) -> None:
    folder = run("partner", "demo", *OF, "hat-stranded-band", "--begin")
    assert folder.exit_code == 2
    assert "a folder is a bin on paper, not a store" in " ".join(folder.stderr.split())
    assert run("weigh", "petrol", "2 g").exit_code == 0
    short = run("partner", *OF, "hat-stranded-band", "--begin")
    assert short.exit_code == 2
    words = "choose one of the other ways, or --anyway sets aside what there is"
    assert words in " ".join(short.stderr.split())
    missing = run("partner", *OF, "hat-stranded-band", "--motif", "yoke-four", "--begin")
    assert missing.exit_code == 2
    words = "there is no yarn for contrast 3 yet (--begin): --recolour shares all lots out anew"
    assert words in " ".join(missing.stderr.split())
    assert "Nothing has been put on the needles" in run("list", "works").stdout


def test_the_recipe_of_a_partner_says_whom_it_is_for() -> None:
    made = partner("demo", garment="navy yoke pullover", accessory="mitts-fingerless-stranded", head_cm=None)
    assert made.recipe.people == ("me",)
    assert made.recipe.lots == tuple(lot.name for role in made.roles for lot in role.lots)
