"""The shape of what each command prints with --json, made from runs that together print every key.

A shape is written as in `roles [ role: text, need_m: number ]`: square brackets hold a list, braces an object. A key that is
not always there ends with a question mark. ROLE and COLUMN stand for the names of roles and of columns.
"""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from matcher.actions.keeping.look import answer, look
from matcher.store.sheets.columns import GARMENTS, LOTS, PEOPLE

TO_MATCH = ("demo", "--garment", "grey yoke pullover")
HAT = ("--lots", "main=cream, thick", "--lots", "contrast 1=dark brown")
BEGIN = ["begin", "striped hat", "--size", "adult small", *HAT]
ANOTHER = ["begin", "hat-plain", "--size", "adult small", "--lots", "main=denim, thick"]
FINISH = ["finish", "striped hat", "--weigh", "cream, thick=26 g", "--weigh", "dark brown=25 g"]
ME = ["person", "me", "--head", "56", "--likes", "hats", "--dislikes", "pink", "--avoid-on-skin", "mohair"]
SWATCH = ["swatch", "cream, thick", "--stitches", "20", "--rows", "26", "--grams", "14.1", "--size", "14 x 14 cm"]
MESSY = ["intake", "messy-bin", "--yes"]
PLANNED = ["begin", "--set", "planned"]
# A bin as people keep it: a heading that says nothing here, a cell that is a guess, and one that she was asked about.
MESSY_LOTS = """lot,grams,colour,class,garment,fibre,whose
oat scrap,about 40 g,oatmeal,aran ish,,wool,Ann
old pink,20,pink,DK,,wool?,
jade scrap,30,jade,DK,,flax or so,
"""
WHY = (["hat-stranded-band"], ["hat-ribbed", "--lot", "sky"], ["hat-plain", "--size", "adult large"])
# Runs that together print every key a command can print; my-bin has a lot too short for anything. Those before a
# command's own are what must have been done first, in a store of its own.
PRINTS = {
    "suggest": [["demo"], ["my-bin"]],
    "set": [
        ["my-bin", "--want", "egg cosy, 9 coasters", "--alternatives", "1"],
        ["my-bin", "--want", "hat, 9 yokes", "--time-limit", "0", "--out", "set"],
    ],
    "why": [["my-bin", "--accessory", *asked] for asked in WHY],
    "gap": [
        ["demo", "--for", "my father", "--accessory", "cowl-five-colours"],
        ["demo", "--for", "my father", "--accessory", "yoke-two-colours", "--most-grams", "25"],
        ["demo", "--for", "my sister", "--accessory", "hat-stranded-band", "--out", "to-buy"],
    ],
    "pool": [
        ["export", "pooled/north/first.parquet", "--bin", "demo", "--replace"],
        ["pooled", "--each-member", "--each-place", "--gap", "--set", "--time-limit", "0", "--good-files"],
        ["export", "pooled/second.parquet", "--bin", "my-bin", "--replace"],
        ["pooled", "--good-files"],
    ],
    "contrast": [["navy", "cream"]],
    "reserve": [["demo"]],
    "needs": [[], ["hat-stranded-band", "--size", "6 months", "--class", "3"]],
    "piece": [["--structure", "stranded", "--stitches", "110", "--height", "20", "--class", "3"]],
    "partner": [
        [*TO_MATCH, "--accessory", "hat-stranded-band", "--recolour"],
        [*TO_MATCH, "--accessory", "hat-stranded-band", "--motif", "yoke-four"],
        [*TO_MATCH, "--accessory", "mitts-fingerless-stranded"],
        [*TO_MATCH, "--accessory", "egg-cosy"],
        [*TO_MATCH, "--accessory", "hat-stranded-band", "--out", "drawn"],
        ["intake", "demo", "--bin", "begun.sqlite"],
        ["begun.sqlite", *TO_MATCH[1:], "--accessory", "hat-stranded-band", "--begin"],
    ],
    "instead": [
        ["navy", "--bin", "demo", "--metres", "60"],
        ["mid grey", "--bin", "demo"],
        ["--class", "3", "--metres", "60", "--bin", "demo"],
        ["raspberry", "--metres", "180", "--bin", "demo"],
    ],
    "pattern": [
        ["demo", "hat-stranded-band", "--size", "adult medium", "--lots", "navy", "--lots", "cream"],
        ["demo", "mittens", "--size", "adult medium", "--lots", "navy", "--out", "patterned"],
        ["demo", "socks-ankle", "--size", "adult medium"],
        ["demo", "headband", *TO_MATCH[1:], "--for", "me"],
    ],
    "motif": [
        [],
        ["crosses", "--lots", "navy", "--lots", "cream"],
        ["crosses", "--svg", "crosses.svg"],
        ["yoke-three"],
    ],
    "intake": [
        ["demo"],
        ["weigh", "navy", "61g"],
        ["demo", "--take", "file", "--dry-run"],
        ["bad-bin", "--dry-run"],
        ["messy-bin", "--dry-run"],
    ],
    "export": [BEGIN, FINISH, ANOTHER, SWATCH, ["triage", "--lot", "fog", "--decide", "keep"], MESSY, []],
    "add": [["teal scrap", "--grams", "12", "--colour", "teal", "--class", "3"]],
    "weigh": [["navy", "61g"]],
    "change": [["navy", "--place", "tin"]],
    "split": [["navy", "20 g"]],
    "join": [["split", "navy", "20 g", "--as", "navy 2"], ["navy", "navy 2"]],
    "move": [["navy", "tin"]],
    "garment": [["denim jacket", "worn"]],
    "wishes": [["--units", "mixed", "--never", "yokes", "--apart", "wool + cotton"], []],
    "person": [["Ada", "--size", "5 years"], ["Ada", "--forget"]],
    "mended": [["grey yoke pullover", "mid grey", "12 m"]],
    "begin": [BEGIN[1:], PLANNED[1:]],
    "row": [BEGIN, ["striped hat", "20", "--weigh", "dark brown=27 g"], PLANNED, ["egg cosy", "5"]],
    "finish": [BEGIN, FINISH[1:]],
    "abandon": [BEGIN, ["striped hat"]],
    "undo": [["weigh", "navy", "61g"], ["--list"], []],
    "verify": [[]],
    "triage": [[]],
    "tags": [["--lot", "navy", "--out", "tags.html"]],
    "swatch": [SWATCH[1:], SWATCH[1:-2]],
    "calibration": [BEGIN, FINISH, SWATCH, []],
    "list": [BEGIN, ME, [], ["garments"], ["people"], ["works"], ["--colour", "navy"]],
    "show": [
        BEGIN,
        ["triage", "--lot", "fog", "--decide", "keep"],
        ME,
        MESSY,
        PLANNED,
        *(["jade scrap"], ["striped hat"], ["headband"], ["me"], ["cream, thick"], ["fog"], ["grey yoke pullover"]),
    ],
    "photo": [["demo/scraps.jpg", "--bin", "demo"]],
    "lookalikes": [["demo"]],
    "whose": [["demo", "--colour", "#22304f", "--weighed", "12 m = 4.9 g"]],
    "palette": [["demo"], ["demo", "--svg", "palette.svg"]],
    "check": [["demo"], ["bad-bin"], ["messy-bin"]],
}
COMMANDS = tuple(PRINTS)
NO_JSON = ("page",)  # it goes on until it is stopped; tests/web starts it
IN_A_STORE = COMMANDS[COMMANDS.index("intake") : COMMANDS.index("photo")]
# Objects whose keys are names, and what is written for such a name.
NAMED = {"roles": "ROLE", "longest_floats": "ROLE", "changed": "COLUMN", "cells": "COLUMN"}
COLUMNS = frozenset(column for sheet in (LOTS, GARMENTS, PEOPLE) for column in sheet.typed)
KNOWN = COLUMNS | {*LOTS.exported}
# Lists that these runs leave empty, and what stands in them otherwise.
SELDOM = {
    "for": "text",
    "more": "text",
    "notes": "text",
    "warnings": "text",
    "refused_files": "text",
    "many_coloured_rows": "number",
}
# Only the rows of a sheet have these.
TELLING = {"ball_grams", "chest_cm"}
Run = Callable[..., tuple[int, str]]


