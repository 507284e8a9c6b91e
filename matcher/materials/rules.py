"""The project's choices and published limits, as the catalogue holds them; see `catalog/standards/`."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

# A field that is what she asks for, and no figure of a table.
ASKED = {"asked": True}

CONTRASTS = ("clear", "readable", "quiet")
"""Verdicts on two colours that may be asked for, the strictest first."""


@dataclass(frozen=True)
class ContrastRules:
    """Limits between the verdicts on two colours. CIEDE2000, CIELAB L* differences and C*; shares 0 to 1.

    guess_chance, guess_most : the chance with which colours given by words reach their reading, and the most it can be.
    readable_hue_delta_e : what reads by hue alone in single stitches at a usual gauge, which keep
    `single_stitches_keep` of a difference of hue across a table.
    eyes : the deficiencies that decide besides ordinary eyes, as she asked; hue_kept : how much of a difference of hue
    the motif keeps that they meet in (`matching/kept`), 0 for single stitches. Neither is a figure of the catalogue.
    """

    clear_delta_l: float
    readable_delta_l: float
    readable_delta_e: float
    readable_delta_e_min_delta_l: float
    readable_hue_delta_e: float
    single_stitches_keep: float
    quiet_delta_e: float
    guess_chance: float
    guess_most: float
    vanish_share: float
    grey_chroma: float
    deficiency_severity: float
    eyes: tuple[str, ...] = field(default=(), metadata=ASKED)
    hue_kept: float = field(default=0.0, metadata=ASKED)

    @property
    def hue_alone_delta_e(self) -> float:
        """The CIEDE2000 that reads by hue alone: as much is left of it as of single stitches that just do."""
        kept = self.hue_kept or self.single_stitches_keep
        return max(self.readable_delta_e, self.readable_hue_delta_e * self.single_stitches_keep / kept)

    def in_motif(self, hue_kept: float) -> ContrastRules:
        """The same, for colours that meet in a motif which keeps so much of a hue; 0 for single stitches."""
        return replace(self, hue_kept=hue_kept)


@dataclass(frozen=True)
class TogetherRules:
    """When two yarns can live in one fabric. Ratios of tex; shares of a blend 0 to 1; factors of the score.

    shares_likely : the chance from which a share that is not told counts as reached, and below its rest as not.
    one_yarn_kindred : how far colours of one yarn belong together; 1 are those that lived in one garment.

    never_meet : pairs of names of lots that must not be in one piece, as she wished; no figure of the catalogue.
    dark_l, red_l, red_chroma, red_hue_deg, red_hue_within_deg : dyes that may run are darker than this in L*, or red
    and darker than that: of so much C*, so near to the hue. pale_l : from this L* a yarn shows what runs into it.
    """

    tex_ratio_fits: float
    tex_ratio_blocks: float
    warn_factor: float
    marl_factor: float
    one_yarn_kindred: float
    halo_share: float
    inelastic_share: float
    felting_share: float
    shares_likely: float
    dark_l: float
    red_l: float
    red_chroma: float
    red_hue_deg: float
    red_hue_within_deg: float
    pale_l: float
    never_meet: tuple[tuple[frozenset[str], frozenset[str]], ...] = field(default=(), metadata=ASKED)


@dataclass(frozen=True)
class RankingRules:
    """Weights of the parts of the score, which sum to 1; the chance that is asked for by default; limits.

    one_colour_contrast, one_lot_kindred : what a thing of one colour, of one lot, gets for that part.
    strange_pairs : so many pairs of roles that never met are counted along in the part `kindred`.
    doubled_use : what the part `use` keeps of a lot held double that could carry colourwork by itself.
    of_a_kind, small_things : so many of a kind in ten places of a varied list, so many small things below it.
    of_one_accessory : so many of one accessory at most are in a set; of_one_accessory_share : or so many for each free
    lot, where that is more. finished : the part of a lot from which a set
    counts it as finished.
    near_misses, near_miss_pools : how many are shown, and among how many pools of most yarn they are looked for.
    near_miss_need, near_miss_least : a role is full with so many times its mean need, and too empty below this share.
    unused_searches : so many doubtful pools at most are searched one by one.
    used_up : the part of a lot from which it is called used up.
    good_use, useful_leftover, short_leftover : parts of the score from (or below) which words say so.
    vanishing_said : the share of vanishing stitches from which it is said.
    """

    weight_sure: float
    weight_contrast: float
    weight_together: float
    weight_use: float
    weight_leftover: float
    weight_kindred: float
    sure_at_least: float
    one_colour_contrast: float
    one_lot_kindred: float
    strange_pairs: float
    doubled_use: float
    of_a_kind: float
    small_things: float
    of_one_accessory: float
    of_one_accessory_share: float
    finished: float
    near_misses: float
    near_miss_pools: float
    near_miss_need: float
    near_miss_least: float
    unused_searches: float
    used_up: float
    good_use: float
    useful_leftover: float
    short_leftover: float
    vanishing_said: float


@dataclass(frozen=True)
class RecolourRules:
    """How roles are given other yarns: weights of the figures, and how far is searched and shown (counts)."""

    weight_order: float
    weight_least: float
    weight_mean: float
    weight_sure: float
    ways: float
    yarns_three_roles: float
    yarns_five_roles: float
    yarns_more_roles: float
    other_yarns: float
    smaller: float
    joined: float

    def most_yarns(self, roles: int) -> int:
        """So many yarns are searched at most for so many roles that are open."""
        return int(
            self.yarns_three_roles if roles <= 3 else self.yarns_five_roles if roles <= 5 else self.yarns_more_roles
        )


@dataclass(frozen=True)
class InsteadRules:
    """When a yarn can stand in for another, and how well (catalog/standards/instead.csv). Weights sum to 1; differences
    of colour in CIEDE2000; factors and parts of the score 0 to 1.

    hardly_delta_e, shade_delta_e, most_delta_e : up to here hardly told apart, another shade, and a stand-in at all.
    join_factor, strand_factor : what the part `handling` keeps for each lot joined on, for each further strand.
    """

    weight_look: float
    weight_gauge: float
    weight_fibre: float
    weight_care: float
    weight_kin: float
    weight_handling: float
    hardly_delta_e: float
    shade_delta_e: float
    most_delta_e: float
    join_factor: float
    strand_factor: float
    care_unknown: float
    nearest: float


@dataclass(frozen=True)
class SheetLimits:
    """What a cell can mean; beyond these it holds a slip (catalog/standards/sheet_limits.csv).

    agreement_ratio: two figures for one thing that differ by more than this are remarked on. slip_grams, slip_ratio: a
    lot that is to weigh more than both, the ratio to what it weighed before, is refused. least_rows_per_stitch,
    most_rows_per_stitch: of a swatch.
    """

    most_grams: float
    most_metres: float
    least_tex: float
    most_tex: float
    most_pieces: float
    least_chest_cm: float
    most_chest_cm: float
    least_stitches_10cm: float
    most_stitches_10cm: float
    least_rows_10cm: float
    most_rows_10cm: float
    most_planned_cm: float
    longest_name: float
    longest_cell: float
    longest_note: float
    agreement_ratio: float
    slip_grams: float
    slip_ratio: float
    least_rows_per_stitch: float
    most_rows_per_stitch: float


@dataclass(frozen=True)
class TriageRules:
    """When a lot is a scrap, too heavy to be believed, or nothing. Ratios and shares of a ball; metres of yarn."""

    overweight_ratio: float
    scrap_ball_share: float
    nothing_m: float
    weigh_length_m: float


@dataclass(frozen=True)
class PurchaseRules:
    """What could be bought (catalog/standards/purchase.csv): balls [g], colours [CIELAB], and how far is searched.

    most_g: the most that is bought at once. range_step_l, range_step_ab, range_steps: how a range of colours grows.
    range_checks: colours that are tried at random in a range that was found. held_lots: up to so many yarns in the bin
    new yarn is held together with others.
    """

    ball_small_g: float
    ball_usual_g: float
    ball_large_g: float
    most_g: float
    lightest_l: float
    darkest_l: float
    lightnesses: float
    chroma: float
    hues: float
    range_step_l: float
    range_step_ab: float
    range_steps: float
    range_checks: float
    thicknesses: float
    shown: float
    examples: float
    held_lots: float

    @property
    def balls_g(self) -> tuple[float, float, float]:
        """What a ball may weigh, small to large."""
        return self.ball_small_g, self.ball_usual_g, self.ball_large_g
