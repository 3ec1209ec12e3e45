"""The keys of a load's table in a file: what each must be, and how a form asks for it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from geometry.files.key_tables import key, quantity, whole
from geometry.files.writing import Row, micro_row, plain_row


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadKey:
    """One key.

    name: in the file. field: of the load. meaning: half a sentence. label: in a form, by default that of the name.
    usual: what its absence means, of a key that need not be given. example: a value to start from, as a file writes it.
    minimum, maximum: as a file writes them; positive: above zero. must: whether it must be given. micro: the file's
    number is in millionths of the SI unit. whole: a whole number. above: another key that it must exceed.
    hint: asked of a number beyond a limit. comment: beside it in a file.
    """

    name: str
    field: str
    meaning: str
    label: str = ""
    usual: str = ""
    example: str = ""
    minimum: str | None = None
    maximum: str
    positive: bool = False
    must: bool = True
    micro: bool = False
    whole: bool = False
    above: str = ""
    hint: str = ""
    comment: str = ""

    @property
    def declared(self) -> tuple[Any, Any]:
        """What refuses any other value, and the key as a table of a file declares it."""
        usual = "required by its kind" if self.must else self.usual
        declared = key(
            self.name, None, meaning=self.meaning, label=self.label, usual=usual, example=self.example
        )
        return self._check, declared

    @property
    def _check(self) -> Any:
        if self.whole:
            return whole(minimum=int(self.minimum or 1), maximum=int(self.maximum))
        return quantity(
            minimum=self.minimum, maximum=self.maximum, positive=self.positive, micro=self.micro, hint=self.hint
        )

    def row(self, value: float | None) -> Row:
        """The key in a file, with a value in SI units."""
        if self.whole and value is not None:
            return self.name, int(value), self.comment
        return (micro_row if self.micro else plain_row)(self.name, value, self.comment)


RESISTANCE = LoadKey(
    name="resistance_ohm", field="ohms", meaning="what the direct current, or the winding's own, flows through",
    example="20", minimum="0.001", maximum="1000000000",
)  # fmt: skip