def objects(command: str, run: Run, folder: Path, monkeypatch: Any) -> list[dict[str, Any]]:
    """What the runs of a command print, in a store that holds the demo. run: arguments to exit code and stdout."""
    return [json.loads(run(*asked, "--json")[1]) for asked in runs_of(command, run, folder, monkeypatch)]


def runs_of(command: str, run: Run, folder: Path, monkeypatch: Any) -> Iterator[list[str]]:
    """The runs of a command, after what must have been done first; each is to be made before the next is asked for."""
    if command in IN_A_STORE:
        if command != "intake":
            shutil.copyfile(_store_with_demo(run, folder, monkeypatch), folder / f"{command}.sqlite")
        monkeypatch.setenv("MATCHER_BIN", str(folder / f"{command}.sqlite"))
        if command == "verify":  # what the columns beside the cells say is made wrong, behind the program's back
            with closing(sqlite3.connect(folder / "verify.sqlite")) as db:
                db.execute("UPDATE lots SET mass_g = 1 WHERE lot = 'navy'")
                db.commit()
    if command == "check":
        monkeypatch.setenv("MATCHER_BIN", str(folder / "check.sqlite"))
    if MESSY in PRINTS[command] or ["messy-bin"] in PRINTS[command] or command == "intake":
        _messy_bin(folder)
    if command == "pool":  # beside what can be read, a file that can't be; nothing is left of an earlier run
        shutil.rmtree(folder / "pooled", ignore_errors=True)
        (folder / "pooled").mkdir(exist_ok=True)
        (folder / "pooled" / "broken.csv").write_text("lot,grams\n", encoding="utf-8")
    if PLANNED in PRINTS[command] or PLANNED[1:] in PRINTS[command]:
        _planned_set(folder)
    for arguments in PRINTS[command]:
        if arguments and arguments[0] in COMMANDS:
            code, said = run(*arguments)
            assert code == 0, said
        else:
            yield [command, *arguments]


