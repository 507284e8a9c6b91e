"""The catalogue's tables as the dataclasses that the rooms below use."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import fields
from typing import Any

from matcher.errors import CatalogueError
from matcher.knitting.accessory import KINDS
from matcher.knitting.bodies import DIMENSIONS, BodyFigure, Sizes, sizes_of
from matcher.knitting.calibration import CalibrationRules
from matcher.knitting.fit.rules import FittingRule
from matcher.knitting.mending.repairs import PLACES, SLEEVES, AlterationPart, GarmentKind, RepairArea, RepairRules
from matcher.materials.blocking import BlockingRule
from matcher.materials.colours.eye import SpatialRules
from matcher.materials.colours.families import FamilyRule
from matcher.materials.colours.words import ColourWords, Modifier, folded_colour
from matcher.materials.fibre import Fibre, FibreToBuy
from matcher.materials.lots import MENDING
from matcher.materials.people import FibreGroup
from matcher.materials.reading.names import fold
from matcher.materials.reading.numerals import Unclear
from matcher.reasons.quantities import Measure, Number
from matcher.reasons.reason import Words, listed, reason
from matcher.store.catalogue.rows import Reader, settings

WIDEST_CM = 400.0


def calibration(reader: Reader) -> CalibrationRules:
    """How the spread of a need is divided; shares are from 0 to 1."""
    file = "standards/calibration.csv"
    values = reader.values(file)
    for key, value in values.items():
        if value <= 0 or (key.endswith("_share") and value > 1):
            raise CatalogueError(
                file,
                key,
                reason("found {value}, expected a number above 0, and a share of at most 1", value=Number(value, 2)),
            )
    return settings(CalibrationRules, file, values)


def spatial(reader: Reader) -> SpatialRules:
    """How the eye blurs; weights of a kernel may be below 0, its width and every distance may not."""
    file = "standards/spatial_vision.csv"
    values = reader.values(file)
    for key, value in values.items():
        if key.endswith(("_deg", "_m")) and value <= 0:
            raise CatalogueError(file, key, reason("found {value}, expected a number above 0", value=Number(value, 6)))
    return settings(SpatialRules, file, values)


def sizes(reader: Reader) -> Sizes:
    """Body sizes, in the order of the file."""
    file = "bodies/sizes.csv"
    found: list[BodyFigure] = []
    for row in reader.table(file, ("size", "wearer", "dimension", "cm", "source", "how_obtained")):
        cells = row.cells
        if cells["dimension"] not in DIMENSIONS:
            raise CatalogueError(
                file,
                row.key,
                reason(
                    'dimension "{dimension}" isn\'t one of {known}',
                    dimension=cells["dimension"],
                    known=listed(DIMENSIONS),
                ),
            )
        cm = row.number("cm", 1.0)
        if cm > WIDEST_CM:
            raise CatalogueError(file, f"{row.key}, cm", reason("{cm} is more than any body has", cm=Measure(cm)))
        found.append(
            BodyFigure(
                cells["size"],
                cells["wearer"],
                cells["dimension"],
                cm,
                cells["source"],
                cells["how_obtained"],
                cells.get("note", ""),
            )
        )
    words_file = "bodies/size_words.csv"
    words: dict[str, str] = {}
    for row in reader.table(words_file, ("word", "size", "source", "how_obtained")):
        word, size = row.cells["word"], row.cells["size"]
        if not any(one.size == size for one in found):
            raise CatalogueError(words_file, f"{row.key}, size", reason('unknown size "{size}"', size=size))
        if word in words or any(one.size == word for one in found):
            raise CatalogueError(words_file, row.key, reason("it means two sizes"))
        words[word] = size
    try:
        return sizes_of(found, words)
    except Unclear as fault:
        raise CatalogueError(file, "size", fault.said) from None


def fibres(reader: Reader) -> tuple[Fibre, ...]:
    """Fibres with their accepted spellings."""
    file = "standards/fibres.csv"
    needed = (
        "name",
        "words",
        "regain_percent",
        "felts",
        "stretch",
        "halo",
        "animal",
        "glossy",
        "source",
        "how_obtained",
    )
    found = []
    for row in reader.table(file, needed):
        if row.cells["stretch"] not in ("elastic", "inelastic"):
            raise CatalogueError(file, f"{row.key}, stretch", reason("expected elastic or inelastic"))
        words = tuple(word.strip() for word in row.cells["words"].split("|") if word.strip())
        found.append(
            Fibre(
                row.cells["name"],
                words,
                row.number("regain_percent", 0.0),
                row.yes("felts"),
                row.cells["stretch"],
                row.yes("halo"),
                row.yes("animal"),
                row.yes("glossy"),
                row.cells["source"],
                row.cells["how_obtained"],
            )
        )
    return tuple(found)


def fibre_groups(reader: Reader, fibres: Collection[Fibre]) -> tuple[FibreGroup, ...]:
    """What several fibres are called together by those who do not bear them."""
    file = "standards/fibre_groups.csv"
    several = {
        "any animal": tuple(one.name for one in fibres if one.animal),
        "any halo": tuple(one.name for one in fibres if one.halo),
    } | {one.name: (one.name,) for one in fibres}
    found = []
    for row in reader.table(file, ("group", "words", "fibres", "source", "how_obtained")):
        names = row.cells["fibres"].split("|")
        for name in names:
            if name not in several:
                raise CatalogueError(file, f"{row.key}, fibres", reason('unknown fibre "{fibre}"', fibre=name))
        words = tuple(map(fold, row.cells["words"].split("|")))
        found.append(FibreGroup(row.cells["group"], words, tuple(one for name in names for one in several[name])))
    return tuple(found)


def fibres_to_buy(reader: Reader, fibres: Collection[Fibre]) -> tuple[FibreToBuy, ...]:
    """Kinds of yarn that are tried to buy, in the order in which they are named."""
    file, known = "standards/fibres_to_buy.csv", {one.name: one for one in fibres}
    found = []
    for row in reader.table(file, ("fibre", "wash", "source", "how_obtained")):
        if (name := row.cells["fibre"]) not in known:
            raise CatalogueError(file, f"{row.key}, fibre", reason('unknown fibre "{fibre}"', fibre=name))
        if row.cells["wash"] not in ("hand", "machine"):
            raise CatalogueError(file, f"{row.key}, wash", reason("expected hand or machine"))
        found.append(FibreToBuy(known[name], row.cells["wash"]))
    return tuple(found)


def blocking(reader: Reader, fibres: Collection[Fibre]) -> tuple[BlockingRule, ...]:
    """How pieces are blocked, the most delicate first; every fibre has one row, the last is for what isn't known."""
    file, left = "standards/blocking.csv", {one.name for one in fibres}
    found: list[BlockingRule] = []
    for row in reader.table(file, ("group", "fibres", "least_share", "by_machine", "words", "source", "how_obtained")):
        names = frozenset(filter(None, row.cells["fibres"].split("|")))
        if not names <= left:
            said = "{fibres}: each is a fibre of fibres.csv and stands in one row"
            raise CatalogueError(file, f"{row.key}, fibres", reason(said, fibres=listed(sorted(names - left))))
        left -= names
        told, least_share = row.cells, row.number("least_share", 0.0)
        found.append(BlockingRule(told["group"], names, least_share, reason(told["words"]), told["by_machine"]))
    for one in found:
        if one.by_machine and one.by_machine not in {other.group for other in found}:
            raise CatalogueError(file, f"{one.group}, by_machine", reason("name a group of this file"))
    if left or not found or found[-1].fibres:
        said = "no row for {fibres}; the last row is for what isn't known"
        raise CatalogueError(file, "fibres", reason(said, fibres=listed(sorted(left))))
    return tuple(found)


