"""The catalogue: one function knows where it lies, one loads it, one checks that every source is used."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from matcher.errors import BadInput, CatalogueError, NotFound
from matcher.knitting.accessory import Accessory
from matcher.knitting.bodies import Sizes
from matcher.knitting.calibration import CalibrationRules
from matcher.knitting.fabric import FabricConstants, Structure
from matcher.knitting.fit.rules import FittingRule
from matcher.knitting.mending.repairs import GarmentKind, RepairRules
from matcher.knitting.motifs.motif import Motif, parse_motif
from matcher.materials.blocking import BlockingRule
from matcher.materials.clues import IdentifyRules
from matcher.materials.colours.eye import SpatialRules
from matcher.materials.colours.families import FamilyRule
from matcher.materials.colours.words import ColourWords
from matcher.materials.fibre import Fibre, FibreToBuy
from matcher.materials.people import FibreGroup
from matcher.materials.reading.amounts import AmountWords
from matcher.materials.rules import (
    ContrastRules,
    InsteadRules,
    PurchaseRules,
    RankingRules,
    RecolourRules,
    SheetLimits,
    TogetherRules,
    TriageRules,
)
from matcher.materials.yarn import MeasuringRules, WeightClass
from matcher.photographs.pixels import PhotoRules
from matcher.reasons.reason import Field, Reason, Words, reason
from matcher.store.catalogue import tables
from matcher.store.catalogue.accessories import AccessoryReader
from matcher.store.catalogue.amounts import amounts
from matcher.store.catalogue.classes import weight_classes, yarn_names
from matcher.store.catalogue.fabric import fabric
from matcher.store.catalogue.folders import catalogue_folder
from matcher.store.catalogue.headings import HeadingWords, headings
from matcher.store.catalogue.limits import sheet_limits
from matcher.store.catalogue.rows import OWN, Figure, Reader, Source, read_sources, read_text, read_toml, settings

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

_Severities = tuple[tuple[float, tuple[float, ...]], ...]


@dataclass(frozen=True)
class Catalogue:
    """Everything the catalogue holds. `figures` names the source of each figure and entry."""

    accessories: Mapping[str, Accessory]
    motifs: Mapping[str, Motif]
    sizes: Sizes
    classes: tuple[WeightClass, ...]
    fabric: FabricConstants
    repairs: RepairRules
    fitting: Mapping[str, FittingRule]
    contrast: ContrastRules
    spatial: SpatialRules
    together: TogetherRules
    ranking: RankingRules
    recolour: RecolourRules
    instead: InsteadRules
    purchase: PurchaseRules
    colour_words: ColourWords
    families: tuple[FamilyRule, ...]
    fibres: tuple[Fibre, ...]
    fibre_groups: tuple[FibreGroup, ...]
    fibres_to_buy: tuple[FibreToBuy, ...]
    blocking: tuple[BlockingRule, ...]
    measuring: MeasuringRules
    limits: SheetLimits
    amounts: AmountWords
    yarn_names: Mapping[str, tuple[int, ...]]
    accessory_words: Mapping[str, str]
    accessory_buts: Mapping[str, Words]
    headings: HeadingWords
    photo: PhotoRules
    calibration: CalibrationRules
    identify: IdentifyRules
    triage: TriageRules
    cautions: Mapping[str, Reason]
    sources: Mapping[str, Source]
    vision_table: Mapping[str, _Severities] = field(repr=False)
    figures: tuple[Figure, ...] = field(repr=False)

    def seen_by(self, eyes: tuple[str, ...]) -> Catalogue:
        """The same, where these deficiencies of colour vision decide besides ordinary eyes."""
        return replace(self, contrast=replace(self.contrast, eyes=eyes)) if eyes != self.contrast.eyes else self

    def in_motif(self, hue_kept: float) -> Catalogue:
        """The same, for colours that meet in a motif which keeps so much of a hue, see `ContrastRules`."""
        return replace(self, contrast=self.contrast.in_motif(hue_kept))

    @property
    def garment_kinds(self) -> Mapping[str, GarmentKind]:
        """Kinds of garment by name."""
        return self.repairs.kinds

    @cached_property
    def vision(self) -> dict[str, npt.NDArray[np.float64]]:
        """A matrix (3, 3) on linear RGB for each deficiency, at the severity that the contrast rules name."""
        import numpy as np

        wanted = self.contrast.deficiency_severity
        found: dict[str, npt.NDArray[np.float64]] = {}
        for kind, rows in self.vision_table.items():
            severities = [severity for severity, _ in rows]
            cells = np.array([matrix for _, matrix in rows])
            found[kind] = np.array([np.interp(wanted, severities, cells[:, cell]) for cell in range(9)]).reshape(3, 3)
        return found


def load_catalogue(extra: Path | None = None, folder: Path | None = None) -> Catalogue:
    """Read and check the catalogue, with the knitter's own folder of entries on top.

    extra: a folder with accessories/*.toml and motifs/*.txt, or both kinds flat in it. folder: another
    catalogue than the shipped one (tests). Raises CatalogueError for the first broken rule, NotFound or
    BadInput when `extra` is no folder or holds nothing.
    """
    base = _load(catalogue_folder()) if folder is None else _load.__wrapped__(folder)
    return base if extra is None else _with_own(base, Path(extra))


def check_catalogue(catalogue: Catalogue) -> tuple[Figure, ...]:
    """Refuse a source that nothing uses; return the figures that rest on memory or common practice."""
    used = {figure.source for figure in catalogue.figures}
    for key in catalogue.sources:
        if key not in used:
            raise CatalogueError("sources.toml", key, reason("no figure of the catalogue uses this source"))
    return tuple(one for one in catalogue.figures if one.how_obtained in ("memory", "common practice"))


@lru_cache(maxsize=4)
def _load(folder: Path) -> Catalogue:
    reader = Reader(folder, read_sources(folder / "sources.toml"))
    sizes = tables.sizes(reader)
    classes = weight_classes(reader)
    cautions = _cautions(folder)
    fibres = tables.fibres(reader)
    called, buts = tables.accessory_words(reader)
    motifs = _motifs(reader, _files(folder / "motifs", "txt"), {})
    values = reader.values
    measuring = settings(MeasuringRules, "standards/measuring.csv", values("standards/measuring.csv"))
    knitted = fabric(reader, measuring.tail_m, classes)
    accessories = _accessories(
        reader, _files(folder / "accessories", "toml"), {}, sizes, motifs, cautions, classes, knitted.structures
    )
    return Catalogue(
        accessories=accessories,
        motifs=motifs,
        sizes=sizes,
        classes=classes,
        fabric=knitted,
        repairs=tables.repairs(reader, sizes, knitted.structures),
        fitting=tables.fitting(reader),
        contrast=settings(ContrastRules, "standards/contrast.csv", values("standards/contrast.csv")),
        spatial=tables.spatial(reader),
        together=settings(TogetherRules, "standards/together.csv", values("standards/together.csv")),
        ranking=settings(RankingRules, "standards/ranking.csv", values("standards/ranking.csv")),
        recolour=settings(RecolourRules, "standards/recolour.csv", values("standards/recolour.csv")),
        instead=settings(InsteadRules, "standards/instead.csv", values("standards/instead.csv")),
        purchase=settings(PurchaseRules, "standards/purchase.csv", values("standards/purchase.csv")),
        colour_words=tables.colour_words(reader),
        families=tables.families(reader),
        fibres=fibres,
        fibre_groups=tables.fibre_groups(reader, fibres),
        fibres_to_buy=tables.fibres_to_buy(reader, fibres),
        blocking=tables.blocking(reader, fibres),
        measuring=measuring,
        limits=sheet_limits(reader),
        amounts=amounts(reader),
        yarn_names=yarn_names(reader),
        accessory_words=called,
        accessory_buts=buts,
        headings=headings(reader),
        photo=settings(PhotoRules, "standards/photo.csv", values("standards/photo.csv")),
        calibration=tables.calibration(reader),
        identify=settings(IdentifyRules, "standards/identify.csv", values("standards/identify.csv")),
        triage=settings(TriageRules, "standards/triage.csv", values("standards/triage.csv")),
        cautions=cautions,
        sources=reader.sources,
        vision_table=tables.vision(reader),
        figures=tuple(reader.figures),
    )


def _with_own(base: Catalogue, extra: Path) -> Catalogue:
    """The catalogue with her own entries added; one that reuses a key or a name of ours is refused."""
    if not extra.exists():
        raise NotFound(reason("there is no folder {folder}", folder=str(extra)), Field("own catalogue"))
    if not extra.is_dir():
        what = reason("{file} is a file, not a folder", file=str(extra))
        raise BadInput(what, Field("own catalogue"), reason("name the folder that holds your entries"))
    motif_files = _files(extra, "txt") | _files(extra / "motifs", "txt", "motifs/")
    entry_files = _files(extra, "toml") | _files(extra / "accessories", "toml", "accessories/")
    if not motif_files and not entry_files:
        todo = reason("put accessories as .toml and motifs as .txt files into it")
        raise BadInput(reason("{folder} holds no entries", folder=str(extra)), Field("own catalogue"), todo)
    reader = Reader(extra, base.sources, own=True)
    motifs = _motifs(reader, motif_files, base.motifs)
    accessories = _accessories(
        reader,
        entry_files,
        base.accessories,
        base.sizes,
        motifs,
        base.cautions,
        base.classes,
        base.fabric.structures,
    )
    values = {name: getattr(base, name) for name in Catalogue.__dataclass_fields__}
    values |= {"motifs": motifs, "accessories": accessories, "figures": base.figures + tuple(reader.figures)}
    return Catalogue(**values)


def _files(folder: Path, ending: str, prefix: str | None = None) -> dict[str, Path]:
    """Files of one ending in a folder, by the name that messages use, in order of their names."""
    if not folder.is_dir():
        return {}
    start = f"{folder.name}/" if prefix is None else prefix
    found = (path for path in folder.iterdir() if path.suffix.lower() == f".{ending}" and path.is_file())
    return {f"{start}{path.name}": path for path in sorted(found) if not path.name.startswith(".")}


def _motifs(reader: Reader, files: Mapping[str, Path], known: Mapping[str, Motif]) -> dict[str, Motif]:
    found = dict(known)
    names = {motif.name.casefold(): motif.key for motif in known.values()}
    for file, path in files.items():
        key = path.stem
        if key in found:
            raise CatalogueError(file, key, reason("a motif with this key is there already; rename the file"))
        motif = parse_motif(read_text(path, file), file, key)
        if motif.name.casefold() in names:
            raise CatalogueError(
                file,
                "name",
                reason(
                    'motif "{motif}" already has the name "{name}"', motif=names[motif.name.casefold()], name=motif.name
                ),
            )
        names[motif.name.casefold()] = key
        own = reader.own and not motif.source
        reader.cite(file, key, OWN if own else motif.source, motif.how_obtained or ("choice" if own else ""))
        found[key] = motif
    return found


def _accessories(
    reader: Reader,
    files: Mapping[str, Path],
    known: Mapping[str, Accessory],
    sizes: Sizes,
    motifs: Mapping[str, Motif],
    cautions: Mapping[str, Reason],
    classes: Iterable[WeightClass],
    structures: Mapping[str, Structure],
) -> dict[str, Accessory]:
    found = dict(known)
    names = {one.name.casefold(): one.key for one in known.values()}
    numbers = [one.number for one in classes]
    for file, path in files.items():
        key = path.stem
        if key in found:
            raise CatalogueError(file, key, reason("an accessory with this key is there already; rename the file"))
        entries = AccessoryReader(file, sizes, motifs, cautions, numbers, structures, reader.own)
        values = read_toml(path, file)
        entry = entries.read(key, values)
        if entry.name.casefold() in names:
            raise CatalogueError(
                file,
                "name",
                reason(
                    'accessory "{accessory}" already has the name "{name}"',
                    accessory=names[entry.name.casefold()],
                    name=entry.name,
                ),
            )
        names[entry.name.casefold()] = key
        reader.cite(file, key, entry.source, entry.how_obtained)
        if "firmness" in values:
            source, how = values.get("firmness_source", entry.source), values.get("firmness_how", "choice")
            reader.cite(file, f"{key}, firmness", str(source), str(how))
        found[key] = entry
    return found


def _cautions(folder: Path) -> dict[str, Reason]:
    file = "cautions.toml"
    found: dict[str, Reason] = {}
    for key, words in read_toml(folder / file, file).items():
        if not isinstance(words, str) or not words.strip():
            raise CatalogueError(file, key, reason("a caution needs its sentence"))
        sentence = words.strip()
        found[key] = reason(sentence)
    return found
