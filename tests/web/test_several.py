"""Several things at once on the page: the same set as the command's, stopped with the best so far, begun whole."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from pathlib import Path
from urllib.parse import quote

from markup import read
from playwright.sync_api import Page, expect
from server import Served
from visitor import Visitor

from matcher.actions.keeping.cells import add
from matcher.actions.keeping.lots import move
from matcher.actions.sets.plan import plan_set
from matcher.store.database.store import open_store
from matcher.web.jobs import Job

WANTS = "/several?want=1+hats+for+adults%2C+1+mitts+for+adults&time=60&alternatives=1&go=yes"


def test_the_set_is_the_one_that_the_action_plans(demo: Visitor, taken_in: Path):
    page = demo.read(WANTS)
    wants = "1 hats for adults, 1 mitts for adults"
    found = plan_set(taken_in, want=wants, time_limit=60, alternatives=1, remember=False)
    assert len(found.best) == 2
    for thing in found.best:
        assert str(thing.called).split(", ")[0] in page.words
        for role in thing.roles:
            assert f"{role.need_m:.0f} m" in page.words or role.need_m < 10
    for use in found.best.lots:
        assert use.lot.name in page.words
    assert f"{int(100 * found.best.sure)} in 100 sure" in page.words


def test_a_want_that_cannot_be_is_said_with_why_and_the_way_to_what_is_missing(demo: Visitor):
    page = demo.look("/several?want=40+cowls&time=1&go=yes")
    assert "What can’t be" in page.text
    assert "/gap?want=40%20cowls" in page.text


def test_what_was_asked_stays_when_it_is_refused(demo: Visitor):
    page = demo.visit("/several?want=2+spaceships&must=navy&for=my+sister&sure=90&go=yes")
    assert page.status_code == 400
    assert "spaceships" in page.text
    assert 'value="2 spaceships"' in page.text
    assert re.search(r'name="must" value="navy" checked', page.text)
    assert re.search(r'name="for" value="my sister" checked', page.text)


def test_lots_with_commas_and_script_in_their_names_are_asked_for_and_shown(changing: Visitor, store: Path):
    name = "<script>alert(1)</script>, second"
    add(name, {"grams": "80", "class": "4", "colour": "red", "fibre": "wool"}, bin=store)
    page = changing.look(f"/several?want=1+hats+for+adults&must={quote(name)}&time=1&go=yes").text
    assert "<script>alert" not in page
    assert html.escape(name, quote=False) in html.unescape(page).replace("<", "&lt;").replace(">", "&gt;")


def test_stopped_it_gives_the_best_so_far(changing: Visitor):
    """The search is asked whether to go on; what was found by then is shown as a set, and said to be stopped."""
    jobs = changing.app.state.jobs
    begun = jobs.of

    def stopped_at_once(key: object, title: object, work: object, **more: object) -> Job:
        job: Job = begun(key, title, lambda job: (job.asked_to_stop.set(), work(job))[1], **more)
        return job

    jobs.of = stopped_at_once
    page = changing.look("/several?want=4+hats+for+adults%2C+4+mitts+for+adults&time=180&go=yes")
    assert "You stopped it" in page.text
    assert "Begin all of it" in page.text


def test_the_whole_set_is_begun_and_taken_back(changing: Visitor, store: Path):
    form = changing.read("/several?want=1+hats+for+adults&time=1&go=yes").form("/several/begin")
    answer = changing.post(form.action, data=form.fields, follow_redirects=False)
    assert answer.headers["location"] == "/needles"
    with open_store(store) as kept:
        assert len(kept.rows("works")) == 1
    assert "begin a set" in changing.read("/done").words
    changing.fill(changing.read("/bin").form("/undo"))
    with open_store(store) as kept:
        assert kept.rows("works") == []


def test_a_set_that_lies_too_far_back_is_not_begun(changing: Visitor):
    address = "/several?want=1+hats+for+adults&time=1&go=yes"
    answer = changing.fill(changing.read(address).form("/several/begin"), _job="none such")
    assert "too long ago" in answer.text


def test_what_others_did_with_its_yarn_is_told_before_it_is_begun(changing: Visitor, store: Path):
    # Long enough for the best there is: a set that is cut short is another whenever the machine is busy.
    page = changing.read("/several?want=1+hats+for+adults&time=60&go=yes")
    form = page.form("/several/begin")
    found = plan_set(store, want="1 hats for adults", time_limit=60, remember=False)
    for use in found.best.lots:
        move(use.lot.name, "elsewhere", bin=store)
    answer = changing.fill(form)
    assert answer.status_code == 409
    assert "elsewhere" in answer.text or "move" in answer.text
    words = read(answer.text).words
    assert "1 thing from" in words
    assert form.fields["_job"] not in words


def test_its_sheets_stand_by_themselves(demo: Visitor):
    for paper, name in (("a4", "A4"), ("letter", "letter")):
        sheet = demo.look(f"{WANTS.replace('/several?', '/several/paper?')}&paper={paper}")
        assert f"size: {name}" in sheet.text
        assert "script" not in sheet.text
        assert "default-src 'none'; style-src 'sha256-" in sheet.headers["content-security-policy"]
    file = demo.look(f"{WANTS.replace('/several?', '/several/paper?')}&paper=file")
    assert file.headers["content-disposition"] == 'attachment; filename="set.json"'
    assert file.json()["accessories"]


def test_she_stops_it_by_a_press_and_sees_the_best_so_far(served: Served, browsing: Callable[..., Page]):
    page = browsing(f"{served.address}/several", phone=True)
    page.get_by_text("How sure, how different, how long").tap()
    page.get_by_label("Look for at most").select_option("180")
    page.get_by_label("What counts most").select_option("most")
    page.get_by_role("button", name="Plan it").tap()
    page.get_by_role("button", name="Stop, and show the best so far").tap()
    expect(page.get_by_text("You stopped it")).to_be_visible(timeout=60_000)
    expect(page.get_by_role("button", name="Begin all of it")).to_be_visible()