def colour_words(reader: Reader) -> ColourWords:
    """Colour words with the spread of what they stand for, and what other words do to a colour."""
    file, found = "standards/colour_words.csv", {}
    for row in reader.table(file, ("word", "hex", "sd_l", "sd_a", "sd_b", "source", "how_obtained")):
        word, code = row.cells["word"], row.cells["hex"]
        if word in found or word != folded_colour(word):
            raise CatalogueError(
                file, row.key, reason("each word stands once, in small letters, spelled as in Britain")
            )
        if not re.fullmatch("#[0-9a-f]{6}", code):
            raise CatalogueError(file, row.key, reason("expected a code such as #6b7f4a"))
        found[word] = (code, (row.number("sd_l", 0.1), row.number("sd_a", 0.1), row.number("sd_b", 0.1)))
    file, changes = "standards/colour_modifiers.csv", ("to_black", "to_white", "chroma", "sd_l", "sd_ab")
    modifiers = {
        row.cells["word"]: Modifier(*(row.number(column, 0.0) for column in changes))
        for row in reader.table(file, ("word", *changes, "source", "how_obtained"))
    }
    file, abroad = "standards/colours_abroad.csv", {}
    for row in reader.table(file, ("word", "means", "source", "how_obtained")):
        word, means = row.cells["word"], row.cells["means"]
        if word in abroad or word in found or word != folded_colour(word):
            raise CatalogueError(
                file, row.key, reason("each word stands once, in small letters, and is no English one")
            )
        if means not in found and means not in modifiers:
            raise CatalogueError(file, row.key, reason("expected a word of colour_words.csv or colour_modifiers.csv"))
        abroad[word] = means
    return ColourWords(found, modifiers, abroad)