def _messy_bin(folder: Path) -> None:
    """The bin as people keep it, with an answer of hers that her store remembers."""
    (folder / "messy-bin").mkdir(exist_ok=True)
    (folder / "messy-bin" / "lots.csv").write_text(MESSY_LOTS, encoding="utf-8")
    seen = look(folder / "messy-bin")
    for question in seen.questions:
        if question.column == "fibre":
            answer(seen, question, "linen")


def _planned_set(folder: Path) -> None:
    """Two things as a set has them, in the file that `begin` reads."""
    gauge = {"stitches_10cm": 22.0, "rows_10cm": 29.0, "loop_cm": 1.9, "from_swatch_rows": False, "firmness": 1.0}
    same = {"version": 1, "for": [], "body": None, "gauge": gauge, "motifs": [], "cast_on": None}
    things = [
        same | {"accessory": key, "size": size, "roles": [{"role": "main", "strands": [{"lots": [lot], "count": 1}]}]}
        for key, size, lot in (("headband", "5 years", "rust"), ("egg-cosy", "one size", "navy"))
    ]
    (folder / "planned").mkdir(exist_ok=True)
    told = json.dumps({"accessories": [{"recipe": one} for one in things]})
    (folder / "planned" / "set.json").write_text(told, encoding="utf-8")


def _store_with_demo(run: Run, folder: Path, monkeypatch: Any) -> Path:
    """A store that holds the demo, filled once for all commands."""
    store = folder / "demo.sqlite"
    if not store.exists():
        monkeypatch.setenv("MATCHER_BIN", str(store))
        assert run("intake", "demo")[0] == 0
    return store


@dataclass
class Shape:
    """What may stand in one place: plain values, an object, a list, or one of several of these."""

    plain: set[str] = field(default_factory=set)
    members: dict[str, Shape] | None = None
    sometimes: set[str] = field(default_factory=set)
    items: Shape | None = None

    @property
    def inside(self) -> list[tuple[str, Shape]] | None:
        """Keys and their shapes in an object, or in the objects of a list."""
        held = self.items if self.items is not None else self
        if held.members is None:
            return None
        return [(f"{key}?" if key in held.sometimes else key, one) for key, one in held.members.items()]


def shape_of(values: list[Any], key: str = "") -> Shape:
    """The shape of all values that were met in one place."""
    shape = Shape({_kind(one) for one in values if not isinstance(one, dict | list)})
    lists = [one for one in values if isinstance(one, list)]
    objects = [one for one in values if isinstance(one, dict)]
    if lists:
        items = [one for each in lists for one in each]
        shape.items = shape_of(items) if items else Shape({SELDOM[key]} if key in SELDOM else set())
    if objects:
        objects = [_with_names_left_out(one, NAMED.get(key, "")) for one in objects]
        keys = dict.fromkeys(name for one in objects for name in one)
        shape.sometimes = {name for name in keys if any(name not in one for one in objects)}
        shape.members = {
            name: shape_of([value for one in objects for value in one.get(name, [])], name) for name in keys
        }
    return shape


def _kind(value: Any) -> str:
    if isinstance(value, bool):
        return "true or false"
    return "null" if value is None else "text" if isinstance(value, str) else "number"


def _with_names_left_out(held: dict[str, Any], named: str) -> dict[str, list[Any]]:
    """The values of an object by key; where keys are names, all under the word that stands for them."""
    if named and (named != "COLUMN" or held.keys() <= KNOWN):
        return {named: list(held.values())}
    columns = COLUMNS if held.keys() & TELLING else set()
    found: dict[str, list[Any]] = {}
    for key, value in held.items():
        found.setdefault("COLUMN" if key in columns else key, []).append(value)
    return found


def written(shape: Shape, width: int = 118) -> list[str]:
    """The shape of a whole object, as lines."""
    return list(_packed(shape.inside or [], width))


def _packed(members: list[tuple[str, Shape]], width: int) -> Iterator[str]:
    line = ""
    for at, (key, shape) in enumerate(members):
        comma = "," if at < len(members) - 1 else ""
        said = _in_a_line(key, shape) + comma
        if len(said) <= width:
            if line and len(line) + 1 + len(said) > width:
                yield line
                line = ""
            line = f"{line} {said}".strip()
            continue
        if line:
            yield line
            line = ""
        before, after = _brackets(key, shape)
        yield before
        yield from (f"    {one}" for one in _packed(shape.inside or [], width - 4))
        yield after + comma
    if line:
        yield line


def _brackets(key: str, shape: Shape) -> tuple[str, str]:
    opened, closed = "[]" if shape.items is not None else "{}"
    return f"{key} {opened}", " or ".join([closed, *sorted(shape.plain)])


def _in_a_line(key: str, shape: Shape) -> str:
    if shape.inside is not None:
        before, after = _brackets(key, shape)
        return f"{before} {', '.join(_in_a_line(*one) for one in shape.inside)} {after}"
    kinds = sorted(shape.plain)
    if shape.items is not None:
        inner = _in_a_line("", shape.items).removeprefix(": ")
        kinds.append(f"[ {inner} ]" if inner else "[ ]")
    return f"{key}: {' or '.join(kinds)}"
