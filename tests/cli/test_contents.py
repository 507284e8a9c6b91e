"""Without a name, `needs` and `motif` say which names there are."""

from __future__ import annotations

from pathlib import Path

CATALOG = Path(__file__).resolve().parents[2] / "catalog"


def test_every_entry_of_the_catalogue_is_listed(run, run_json, fits_80):
    keys = {path.stem for path in (CATALOG / "accessories").glob("*.toml")}
    shown = run("needs")
    assert shown.exit_code == 0
    assert {line.split()[0] for line in shown.stdout.splitlines() if line.startswith("  ") and line[2] != " "} == keys
    fits_80(shown.stdout)
    listed = run_json("needs")["accessories"]
    assert {one["key"] for one in listed} == keys
    hat = next(one for one in listed if one["key"] == "hat-stranded-band")
    assert hat["kind"] == "hat"
    assert hat["roles"] == ["main", "contrast 1"]
    assert "adult medium" in hat["sizes"]


def test_every_motif_of_the_catalogue_is_listed(run, run_json, fits_80):
    keys = {path.stem for path in (CATALOG / "motifs").glob("*.txt")}
    shown = run("motif")
    assert shown.exit_code == 0
    assert keys <= set(shown.stdout.split())
    fits_80(shown.stdout)
    listed = {one["key"]: one for one in run_json("motif")["motifs"]}
    assert set(listed) == keys
    assert (listed["crosses"]["width"], listed["crosses"]["height"]) == (6, 8)


def test_her_own_entries_are_listed_too(run, tmp_path: Path):
    (tmp_path / "ribbons.txt").write_text("name: ribbons\nroles: . main, x contrast 1\n\n.x\nx.\n", encoding="utf-8")
    assert "ribbons" in run("motif", "--catalog", tmp_path).stdout