def vision(reader: Reader) -> dict[str, tuple[tuple[float, tuple[float, ...]], ...]]:
    """Matrices of colour-vision deficiency: type -> (severity, nine numbers row by row), mildest first."""
    file = "standards/vision_machado2009.csv"
    cells = tuple(f"m{row}{column}" for row in (1, 2, 3) for column in (1, 2, 3))
    found: dict[str, list[tuple[float, tuple[float, ...]]]] = {}
    for row in reader.table(file, ("type", "severity", *cells, "source", "how_obtained")):
        matrix = tuple(row.number(cell) for cell in cells)
        found.setdefault(row.cells["type"], []).append((row.number("severity", 0.0), matrix))
    return {kind: tuple(sorted(rows)) for kind, rows in found.items()}


def fitting(reader: Reader) -> dict[str, FittingRule]:
    """How far each kind of accessory may depart from its entry's ease when a motif is fitted to it."""
    file = "standards/fitting.csv"
    columns = ("ease_below_percent", "ease_above_percent", "other_gauge_percent")
    found: dict[str, FittingRule] = {}
    for row in reader.table(file, ("kind", *columns, "rib_stitches", "plain_columns", "source", "how_obtained")):
        kind = row.cells["kind"]
        if kind not in KINDS or kind in found:
            raise CatalogueError(file, row.key, reason("expected one of {known}, each once", known=listed(KINDS)))
        below, above, other = (row.number(column, 0.0) for column in columns)
        rib, plain = row.whole("rib_stitches", 1), row.whole("plain_columns")
        found[kind] = FittingRule(kind, below, above, rib, plain, other)
    return found


def accessory_words(reader: Reader) -> tuple[dict[str, str], dict[str, Words]]:
    """What a kind of accessory is called besides its own name; and, by such a word, what is said where the kind is less
    than it asks for."""
    file = "standards/accessory_words.csv"
    found: dict[str, str] = {}
    but: dict[str, Words] = {}
    for row in reader.table(file, ("word", "kind", "but", "source", "how_obtained")):
        word = row.cells["word"].casefold()
        if word in found or word in KINDS:
            raise CatalogueError(file, row.key, reason("this word stands twice"))
        found[word] = row.one_of("kind", tuple(KINDS))
        if row.cells["but"]:
            but[word] = reason(row.cells["but"])
    return found, but


def garment_kinds(reader: Reader, sizes: Sizes) -> dict[str, GarmentKind]:
    """Kinds of garment by name, those that count most where a text holds several first."""
    kinds: dict[str, GarmentKind] = {}
    kinds_file = "standards/garment_kinds.csv"
    needed = ("kind", "repairs_of", "sleeves", "size", "chest_ease_cm", "source", "how_obtained")
    for row in reader.table(kinds_file, needed):
        size = row.cells["size"]
        if size not in sizes.names:
            raise CatalogueError(kinds_file, f"{row.key}, size", reason('unknown size "{size}"', size=size))
        like, sleeves = row.cells["repairs_of"], row.one_of("sleeves", ("", *SLEEVES))
        kinds[row.cells["kind"]] = GarmentKind(row.cells["kind"], like, sleeves, size, row.number("chest_ease_cm"))
    for kind, entry in kinds.items():
        if entry.repairs_of not in kinds:
            unknown = reason('unknown kind "{kind}"', kind=entry.repairs_of)
            raise CatalogueError(kinds_file, f"{kind}, repairs_of", unknown)
    if "other" not in kinds:
        raise CatalogueError(kinds_file, "other", reason("the kind for all other garments is missing"))
    return kinds


