"""Where the catalogue and the demo lie; nothing else knows."""

from __future__ import annotations

from pathlib import Path


def catalogue_folder() -> Path:
    """Where the catalogue lies: in the installed package, else in the repository."""
    return _shipped("catalog")


def demo_folder() -> Path:
    """Where the demo lies: in the installed package, else in the repository."""
    return _shipped("demo")


def _shipped(name: str) -> Path:
    package = Path(__file__).resolve().parents[2]
    packaged = package / "data" / name
    return packaged if packaged.is_dir() else package.parent / name
