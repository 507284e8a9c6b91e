"""An accessory's TOML file as an `Accessory`, with every broken rule named by file, key and reason."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from matcher.knitting.accessory import CONSTRUCTIONS, KINDS, SHAPES, Accessory, Dimension, Role, Zone
from matcher.knitting.bodies import DIMENSIONS, Sizes
from matcher.knitting.fabric import PLAIN, Structure
from matcher.knitting.motifs.motif import Motif
from matcher.materials.rules import CONTRASTS
from matcher.reasons.quantities import Measure, Number
from matcher.reasons.reason import listed
from matcher.store.catalogue.rows import HOW_OBTAINED, OWN
from matcher.store.catalogue.values import EntryValues

ONE_SIZE = "one size"
NARROWEST_CM, WIDEST_CM = 0.5, 400.0
FIRMNESS = (0.7, 1.5)  # beyond that it is another yarn that is wanted (a choice)
_TOP = (
    "name",
    "kind",
    "sizes",
    "classes",
    "next_to_skin",
    "firmness",
    "firmness_source",
    "firmness_how",
    "construction",
    "least_contrast",
    "practice",
    "practice_exempt",
    "cautions",
    "note",
    "source",
    "how_obtained",
    "roles",
    "zones",
)
_ROLE = ("name", "bring")
_ZONE = (
    "name",
    "shape",
    "count",
    "around",
    "around_end",
    "width",
    "height",
    "structure",
    "role",
    "motif",
    "stitches",
    "rows",
    "turned",
)
_DIMENSION = ("of", "times", "ease_percent", "ease_cm", "cm")


class AccessoryReader(EntryValues):
    """Turns the values of one file into an accessory, checking as it goes."""

    def __init__(
        self,
        file: str,
        sizes: Sizes,
        motifs: Mapping[str, Motif],
        cautions: Iterable[str],
        classes: Iterable[int],
        structures: Mapping[str, Structure],
        own: bool,
    ) -> None:
        super().__init__(file)
        self.sizes_table = sizes
        self.motifs = motifs
        self.caution_keys = set(cautions)
        self.class_numbers = set(classes)
        self.structures = structures
        self.own = own

    def read(self, key: str, values: dict[str, Any]) -> Accessory:
        """The accessory. Raises CatalogueError for the first rule that is broken."""
        self.known("", values, _TOP)
        roles = self._roles(values)
        zones = tuple(
            self._zone(f"zones[{number}]", entry, {role.name for role in roles})
            for number, entry in enumerate(self.tables("zones", values), start=1)
        )
        accessory = Accessory(
            key=key,
            name=self.name("name", values),
            kind=self.one_of("kind", values, KINDS),
            sizes=self._sizes(values, zones),
            classes=self._classes(values),
            roles=roles,
            zones=zones,
            next_to_skin=self.yes("next_to_skin", values, True),
            firmness=self.number("firmness", values, *FIRMNESS, "", 1.0),
            construction=self.optional_one_of("construction", values, CONSTRUCTIONS[1:]) or "",
            least_contrast=self.optional_one_of("least_contrast", values, CONTRASTS),
            practice=self.optional_text("practice", values),
            practice_exempt=self.optional_text("practice_exempt", values),
            cautions=tuple(self.list_of("cautions", values, str)) if "cautions" in values else (),
            note=self.text("note", values) if "note" in values or not self.own else "",
            source=self.text("source", values) if "source" in values or not self.own else OWN,
            how_obtained=self.one_of("how_obtained", values, HOW_OBTAINED) if "how_obtained" in values else "choice",
            own=self.own,
        )
        for word in ("firmness_source", "firmness_how"):
            if word in values and "firmness" not in values:
                self.fail(word, "there is no firmness that this could be said of")
        self._check_whole(accessory)
        return accessory

    def _check_whole(self, accessory: Accessory) -> None:
        """Rules that need more than one key."""
        for caution in accessory.cautions:
            if caution not in self.caution_keys:
                self.fail("cautions", 'unknown caution "{caution}"; see cautions.toml', caution=caution)
        used: set[str] = set()
        for number, zone in enumerate(accessory.zones, start=1):
            used |= {zone.role} if zone.role else set(self.motifs[zone.motif or ""].role_names)
            for size in accessory.sizes:
                for name, dimension in (
                    ("around", zone.around),
                    ("around_end", zone.around_end),
                    ("height", zone.height),
                ):
                    if dimension is not None:
                        self._check_cm(f"zones[{number}].{name}", dimension, size)
        for role in accessory.roles:
            if role.name not in used:
                self.fail("roles", 'role "{name}" is used by no zone', name=role.name)
        if all(role.bring for role in accessory.roles):
            self.fail("roles", "every role is brought, so nothing would be taken from her lots")
        mixed = any(len(self.motifs[zone.motif].role_names) > 1 for zone in accessory.zones if zone.motif)
        if mixed and accessory.least_contrast is None:
            self.fail(
                "least_contrast", "roles lie side by side in a motif; give one of {known}", known=listed(CONTRASTS)
            )
        if accessory.practice and accessory.practice_exempt:
            self.fail("practice_exempt", "an entry is either held to a practice or exempt from it, not both")

    def _check_cm(self, key: str, dimension: Dimension, size: str) -> None:
        try:
            cm = dimension.in_cm(self.sizes_table, size)
        except KeyError as fault:
            self.fail(key, "{why}", why=fault.args[0])
        if not NARROWEST_CM <= cm <= WIDEST_CM:
            said = "comes to {cm} in size {size}; expected {least} to {most}"
            self.fail(key, said, cm=Measure(cm), size=size, least=Measure(NARROWEST_CM), most=Measure(WIDEST_CM))

    def _roles(self, values: dict[str, Any]) -> tuple[Role, ...]:
        roles: list[Role] = []
        for number, entry in enumerate(self.tables("roles", values), start=1):
            where = f"roles[{number}]"
            self.known(where, entry, _ROLE)
            name = self.name("name", entry, where)
            if not re.fullmatch(r"main|contrast [1-9]", name):
                self.fail(f"{where}.name", 'found "{name}", expected main, contrast 1, contrast 2 ...', name=name)
            if name in {role.name for role in roles}:
                self.fail(f"{where}.name", 'role "{name}" stands twice', name=name)
            roles.append(Role(name, self.yes("bring", entry, False, where)))
        return tuple(roles)

    def _zone(self, where: str, entry: dict[str, Any], roles: set[str]) -> Zone:
        self.known(where, entry, _ZONE)
        shape = self.one_of("shape", entry, SHAPES, where)
        structure = self.one_of("structure", entry, tuple(self.structures), where)
        wide = "width" if shape in ("flat", "triangle") else "around"
        for name in ("around", "width"):
            if name in entry and (name != wide or shape == "piece"):
                self.fail(f"{where}.{name}", "a {shape} has no {name}", shape=shape, name=name)
        if ("around_end" in entry) != (shape == "frustum"):
            self.fail(f"{where}.around_end", "a frustum needs around_end, and no other shape has it")
        for name in ("stitches", "rows"):
            if name in entry and shape != "piece":
                self.fail(
                    f"{where}.{name}",
                    'only shape = "piece" is given in stitches and rows, not {shape}',
                    shape=shape,
                )
        role, motif = self._yarn_of(where, entry, structure, roles)
        piece = shape == "piece"
        rows = self.whole("rows", entry, 1, 20000, where) if "rows" in entry else None
        return Zone(
            name=self.name("name", entry, where),
            shape=shape,
            structure=structure,
            count=self.whole("count", entry, 1, 100, where) if "count" in entry else 1,
            around=None if piece else self._dimension(wide, entry, where),
            around_end=self._dimension("around_end", entry, where) if shape == "frustum" else None,
            height=self._dimension("height", entry, where) if rows is None or "height" in entry else None,
            role=role,
            motif=motif,
            stitches=self.whole("stitches", entry, 1, 5000, where) if piece else None,
            rows=rows,
            turned=self.number("turned", entry, 0.0, 1.0, where, 0.0),
        )

    def _yarn_of(
        self, where: str, entry: dict[str, Any], structure: str, roles: set[str]
    ) -> tuple[str | None, str | None]:
        """The zone's role or its motif: exactly one of them."""
        if self.structures[structure].stranded and "motif" not in entry:
            self.fail(f"{where}.motif", "a stranded zone needs a motif")
        if ("role" in entry) == ("motif" in entry):
            self.fail(where, "a zone needs either a role or a motif, and not both")
        if "role" in entry:
            role = self.text("role", entry, where)
            if role not in roles:
                self.unknown(f"{where}.role", 'role "{word}" isn\'t in [[roles]]', role, roles)
            return role, None
        motif = self.text("motif", entry, where)
        if motif not in self.motifs:
            self.unknown(f"{where}.motif", 'unknown motif "{word}"', motif, self.motifs)
        found = self.motifs[motif]
        for name in found.role_names:
            if name not in roles:
                self.fail(
                    f"{where}.motif",
                    'motif "{motif}" uses role "{name}", which isn\'t in [[roles]]',
                    motif=motif,
                    name=name,
                )
        if structure != PLAIN and not self.structures[structure].stranded:
            self.fail(
                f"{where}.structure",
                "a motif is knitted stranded or in stocking stitch, not in {structure}",
                structure=structure,
            )
        if structure == PLAIN and max(found.colours_a_row) > 1:
            self.fail(
                f"{where}.structure",
                'motif "{motif}" has two colours in one row, so it is stranded',
                motif=motif,
            )
        total = sum(found.shares.values())
        if abs(total - 1.0) > 1e-9:
            self.fail(
                f"{where}.motif",
                'the shares of motif "{motif}" come to {total}',
                motif=motif,
                total=Number(total, 2),
            )
        return None, motif

    def _dimension(self, name: str, entry: dict[str, Any], where: str) -> Dimension:
        key = f"{where}.{name}"
        values = entry.get(name)
        if values is None:
            self.fail(
                key,
                'a {shape} needs {name}, such as {name}.cm = 20 or {name}.of = "head"',
                shape=entry["shape"],
                name=name,
            )
        if not isinstance(values, dict):
            self.wrong(key, values, '{name}.cm = 20 or {name}.of = "head"', name=name)
        self.known(key, values, _DIMENSION)
        if ("of" in values) == ("cm" in values):
            self.fail(key, "give either `of` with its ease, or `cm`")
        if "cm" in values:
            if len(values) > 1:
                self.fail(key, "`cm` stands alone; ease goes with `of`")
            return Dimension(cm=self.number("cm", values, 0.0, WIDEST_CM, key))
        of = self.text("of", values, key)
        if of not in DIMENSIONS:
            self.unknown(f"{key}.of", 'unknown dimension "{word}"', of, DIMENSIONS)
        return Dimension(
            of=of,
            times=self.number("times", values, 0.0, 50.0, key, 1.0),
            ease_percent=self.number("ease_percent", values, -90.0, 500.0, key, 0.0),
            ease_cm=self.number("ease_cm", values, -100.0, 200.0, key, 0.0),
        )

    def _sizes(self, values: dict[str, Any], zones: tuple[Zone, ...]) -> tuple[str, ...]:
        """Sizes; an entry that takes nothing from a body may leave them out, and has one size."""
        dimensions = [one for zone in zones for one in (zone.around, zone.around_end, zone.height) if one]
        if not any(one.of for one in dimensions) and values.get("sizes", [ONE_SIZE]) == [ONE_SIZE]:
            return (ONE_SIZE,)
        found = dict.fromkeys(map(self.sizes_table.named, self.list_of("sizes", values, str)))
        for size in found:
            if size not in self.sizes_table.names:
                self.unknown("sizes", 'unknown size "{word}"', size, self.sizes_table.names)
        return tuple(found)

    def _classes(self, values: dict[str, Any]) -> tuple[int, ...]:
        found = self.list_of("classes", values, int)
        for number in found:
            if number not in self.class_numbers:
                self.fail("classes", "unknown yarn class {number}", number=number)
        return tuple(sorted(found))