def repairs(reader: Reader, sizes: Sizes, structures: Collection[str]) -> RepairRules:
    """Repair areas, kinds of garment, parts that plans name, floor and margin."""
    parts_file = "standards/alteration_parts.csv"
    kinds = garment_kinds(reader, sizes)
    parts: dict[str, AlterationPart] = {}
    for row in reader.table(parts_file, ("part", "of", "times", "count", "fallback_cm", "source", "how_obtained")):
        if row.cells["of"] not in DIMENSIONS:
            raise CatalogueError(parts_file, f"{row.key}, of", reason('unknown dimension "{of}"', of=row.cells["of"]))
        parts[row.cells["part"]] = AlterationPart(
            row.cells["part"],
            row.cells["of"],
            row.number("times", 0.0),
            row.whole("count", 1),
            row.number("fallback_cm", 1.0),
        )
    if "body" not in parts:
        raise CatalogueError(parts_file, "body", reason("the part for a plan that names no other is missing"))
    areas = _areas(reader, kinds, sizes, structures)
    rules = reader.values("standards/reserve.csv")
    rest: dict[str, Any] = {**rules, "areas": areas, "kinds": kinds, "parts": parts}
    return settings(RepairRules, "standards/reserve.csv", rest)


def families(reader: Reader) -> tuple[FamilyRule, ...]:
    """What colours are called, the first rule that fits; hues may pass 360 degrees."""
    file = "standards/colour_families.csv"
    bounds = tuple(one.name for one in fields(FamilyRule) if one.name != "family")
    rows = reader.table(file, ("family", *bounds, "source", "how_obtained"))
    return tuple(FamilyRule(row.cells["family"], *(row.number(one, 0.0) for one in bounds)) for row in rows)


def _areas(
    reader: Reader, kinds: Mapping[str, GarmentKind], sizes: Sizes, structures: Collection[str]
) -> tuple[RepairArea, ...]:
    file = "standards/repairs.csv"
    needed = (
        "kind",
        "area",
        "structure",
        "width_cm",
        "width_of",
        "width_times",
        "height_cm",
        "count",
        "main_share",
        "contrast_share_total",
        "mending",
        "sleeves",
        "worn",
        "given",
        "where",
        "source",
        "how_obtained",
    )
    found: list[RepairArea] = []
    for row in reader.table(file, needed):
        cells = row.cells
        area = RepairArea(
            kind=cells["kind"],
            area=cells["area"],
            structure=cells["structure"],
            width_cm=row.optional("width_cm", 0.5),
            width_of=cells["width_of"] or None,
            width_times=row.optional("width_times", 0.01) or 1.0,
            height_cm=row.number("height_cm", 0.5),
            count=row.whole("count", 1),
            main_share=row.number("main_share", 0.0),
            contrast_share_total=row.number("contrast_share_total", 0.0),
            mending=row.one_of("mending", MENDING),
            sleeves=row.one_of("sleeves", ("", *SLEEVES)),
            worn=row.yes("worn"),
            given=row.yes("given"),
            where=row.one_of("where", PLACES),
        )
        where = f"{row.key}, {area.area}"
        if area.kind not in kinds:
            raise CatalogueError(file, where, reason('kind "{kind}" isn\'t in garment_kinds.csv', kind=area.kind))
        if area.structure not in structures:
            raise CatalogueError(
                file,
                where,
                reason(
                    'structure "{structure}" isn\'t one of {known}', structure=area.structure, known=listed(structures)
                ),
            )
        if (area.width_cm is None) == (area.width_of is None):
            raise CatalogueError(file, where, reason("give either width_cm or width_of"))
        if area.width_of is not None and not sizes.has(kinds[area.kind].size, area.width_of):
            raise CatalogueError(
                file,
                where,
                reason(
                    'size "{size}" has no dimension "{width_of}"', size=kinds[area.kind].size, width_of=area.width_of
                ),
            )
        if abs(area.main_share + area.contrast_share_total - 1.0) > 1e-9:
            total = area.main_share + area.contrast_share_total
            raise CatalogueError(file, where, reason("the shares come to {total}, not to 1", total=Number(total, 2)))
        found.append(area)
    for kind in kinds.values():
        if not any(area.kind == kind.repairs_of for area in found):
            raise CatalogueError(file, kind.kind, reason("this kind of garment has no repair area"))
    return tuple(found)
