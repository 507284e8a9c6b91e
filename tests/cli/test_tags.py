"""`matcher tags`: which tags, what they say, where they go."""

import re

import pytest


@pytest.fixture
def out(tmp_path):
    return tmp_path / "tags.html"


def words(page) -> list[str]:
    return re.findall(r"<text[^>]*>([^<]*)</text>", page.read_text(encoding="utf-8"))


def test_a_tag_for_each_lot(demo, out, run, fits_80):
    shown = run("tags", demo, "--out", out)
    assert shown.exit_code == 0
    assert "46 tags on 4 pages" in shown.stdout
    fits_80(shown.stdout)
    said = words(out)
    for fact in ("berry mix", "72 g, about 302 m", "75% wool, 25% nylon", "machine wash", "from raspberry cardigan"):
        assert fact in said
    assert "dye lot 7718" in said


def test_json(demo, out, run_json):
    found = run_json("tags", demo, "--out", out, "--lot", "mid grey", "--lot", "Navy", "--paper", "letter")
    assert list(found) == ["written", "paper", "pages", "tags"]
    assert [one["lots"] for one in found["tags"]] == [["mid grey"], ["navy"]]
    grey = found["tags"][0]
    held = {one["lot"]: one["metres"] for group in run_json("reserve", demo)["groups"] for one in group["held"]}
    assert grey["reserve_m"] == pytest.approx(held["mid grey"], abs=0.01)
    assert (grey["grams"], grey["weighed_on"]) == (66, "")
    assert f"keep {held['mid grey']:.0f} m for mending" in words(out)


def test_codes_are_short_and_of_one_lot_each_and_always_the_same(demo, out, run_json):
    first = [one["code"] for one in run_json("tags", demo, "--out", out)["tags"]]
    assert len(set(first)) == 46
    assert all(re.fullmatch("[2-9A-HJKMNP-TV-Z]{5}", code) for code in first)
    assert [one["code"] for one in run_json("tags", demo, "--out", out)["tags"]] == first


def test_a_bag_has_one_tag(tmp_path, out, run_json):
    (tmp_path / "lots.csv").write_text(
        "lot,yarn,colour,grams,ball_grams,ball_metres,dye_lot\n"
        "a,wool,navy,20,50,125,8\nb,wool,navy,22,50,125,8\nc,wool,navy,30,50,125,9\n"
    )
    found = run_json("tags", tmp_path, "--out", out, "--bags")
    assert [one["lots"] for one in found["tags"]] == [["a", "b"], ["c"]]
    assert found["tags"][0]["grams"] == 42
    assert "42 g, about 105 m" in words(out)
    assert len(run_json("tags", tmp_path, "--out", out, "--replace")["tags"]) == 3


def test_the_store_gives_codes_and_days(tmp_path, small, out, run, run_json):
    place = tmp_path / "bin.sqlite"
    assert run("intake", small, "--bin", place).exit_code == 0
    assert run("weigh", "navy", "110g", "--bin", place).exit_code == 0
    rows = {row["lot"]: row for row in run_json("export", "--bin", place)["lots"]}
    found = {one["lots"][0]: one for one in run_json("tags", place, "--out", out)["tags"]}
    assert {name: one["code"] for name, one in found.items()} == {name: row["code"] for name, row in rows.items()}
    assert found["navy"]["weighed_on"] == rows["navy"]["weighed_on"] != ""
    said = words(out)
    assert f"weighed {rows['navy']['weighed_on']}" in said
    assert "weighed ____________" in said  # the others: a line to write on
    # An exported folder says the same.
    assert run("export", tmp_path / "sheets", "--bin", place).exit_code == 0
    again = {one["lots"][0]: one for one in run_json("tags", tmp_path / "sheets", "--out", out)["tags"]}
    assert again == found


def test_a_column_code_of_her_own_is_no_code_of_tags(tmp_path, out, run_json):
    (tmp_path / "lots.csv").write_text("lot,colour,grams,class,code\na,navy,20,3,AAAAA\nb,red,20,3,AAAAA\n")
    codes = [one["code"] for one in run_json("tags", tmp_path, "--out", out)["tags"]]
    assert len(set(codes)) == 2


def test_imperial(demo, out, run, no_metric):
    assert run("tags", demo, "--out", out, "--units", "imperial").exit_code == 0
    no_metric(" ".join(words(out)))


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--out", "lots.csv"), "ends in .html"),
        (("--out", "/dev/null/t.html"), "can't be written"),
        (("--lot", "navi"), "did you mean"),
        (("--paper", "a3"), "a3"),
    ],
)
def test_what_cannot_be_printed(demo, out, run, arguments, said: str):
    place = () if "--out" in arguments else ("--out", out)
    shown = run("tags", demo, *place, *arguments)
    assert shown.exit_code == 2
    assert said in " ".join(shown.stderr.split())


@pytest.mark.parametrize(
    ("first", "second", "told"), [("2026-03-02", "2026-01-05", "2026-01-05"), ("2026-03-02", "", "")]
)
def test_a_bag_was_weighed_when_its_oldest_part_was(tmp_path, out, run_json, first: str, second: str, told: str):
    (tmp_path / "lots.csv").write_text(
        "lot,yarn,colour,grams,ball_grams,ball_metres,dye_lot,weighed_on\n"
        f"a,wool,navy,20,50,125,8,{first}\nb,wool,navy,22,50,125,8,{second}\n"
    )
    assert run_json("tags", tmp_path, "--out", out, "--bags")["tags"][0]["weighed_on"] == told
    assert f"weighed {told or '____________'}" in words(out)


def test_a_tag_says_how_thick_the_yarn_is(small, run, tmp_path):
    page = tmp_path / "tags.html"
    assert run("tags", small, "--out", page, "--lot", "navy").exit_code == 0
    assert "class 3, 125 m in 50 g" in page.read_text(encoding="utf-8")
