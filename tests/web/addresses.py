"""Every address that can be looked at, made from the routes themselves, with what stands in for a name in it.

A route with a name in it must have its examples here, so that no view is forgotten by the tests of all views.
"""

from __future__ import annotations

from urllib.parse import urlsplit

from starlette.routing import Match, Route

from matcher.web.routes import routes

# What the demo has for the names in addresses; more than one where a view looks different.
EXAMPLES: dict[str, tuple[str, ...]] = {
    "/lot/{name:path}": ("/lot/petrol", "/lot/mid%20grey%2C%20full%20ball"),
    "/change/{name:path}": ("/change/petrol",),
    "/work/{number:int}": ("/work/1", "/work/2"),
    "/work/{number:int}/picture": ("/work/2/picture",),
    "/work/{number:int}/chart/{chart:int}": ("/work/2/chart/1",),
    "/motif/patch/{of}": ("/motif/patch/waves",),
    "/match/pattern/as/{kind}": (),
    "/person/{name:path}": ("/person/my%20father",),
    "/suggestion/{accessory}/{mark}": (),  # made of what a search found: the tests of suggestions follow its links
    "/suggestion/{accessory}/{mark}/picture": (),
    "/pattern/suggestion/{accessory}/{mark}": (),
    "/pattern/suggestion/{accessory}/{mark}/as/{kind}": (),
    "/pattern/as/{kind}": (),
    "/pattern/work/{number:int}": ("/pattern/work/2",),
    "/pattern/work/{number:int}/as/{kind}": ("/pattern/work/2/as/svg", "/pattern/work/2/as/txt"),
    "/garment/{name:path}": ("/garment/grey%20yoke%20pullover", "/garment/red%20child%20pullover"),
    "/garment-cells/{name:path}": ("/garment-cells/moss%20cardigan",),
    "/knitting/plot.{kind:str}": ("/knitting/plot.png", "/knitting/plot.svg"),
    "/print/colours.{kind:str}": ("/print/colours.svg", "/print/colours.png"),
}
_HAT = "?garment=grey%20yoke%20pullover&accessory=hat-stranded-band"
# What must be asked of an address for anything to be shown at all.
NEEDED = {
    "/colours/sights.svg": ("?lot=navy&lot=cream",),
    "/colours/afar.png": ("?lot=navy&lot=cream",),
    "/match/anew": (_HAT,),
    "/match/fit": (_HAT, _HAT + "&lot%20contrast%201=navy"),
    "/match/laid": (_HAT,),
    "/match/sheet": (_HAT,),
    "/match/pattern": (_HAT,),
    "/match/ways": ("?garment=grey%20yoke%20pullover&accessory=cowl-stranded",),
}
# Addresses of their own that differ by what is asked: filters, a search with an answer, a choice that was made.
ASKED: tuple[str, ...] = (
    "/why?accessory=egg-cosy&lot=rust",
    "/instead?lot=navy",
    "/pile?lot=navy&place=basket+by+the+window",
    "/several?want=1+hats+for+adults&alternatives=1&time=1&go=yes",
    "/several/paper?want=1+hats+for+adults&alternatives=1&time=1&go=yes&paper=a4",
    "/bin?sort=colour&light=grey",
    "/bin?colour=purple",
    "/colours?lot=navy&lot=cream&motif=little-diamonds",
    "/colours?lot=navy&lot=rust&lot=moss&colour=sea+green&eyes=red-green",
    "/match?garment=grey+yoke+pullover",
    "/match/fit?garment=moss+cardigan&accessory=mittens-stranded",
    "/motif?of=waves",
    "/motif?garment=grey+yoke+pullover",
)
# Minutes of work, or nearly; looked at by the long tests only.
HEAVY = ("/several/paper", "/gap", "/gap/paper")
# Looked at by a script or through another page only, and why.
NOT_ALONE = {
    "/photograph/{name}": "a photograph that was sent in just now; test_photograph looks at it",
    "/photograph/{name}/picture": "the picture on that page",
    "/intake/{name}": "a workbook that was sent in just now; test_workbook looks at it",
    "/intake/{name}/refused": "a sheet of the rows of one that were left out",
    "/motif/draft/{name}": "a drawing of one browser; test_motifs looks at it",
    "/working/{name}": "the bar of a work that goes on, put in place by a script",
    "/knitting/figures.csv": "there are no figures before the first piece was finished",
}
# Sheets of paper by themselves: as wide as the paper, and made of pictures.
PAPER = ("/print/tags", "/match/sheet", "/several/paper", "/gap/paper")


def looked_at() -> list[Route]:
    """The routes that show something."""
    return [one for one in routes() if "GET" in (one.methods or ())]


def sent_to() -> list[Route]:
    """The routes that change something."""
    return [one for one in routes() if "POST" in (one.methods or ())]


def addresses() -> list[str]:
    """Every view once, and the examples; without those that take long, see `HEAVY`."""
    names = [one.path for one in looked_at() if "{" not in one.path and one.path not in NOT_ALONE]
    plain = [name + query for name in names for query in NEEDED.get(name, ("",))]
    whole = [*plain, *(address for of in EXAMPLES.values() for address in of), *ASKED]
    return [one for one in whole if one not in HEAVY]


def without_example() -> list[str]:
    """Routes with a name in them for which nothing stands here, and examples whose route is gone."""
    named = {one.path for one in looked_at() if "{" in one.path}
    return sorted(named ^ (EXAMPLES.keys() | {one for one in NOT_ALONE if "{" in one}))


def leads(address: str, method: str = "GET") -> str | None:
    """The route that an address of ours leads to; "" for a place on the same page, None for one that leads nowhere."""
    parts = urlsplit(address)
    if parts.scheme or parts.netloc:
        return None
    if not parts.path:
        return ""
    if parts.path.startswith("/static/"):
        return "/static"
    from urllib.parse import unquote

    scope = {"type": "http", "path": unquote(parts.path), "method": method, "root_path": ""}
    return next((one.path for one in routes() if one.matches(scope)[0] is Match.FULL), None)


def is_paper(address: str) -> bool:
    """Whether it is a sheet by itself."""
    return address.partition("?")[0] in PAPER
