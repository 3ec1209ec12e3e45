"""What people are told of a load, by its kind; each kind says in its own file what differs."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, ClassVar, Generic, TypeVar

from optimizer.circuit.diodes import Diode
from optimizer.circuit.load_hazard import LoadHazard
from optimizer.circuit.load_point import LoadPoint
from optimizer.circuit.loads.load import Load
from optimizer.circuit.thevenin import TheveninSource
from optimizer.words.wording import RowOfWords, amps_text, quantity

if TYPE_CHECKING:
    from optimizer.loads.load_study import LoadStudy

L = TypeVar("L", bound=Load)


class KindWords(ABC, Generic[L]):
    """The words of one kind.

    name: of the kind. held: what the load itself holds against the first current. at: where its direct volts and amps
    are. waves: whose volts a plot of waveforms shows. gets: who gets or gives the watts of its curve. begins: what
    begins at its cut-in speed. stores_nothing: why nothing is charged by it, of a kind that stores nothing.
    best_of, best_at: which loads of the kind get the most, and before their ohms or volts.
    volts: what the volts of a run are. cautions: of its hazards, a title, and what to know and do about it.
    """

    kind: type[L]
    name: ClassVar[str]
    held: ClassVar[str] = ""
    at: ClassVar[str] = "mean, at the load"
    waves: ClassVar[str] = "load"
    gets: ClassVar[str] = "The load gets"
    begins: ClassVar[str] = "Output begins"
    stores_nothing: ClassVar[str] = ""
    best_of: ClassVar[str] = "such a load"
    best_at: ClassVar[str] = "at"
    volts: ClassVar[str] = "direct, behind the bridge"
    cautions: ClassVar[Mapping[type[LoadHazard], Callable[[Any], tuple[str, str]]]] = {}

    @abstractmethod
    def amount(self, load: L) -> str:
        """How much of it, to follow its name."""

    def brief(self, load: L) -> str:
        """The load in a few words."""
        return f"{self.name}, {self.amount(load)}"

    def beside(self, load: L) -> str:
        """The load in fewer, where machines stand side by side."""
        return f"a {self.brief(load)}"

    def joined(self, load: L, connection: str) -> str:
        """The load in a few words, behind a machine whose three phases are joined so; empty: of one phase."""
        del connection
        return self.brief(load)

    def threshold(self, load: L) -> str:
        """What makes up the volts that the EMF must beat."""
        if load.bridge is None:
            return "nothing"
        drops = f"the drop of two diodes{' at a milliampere' if isinstance(load.bridge, Diode) else ''}"
        return f"{self.held} and {drops}" if self.held else drops

    def given_rows(self, load: L, study: LoadStudy) -> Iterator[RowOfWords]:
        """Volts and amps at the load, and what else someone at it would ask."""
        del load
        point = study.point
        yield "DC volts", quantity(point.dc_volts, "V"), self.at
        yield "DC amps", amps_text(point.dc_amps), self.at

    def lost_rows(self, load: L, point: LoadPoint) -> Iterator[RowOfWords]:
        """What is lost in it on the way."""
        del load, point
        yield from ()

    def verdict(self, load: L, point: LoadPoint) -> str:
        """What to remark on the watts that it gets, while it works."""
        del load, point
        return ""

    def best(self, load: L, study: LoadStudy, maximum: str, at: str, near: str) -> str:
        """The best load of the kind, with its watts and its ohms or volts; near: that this one is as good."""
        del load, study
        return f"The most that the winding gives {self.best_of} is {maximum}, {self.best_at} {at}{near}."

    def volts_meaning(self, load: L, source: TheveninSource) -> str:
        """What the volts of a run are."""
        del load, source
        return self.volts

    def findings(self, load: L, details: Mapping[str, Any], rpm: float) -> Iterator[str]:
        """What a run that settles at `rpm` comes to for it, of what its kind alone has to say there."""
        del load, details, rpm
        yield from ()
