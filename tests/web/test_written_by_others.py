"""Text that would be more than text: in every cell, stored and shown on every view, in pictures and tags; typed into
every field of every form, and said again."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path
from urllib.parse import quote

import pytest
from addresses import addresses, leads
from markup import Form, read
from visitor import Visitor

from matcher.store.sheets.columns import GARMENTS, LOTS, PEOPLE

OUT = "\"'></text></svg></title></textarea></select></script>-->]]><probe onprobe=1>{{7*7}}${7*7}<!--"
LINK = "javascript:probe()"


def cell(name: str) -> str:
    return f"{name} {OUT} {LINK}"


def sheet(columns: list[str], rows: list[dict[str, str]]) -> str:
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


@pytest.fixture(scope="session")
def written_by_others(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store in which every free cell would be a script if it could."""
    from matcher.actions.keeping.intake import intake

    folder = tmp_path_factory.mktemp("others")
    sheets = folder / "sheets"
    sheets.mkdir()
    colours = ("#1f2a4a", "#efe6d0", "#9c4a24", "#c3c6c8", "#1f5563")
    lots = [
        {
            **{column: cell(f"{column} {number}") for column in LOTS.free},
            "lot": cell(f"lot {number}"),
            "garment": cell("vest"),
            "yarn": cell("wool"),
            "colour": code,
            "grams": "60",
            "ball_grams": "50",
            "ball_metres": "125",
            "dye_lot": cell(f"dye {number}"),
        }
        for number, code in enumerate(colours)
    ]
    for row in lots:
        row.pop("role", None)
    garments = [
        {
            **{column: cell(column) for column in GARMENTS.free},
            "garment": cell("vest"),
            "kind": "pullover",
            "status": "worn",
            "chest_cm": "98",
        }
    ]
    people = [{**{column: cell(column) for column in PEOPLE.free}, "person": cell("somebody"), "size": "adult medium"}]
    for title, rows in (("lots", lots), ("garments", garments), ("people", people)):
        (sheets / f"{title}.csv").write_text(sheet(list(rows[0]), rows), encoding="utf-8")
    path = folder / "bin.sqlite"
    intake(sheets, bin=path, yes=True)
    return path


def assert_only_text(where: str, kind: str, body: str) -> None:
    """Nothing of it is more than text on a page or in a picture."""
    if not re.search(r"html|svg|xml", kind):
        return
    assert "<probe" not in body, (where, body[max(0, body.index("<probe") - 300) :][:400])
    page = read(body)
    for tag, had in page.tags:
        assert tag != "probe", where
        assert not [name for name in had if name.startswith("on")], (where, tag, had)
        for name in ("href", "action", "src", "formaction", "hx-get", "hx-post", "xlink:href"):
            assert not had.get(name, "").strip().lower().startswith("javascript:"), (where, tag, had)
    assert "49${" not in page.words, where  # no template fills it


def test_stored_and_shown(written_by_others: Path, tmp_path: Path):
    from matcher.store.database.store import open_store

    with open_store(written_by_others) as store:
        names = {table: [row[key] for row in store.rows(table)] for table, key in KEYS}
    assert all(OUT in name for of in names.values() for name in of)
    assert [len(of) for of in names.values()] == [5, 1, 1]
    more = [
        f"/{at}/{quote(names[table][0], safe='')}"
        for table, at in (("lots", "lot"), ("garments", "garment"), ("people", "person"))
    ]
    shown = 0
    with Visitor(written_by_others) as visitor:
        for address in [*addresses(), *more]:
            answer = visitor.visit(address)
            assert answer.status_code < 500, address
            assert_only_text(address, answer.headers["content-type"], answer.text)
            shown += "&lt;probe" in answer.text
        assert visitor.visit(more[0]).status_code == 200
    assert shown > 5


KEYS = (("lots", "lot"), ("garments", "garment"), ("people", "person"))
TYPED = ("text", "search", "textarea", "hidden", "number", "url", "tel", "select", "radio", "checkbox", "date")
OURS = ("token", "mark", "to")


def typed_into(form: Form, *, one_by_one: bool) -> list[dict[str, str]]:
    """All fields at once, and where something would be kept one after another, since some are refused before others."""
    names = [name for name, kind in form.names.items() if kind in TYPED and name not in OURS]
    each = [{name: OUT} for name in names] if one_by_one and form.method == "post" else []
    return [dict.fromkeys(names, OUT), *each]


def test_typed_and_said_again(changing: Visitor):
    every_form(changing, one_by_one=False)


@pytest.mark.long(whole_of="test_typed_and_said_again")  # every field of every form is sent by itself
@pytest.mark.timeout(900)  # a busy machine takes ten times as long as a quiet one
def test_typed_field_by_field_and_said_again(changing: Visitor):
    every_form(changing, one_by_one=True)


def every_form(changing: Visitor, *, one_by_one: bool) -> None:
    """Every form of every view: refused or done, what was typed is said again as text. One by one: the fields of a form
    where it is met first, since the same form stands on many views."""
    tried, met = 0, set[tuple[object, ...]]()
    for address in addresses():
        looked = changing.visit(address)
        if not looked.headers["content-type"].startswith("text/html"):
            continue
        seen = set()
        for form in read(looked.text).forms:
            if form.action in seen or form.action.startswith(("/demo", "/undo")):
                continue
            seen.add(form.action)
            kind = leads(form.action, "POST"), *form.names
            new = kind not in met
            met.add(kind)
            for typed in typed_into(form, one_by_one=one_by_one and new):
                answer = changing.fill(form, **typed)
                assert answer.status_code < 500, (address, form.action, typed.keys())
                assert_only_text(f"{address} {form.action}", answer.headers["content-type"], answer.text)
                tried += 1
    for address in addresses():
        answer = changing.visit(address)
        assert answer.status_code < 500, address
        assert_only_text(address, answer.headers["content-type"], answer.text)
    assert tried > 20
