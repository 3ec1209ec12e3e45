"""The words of each kind of load, one file each, found by being here."""

from importlib import import_module
from pkgutil import iter_modules
from typing import Any

from optimizer.circuit.load_hazard import LoadHazard
from optimizer.circuit.loads.load import Load
from optimizer.words.loads.words_of_kind import KindWords

_MODULES = [import_module(f"{__name__}.{module.name}") for module in iter_modules(__path__)]
WORDS: dict[type[Load], KindWords[Any]] = {
    words.kind: words for module in _MODULES if (words := getattr(module, "WORDS", None)) is not None
}  # by kind


def words_of(load: Load) -> KindWords[Any]:
    """The words for a load."""
    return WORDS[type(load)]


def load_caution(hazard: LoadHazard) -> tuple[str, str]:
    """What bites of a load: a title, and what to know and do about it."""
    return next(words.cautions[type(hazard)] for words in WORDS.values() if type(hazard) in words.cautions)(hazard)
