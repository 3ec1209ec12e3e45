"""What made a result: versions of polepitch and of the libraries that its numbers and files depend on."""

from __future__ import annotations

from importlib.metadata import PackageNotFoundError, version
from platform import python_version

from optimizer.jobs.documents import json_bytes

LIBRARIES = (
    "numpy", "scipy", "shapely", "magpylib", "matplotlib", "ezdxf", "reportlab", "manifold3d", "jinja2",
    "pydantic", "tomlkit",
)  # fmt: skip
SEED = "No random number is drawn: there is no seed, and the same input gives the same result"


def versions() -> dict[str, str]:
    """Name to version, polepitch first; "sources" for a package that runs from its sources alone."""
    return {"polepitch": _version("polepitch"), "python": python_version()} | {
        name: _version(name) for name in LIBRARIES
    }


def versions_json() -> bytes:
    """The versions, and how the search was seeded, as a JSON file."""
    return json_bytes({"versions": versions(), "seed": SEED}, indent=1)


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "sources"


__version__ = _version("polepitch")
