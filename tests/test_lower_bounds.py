"""The fewest versions in pyproject.toml are true ones; `.ci/lowest` runs the main job with them."""

import re
import subprocess
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
NEEDS = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["dependencies"]


def bounds() -> dict[str, tuple[int, ...]]:
    found = [re.fullmatch(r"([a-z0-9]+)>=([0-9.]+)", need) for need in NEEDS]
    assert all(found), NEEDS
    return {match[1]: tuple(map(int, match[2].split("."))) for match in found if match}


@pytest.mark.parametrize(
    ("library", "fewest"),
    [
        ("click", (8, 4)),  # before it, types of parameters take no type of their own
        ("shapely", (2, 1)),  # before it, functions that are imported are missing
        ("ezdxf", (1, 4, 5)),  # before it, a title with %% does not come back as written
    ],
)
def test_what_older_versions_cannot_do_is_not_promised(library: str, fewest: tuple[int, ...]) -> None:
    assert bounds()[library] >= fewest


def test_ci_runs_the_main_job_at_the_lower_bounds() -> None:
    assert re.search(r"^\.ci/lowest$", (ROOT / ".ci" / "run").read_text("utf-8"), re.MULTILINE)
    checked = subprocess.run(["bash", "-n", ROOT / ".ci" / "lowest"], capture_output=True, check=False)
    assert checked.returncode == 0, checked.stderr
