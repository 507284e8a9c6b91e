"""What is said before the first stitch and after the last: dominant colour, floats, stripes, ends."""

from __future__ import annotations

from listed import listed, page

from matcher.knitting.pattern.carried import ends_of, taken_up
from matcher.knitting.pattern.notes import notes_of
from matcher.knitting.pattern.pattern import CastOn, Chart, ChartRow, Course, Finish, Piece, Rest, Section, Step, TakeUp
from matcher.knitting.pattern.stitches import Stitch
from matcher.store.catalogue.catalogue import load_catalogue

FABRIC = load_catalogue().fabric


def stitches(row: str) -> tuple[Stitch, ...]:
    roles = {".": "main", "x": "contrast 1", "o": "contrast 2"}
    return tuple(Stitch("k", roles[mark]) for mark in row)


def charted(*rows: str) -> tuple[tuple[Piece, ...], tuple[Chart, ...]]:
    chart = Chart("A", tuple(map(stitches, rows)))
    courses = [
        Course(row * 4, "stranded", charted=(ChartRow("A", number, 4),))
        for number, row in enumerate(chart.rows, start=1)
    ]
    return (Piece("tube", (Section("tube", tuple(courses)),)),), (chart,)


def said(*rows: str) -> list[str]:
    return [str(note) for note in notes_of(*charted(*rows), FABRIC)]


def test_the_contrast_is_carried_below():
    notes = said(".x.x", "x...")
    assert "Where MC shares a round with CC1, the contrast is dominant: carry it below MC" in notes[0]
    assert notes[-1] == "No float passes behind more than 5 stitches, so none has to be caught"


def test_long_floats_are_told_by_their_rows():
    # Seven stitches of main between two of the contrast, and thirteen, which takes two catches of five apart.
    notes = said(".......x", "....x...", ".x.x.x.x")
    told = [note for note in notes if note.startswith("Chart A")]
    assert told == [
        "Chart A, rows 1 and 2: CC1 passes behind 7 stitches; catch it once on its way, but not above a catch of the row below"
    ]
    wide = [note for note in said(".............x") if note.startswith("Chart A")]
    assert "row 1: CC1 passes behind 13 stitches; catch it 2 times on its way" in wide[0]


def test_three_colours_in_a_round_are_said():
    assert any("three colours" in note for note in said(".xo."))
    assert not any("three colours" in note for note in said(".x..", ".o.."))


def striped(*colours: str) -> Piece:
    steps: list[Step] = [CastOn(8, "main", "stocking")]
    steps += [Course(stitches(colour * 8), "stocking") for colour in colours]
    return Piece("tube", (Section("tube", (*steps, Finish("bind off", "main", "stocking"))),))


def test_stripes_meet_without_a_step():
    assert any("stripes meet" in str(note) for note in notes_of([striped(*"..xx..")], [], FABRIC))
    assert not notes_of([striped(*"....")], [], FABRIC)


def test_a_colour_that_is_carried_up_has_two_ends_and_one_that_is_cut_four():
    assert ends_of(striped(*"...."), 6) == 2
    assert ends_of(striped(*"..xx..xx.."), 6) == 4
    assert ends_of(striped(*"..xx........xx.."), 6) == 6
    assert ends_of(striped(*"..xxxxxxxxxx.."), 6) == 6


def test_yarn_that_is_cut_begins_anew():
    row = Course(stitches("." * 8), "garter", flat=True)
    flap = (CastOn(8, "main", "garter"), row, Rest("flap"), CastOn(8, "main", "garter"), row, TakeUp("flap"))
    both = Course(stitches("." * 16), "garter", flat=True)
    assert ends_of(Piece("flaps", (Section("flaps", (*flap, both, Finish("bind off", "main", "garter"))),)), 6) == 4


def test_a_rest_is_counted_in_rounds():
    """Main is new with the cast-on; the contrast rests for two rounds, main for two, twice."""
    assert list(taken_up(striped(*"..xx..xx.."))) == [None, None, 2, 2, 2]
    assert list(taken_up(striped(*".x.x"))) == [None, None, 1, 1, 1]


def test_what_becomes_of_a_colour_that_rests_is_said():
    def about(*colours: str) -> list[str]:
        return [str(note) for note in notes_of([striped(*colours)], [], FABRIC) if "rests" in str(note)]

    assert about(*"..xx..") == [
        "Carry the colour that rests up inside, and cross it with the other in every second round or row"
    ]
    assert "Cut a colour where it rests" in about(*"..xxxxxxxx..")[0]
    assert "cut it where it rests longer" in about(*"..xx..xxxxxxx..")[0]
    assert not about(*"....")


def test_a_thumb_begins_with_new_yarn():
    row = Course(stitches("." * 8), "stocking")
    hand = (CastOn(8, "main", "stocking"), row, Finish("draw through", "main", "stocking"))
    thumb = (CastOn(8, "main", "stocking"), row, Finish("draw through", "main", "stocking"))
    assert ends_of(Piece("mitten", (Section("hand", hand), Section("thumb", thumb))), 6) == 4


def test_what_has_no_motif_speaks_of_none():
    """Where rounds in other colours meet, stripes step in what is striped, a motif in what has one."""
    stripes, motif = (str(page(listed(key))) for key in ("cowl-striped", "cowl-stranded"))
    assert "since the stripes step a little there" in " ".join(stripes.split())
    assert "motif" not in stripes
    assert "since the motif steps by a row there" in " ".join(motif.split())
    assert "beginning of the rounds behind" not in page(listed("cowl-garter"))
