"""What goes out: tags and sheets that stand by themselves, the whole bin as files that can be taken in again."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

import pytest
from visitor import Visitor

from matcher.actions.colours.palette import palette
from matcher.actions.keeping.cells import add
from matcher.actions.keeping.export import export
from matcher.actions.keeping.intake import intake
from matcher.actions.keeping.tags import tags
from matcher.web.files import to_keep


def test_tags_are_those_of_the_action_to_the_letter(demo: Visitor, taken_in: Path, tmp_path: Path):
    for asked, wishes in (
        ("", {}),
        ("?lot=navy&lot=fog&paper=letter", {"lot": ("navy", "fog"), "paper": "letter"}),
        ("?bags=yes", {"bags": True}),
    ):
        made = tags(taken_in, out=tmp_path / "tags.html", replace=True, **wishes)
        page = demo.look(f"/print/tags{asked}")
        assert page.text == made.written.read_text("utf-8")
        assert re.fullmatch(
            r"default-src 'none'; style-src 'sha256-[^']+'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
            page.headers["content-security-policy"],
        )
    kept = demo.look("/print/tags?keep=yes")
    assert kept.headers["content-disposition"] == 'attachment; filename="tags.html"'
    assert demo.visit("/print/tags?lot=none+such").status_code == 404
    assert demo.visit("/print/tags?paper=..%2F..%2Fetc").status_code == 400


def test_her_words_are_only_words_on_paper(changing: Visitor, store: Path):
    name = "<script>alert(1)</script></style><style>*{}"
    add(name, {"grams": "80", "class": "4", "colour": "red", "note": name, "yarn": name}, bin=store)
    page = changing.look("/print/tags").text
    assert "<script" not in page
    assert page.count("<style>") == 1
    for address in ("/print", "/print/colours", "/print/colours.svg", "/pile"):
        assert "<script>alert" not in changing.look(address).text


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_a_workbook_is_taken_in_again_without_loss(demo: Visitor, taken_in: Path, tmp_path: Path, kind: str):
    file = demo.look(f"/print/yarn?kind={kind}")
    assert file.headers["content-disposition"] == f'attachment; filename="yarn.{kind}"'
    (tmp_path / f"back.{kind}").write_bytes(file.content)
    intake(tmp_path / f"back.{kind}", bin=tmp_path / "back.sqlite", yes=True)
    assert export(bin=tmp_path / "back.sqlite").cells == export(bin=taken_in).cells


def test_tables_come_in_one_archive(demo: Visitor, taken_in: Path, tmp_path: Path):
    with zipfile.ZipFile(io.BytesIO(demo.look("/print/yarn?kind=csv").content)) as packed:
        assert sorted(packed.namelist()) == ["garments.csv", "lots.csv", "people.csv"]
        packed.extractall(tmp_path / "sheets")
    written = export(tmp_path / "other", taken_in).written
    for path in written:
        assert (tmp_path / "sheets" / path.name).read_bytes() == path.read_bytes()
    assert demo.visit("/print/yarn?kind=exe").status_code == 400


def test_colours_are_laid_out_as_the_action_does(demo: Visitor, taken_in: Path):
    for by in ("lightness", "hue", "map"):
        found = palette(taken_in, by=by)
        words = demo.read(f"/print/colours?by={by}").words
        for _, _, lots in found.classes:
            for one in lots:
                assert f"lightness {round(one.lab[0])}" in words
        assert found.pairs[0].pools[0].name in words
    assert demo.visit("/print/colours?by=taste").status_code == 400


def test_a_file_is_never_called_by_what_somebody_wrote():
    with pytest.raises(ValueError, match="name of ours"):
        to_keep(b"", 'navy"; filename="x.exe')
