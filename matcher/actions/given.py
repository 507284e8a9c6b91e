"""What one bin gives to a collection: what is free in it by its own reserves, decisions and pieces on the needles.

Lots that count as one do so here, where they lie in one house, and nowhere later. Garments, notes, places in the house
and names of lots stay behind; of her wishes only which of her yarns never meet goes along.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from matcher.actions.desk import Desk
from matcher.actions.unnamed import Unnamed, people_in
from matcher.matching.pools import Pool, sides_of
from matcher.materials.collection import LABS, SHARES, WHOLE, Collection, Once, Several
from matcher.materials.colours.cielab import Lab
from matcher.materials.lots import Lot


def given(desk: Desk, code: str = "", place: str = "") -> Collection:
    """A bin's free yarn as columns, in the order of her list; of file 0.

    code : hers, "" for none. place : where it lies, "" for nowhere in particular, and told so where it would name
    somebody. Raises as reading the bin does.
    """
    told = Unnamed(people_in(desk)).told
    shelf = desk.shelf
    number = {lot.name: place for place, lot in enumerate(desk.bin.lots, 1)}
    named = dict.fromkeys((*desk.bin.garments, *(lot.garment for lot in desk.bin.lots)))
    garment = {name: place for place, name in enumerate(filter(None, named), 1)}
    # What may be taken: of lots that count as one, those that anything is free of.
    taken = [
        (pool, [lot for lot in pool.lots if shelf.free[lot.name].mean > 0])
        for pool in shelf.pools
        if pool.free.mean > 0
    ]
    taken.sort(key=lambda one: number[one[1][0].name])
    pools, lots = [pool for pool, _ in taken], [several for _, several in taken]
    together = desk.seen_by(None).together
    yarns = [pool.yarn for pool in pools]
    stitches = [pool.colour.stitches() for pool in pools]
    homes = [dict.fromkeys(lot.garment for lot in pool.lots if lot.garment) for pool in pools]
    return Collection(
        file=np.zeros(len(pools), dtype=np.intp),
        member=Once(np.zeros(len(pools), dtype=np.intp), (code,)),
        place=Once(np.zeros(len(pools), dtype=np.intp), (told(place),)),
        number=_known_by([sorted(several, key=lambda lot: number[lot.name]) for several in lots], number),
        yarn=Once.column([told(yarn.name) for yarn in yarns]),
        colour=Once.column([_colour(several[0], told(_written(several[0]))) for several in lots]),
        dye_lot=Once.column([told(pool.dye_lot) for pool in pools]),
        tex=np.array([yarn.tex.mean for yarn in yarns]),
        tex_sd=np.array([yarn.tex.sd for yarn in yarns]),
        tex_from=Once.column([yarn.tex_from for yarn in yarns]),
        weight_class=np.array([yarn.weight_class for yarn in yarns], dtype=np.intp),
        blend=Once.column([yarn.blend for yarn in yarns]),
        wash=Once.column([yarn.wash for yarn in yarns]),
        lab=Several.column([[lab for lab, _ in one] for one in stitches], LABS),
        share=Several.column([[share for _, share in one] for one in stitches], SHARES),
        lab_sd=Several.column([_spread(pool) for pool in pools], LABS),
        free_m=np.array([pool.free.mean for pool in pools]),
        free_sd_m=np.array([pool.free.sd for pool in pools]),
        garment=Several.column([[garment[name] for name in one] for one in homes], WHOLE),
        ball_g=np.array([pool.lots[0].ball_g or np.nan for pool in pools], dtype=float),
        apart=Several.column([sides_of(pool, together) for pool in pools], WHOLE),
    )


def _known_by(lots: Sequence[Sequence[Lot]], number: Mapping[str, int]) -> Several:
    """Each lot by the code on its tag, by which its owner finds it whatever she adds; else by its number."""
    start = np.cumsum([0, *map(len, lots)]).astype(np.intp)
    return Several(start, np.array([lot.code or str(number[lot.name]) for one in lots for lot in one], dtype=np.str_))


def _written(lot: Lot) -> str:
    return lot.colour_name or lot.colour.said


def _colour(lot: Lot, said: str) -> str:
    """The colour in her words; in codes where there are none, or they would name somebody."""
    return said or ", ".join(lot.colour.codes())


def _spread(pool: Pool) -> Sequence[Lab]:
    return pool.colour.stitch_sds() if pool.colour.guessed else ()
