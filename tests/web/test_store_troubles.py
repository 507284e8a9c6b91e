"""The store is moved, locked or damaged while the page is open: it is said, with how to go on, and nothing is begun anew."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from types import ModuleType

import pytest
from markup import read
from visitor import Visitor

from matcher.web.views import lot, today

VIEWS = ("/", "/bin", "/lot/petrol", "/suggestions", "/garments")


def test_a_store_that_was_moved_is_missed_and_none_begun_in_its_place(changing: Visitor, store: Path):
    form = changing.read("/lot/petrol").form("/weigh/petrol")
    typed = changing.read("/begin").form("/begin")
    elsewhere = store.with_name("elsewhere.sqlite")
    store.rename(elsewhere)
    for address in VIEWS:
        answer = changing.visit(address)
        words = read(answer.text).words
        assert answer.status_code == 404, address
        assert "your bin is no longer where it was" in words
        assert "put it back there and load the page again" in words
    for address, fields in (
        ("/weigh/petrol", {**form.fields, "grams": "20"}),
        ("/begin", {**typed.fields, "colour-0": "blue", "grams-0": "20", "class-0": "DK"}),
    ):
        words = read(changing.post(address, data=fields).text).words
        assert "your bin is no longer where it was" in words
    assert not store.exists()
    elsewhere.rename(store)
    assert "petrol" in changing.look("/bin").text
    assert "Done." in read(changing.post("/weigh/petrol", data={**form.fields, "grams": "20"}).text).words


def test_nothing_yet_is_no_store_that_is_gone(empty: Visitor):
    assert "three ways to begin" in read(empty.look("/").text).words


def test_a_store_in_use_is_looked_at_and_a_change_is_refused(
    changing: Visitor, store: Path, monkeypatch: pytest.MonkeyPatch
):
    form = changing.read("/lot/petrol").form("/weigh/petrol")
    connect = sqlite3.connect
    monkeypatch.setattr(sqlite3, "connect", lambda *given, **named: connect(*given, **{**named, "timeout": 0.2}))
    other = connect(store, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    try:
        assert "petrol" in changing.look("/bin").text
        words = read(changing.post("/weigh/petrol", data={**form.fields, "grams": "20"}).text).words
        assert "the store is in use by another program" in words
        assert "try again" in words
    finally:
        other.execute("ROLLBACK")
        other.close()
    assert "Done." in read(changing.post("/weigh/petrol", data={**form.fields, "grams": "20"}).text).words


@pytest.mark.parametrize(
    ("damage", "said"),
    [
        (lambda data: data[:4096] + b"\xff" * (len(data) - 4096), "the store is damaged"),
        (lambda data: b"hello", "the file isn't a store"),
        (lambda data: b"", "store"),
    ],
)
def test_a_damaged_store_is_said_on_every_view_and_comes_back(
    changing: Visitor, store: Path, damage: object, said: str
):
    form = changing.read("/lot/petrol").form("/weigh/petrol")
    whole = store.read_bytes()
    for beside in store.parent.glob(f"{store.name}-*"):
        beside.unlink()
    store.write_bytes(damage(whole))
    for address in VIEWS:
        answer = changing.visit(address)
        assert answer.status_code in (400, 404), address
        assert said in read(answer.text).words
    answer = changing.post("/weigh/petrol", data={**form.fields, "grams": "20"})
    assert said in read(answer.text).words
    for beside in store.parent.glob(f"{store.name}-*"):
        beside.unlink()
    store.write_bytes(whole)
    assert "petrol" in changing.look("/bin").text


@pytest.mark.parametrize("view", [lot, today], ids=["loaded later", "loaded at once"])
def test_a_fault_of_ours_is_a_page_and_the_log_holds_nothing_of_hers(
    changing: Visitor, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture, view: ModuleType
):
    def fault(*_: object, **__: object) -> None:
        raise RuntimeError("petrol")

    changing.read("/lot/petrol")
    monkeypatch.setattr(view, "page", fault)
    answer = changing.get("/lot/petrol" if view is lot else "/")
    assert answer.status_code == 500
    assert "no fault of yours" in read(answer.text).words
    assert "RuntimeError" in caplog.text
    assert "petrol" not in caplog.text


def test_taking_back_says_what_is_wrong_with_the_store(changing: Visitor, store: Path):
    form = changing.read("/bin").form("/undo")
    elsewhere = store.rename(store.with_name("elsewhere.sqlite"))
    words = read(changing.fill(form).text).words
    assert "your bin is no longer where it was" in words
    assert "something else was done" not in words
    elsewhere.rename(store)
    assert "Done." in read(changing.fill(form).text).words


def test_an_address_that_only_takes_forms_is_no_page(changing: Visitor):
    answer = changing.get("/weigh/petrol")
    assert (answer.status_code, answer.text) == (405, "There is no such page.")
