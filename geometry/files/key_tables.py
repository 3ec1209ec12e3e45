"""The tables of a TOML file as typed classes that say in plain words what each value must be.

A table is a subclass of `Table`; each key is a field: ``x: Annotated[float, quantity(...)] = key("x_mm")``.
Numbers come out in SI. A `rule` on a field sees the valid fields above it (`Earlier.data`). What depends on whether
a key is there, and not on its value, is a `presence`.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Collection, Hashable, Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Annotated, Any, ClassVar, NoReturn, TypeVar

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationError,
    ValidatorFunctionWrapHandler,
    WrapValidator,
    create_model,
)
from pydantic import ValidationInfo as Earlier
from pydantic import field_validator as rule
from pydantic.fields import FieldInfo
from pydantic_core import InitErrorDetails, PydanticCustomError

from geometry.files.values import decimal_of, float_of, is_list, number_text, shown

__all__ = [
    "Checked", "Earlier", "FieldInfo", "Table", "ValidationError", "choice", "key", "listed", "presence", "quantity",
    "refuse", "refuse_missing", "refuse_table", "require_one", "rule", "text", "whole", "with_keys",
]  # fmt: skip

MILLIMETRES = "are the units millimetres?"
LONGEST_TEXT = 200  # characters
NUMBER = re.compile(r"\s*[-+]?(\d[\d_]*\.?\d*|\.\d+)(e[-+]?\d+)?\s*", re.IGNORECASE)  # as a text holds one


class Table(BaseModel):
    """A table of a TOML file: nothing is converted, unknown keys are faults, defaults are checked too."""

    USUAL: ClassVar[tuple[str, ...]] = ()
    """Keys to name beside the required ones when the whole table is missing."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True, validate_default=True)


@dataclass(frozen=True, slots=True)
class Checked(BeforeValidator):
    """A check of a value, with what a JSON Schema may say of it (limits as the file writes them).

    milli, micro: the file's number is in thousandths or millionths of the SI unit. halved: it is a diameter, ours its
    radius.
    """

    says: Mapping[str, Any] = field(default_factory=dict[str, Any], hash=False)
    milli: bool = False
    micro: bool = False
    halved: bool = False

    def written(self, value: Any) -> Any:
        """A value in SI units as the file writes it."""
        if value is None or self.says["type"] not in ("number", "integer"):
            return value
        if self.says["type"] == "integer":
            return int(value)
        return decimal_of(2 * value if self.halved else value, milli=self.milli, micro=self.micro)

    def __get_pydantic_json_schema__(self, schema: object, handler: object) -> dict[str, Any]:
        return dict(self.says)


def key(  # noqa: PLR0913 - what is said of a key
    name: str,
    default: object = ...,
    meaning: str = "",
    label: str = "",
    *,
    unit: str | None = None,
    usual: str = "",
    example: str = "",
) -> Any:
    """The field's name in the file, and its default as the file would write it (required without).

    meaning: half a sentence for README and editors. label, unit: beside a form's field, by default those of the
    name. usual: what its absence means, in words, where the default does not say it. example: a value to start from.
    """
    label = label or label_of(name)
    unit = unit_of(name) if unit is None else unit
    more: dict[str, Any] = {"x-unit": unit, "x-usual": usual, "x-example": example}
    return Field(default, alias=name, title=label, description=meaning or None, json_schema_extra=more)


UNITS = {
    "mm": "mm", "mm2": "mm²", "m": "m", "T": "T", "C": "°C", "deg": "°", "rpm": "rpm", "V": "V", "A": "A", "W": "W",
    "Wh": "Wh", "mAh": "mAh", "ohm": "Ω", "uF": "µF", "mF": "mF", "F": "F", "mH": "mH", "N": "N", "Nm": "N m",
    "kg": "kg", "g": "g", "s": "s", "m_per_s": "m/s", "kg_m2": "kg m²", "rpm_per_V": "rpm/V", "per_minute": "/min",
}  # fmt: skip
"""Units by what a key's name ends in."""
_SUFFIX = re.compile(rf"(?:^|_)(?<!per_)({'|'.join(sorted(UNITS, key=len, reverse=True))})$")


def unit_of(name: str) -> str:
    """The unit that a key's name ends in; empty for none."""
    found = _SUFFIX.search(name)
    return UNITS[found[1]] if found else ""


def label_of(name: str) -> str:
    """A key's name in words, without its unit."""
    words = (_SUFFIX.sub("", name) or name).replace("_", " ")
    return words[:1].upper() + words[1:]


T = TypeVar("T", bound=Table)


def with_keys(table: type[T], keys: Mapping[str, tuple[Any, Any]], name: str = "", **rules: Any) -> type[T]:
    """The table with more keys: what a value must be (a check, or a table), and what `key` gives, by names of fields.

    name: of the class, by default the table's own. rules: what `rule` or `presence` makes of functions, by names.
    """
    fields: dict[str, Any] = {
        field: (Annotated[Any, must] if isinstance(must, Checked) else must, given)
        for field, (must, given) in keys.items()
    }
    return create_model(name or table.__name__, __base__=table, __validators__=rules, **fields)


def refuse(must: str, was: str) -> NoReturn:
    """Reject the value of a field."""
    raise PydanticCustomError("refused", "{message}", {"message": f"must {must}, was {was}"})


def refuse_missing() -> NoReturn:
    """Call for a key that was left out."""
    raise PydanticCustomError("missing", "missing")


def refuse_table(message: str) -> NoReturn:
    """Reject the table around a field."""
    raise PydanticCustomError("refused_table", "{message}", {"message": message})


def require_one(value: object, name: str, other: object, instead: str, *, must: bool = True) -> None:
    """Refuse a key's value (None: not there) beside the other in whose place it stands; `must`: and the lack of both.

    name, instead: of both keys in the file.
    """
    if value is not None and other is not None:
        refuse(f"be left out when {instead} is given", shown(value))
    if must and value is None and other is None:
        refuse_table(f"{instead} or {name} must be given, was missing")


def presence(*fields: str) -> Callable[[Callable[[object, Earlier], None]], Any]:
    """A rule on whether a key may or must be there: told beside what is wrong with its value.

    The static method under it is given the value as the file has it, None when the key is not there.
    """

    def decorate(check: Callable[[object, Earlier], None]) -> Any:
        def told(cls: Any, value: object, handler: ValidatorFunctionWrapHandler, earlier: Earlier) -> object:
            faults: list[InitErrorDetails] = []
            try:
                check(value, earlier)
            except PydanticCustomError as error:
                faults.append(_detail((), error.type, error.message()))
            return _with_faults(faults, value, handler)

        return rule(*fields, mode="wrap")(classmethod(told))

    return decorate


def quantity(  # noqa: PLR0913 - what is said of a number
    *,
    maximum: str,
    minimum: str | None = None,
    positive: bool = False,
    milli: bool = False,
    micro: bool = False,
    halved: bool = False,
    hint: str = "",
) -> Checked:
    """A finite number within limits (given as the file writes them), as a float.

    milli, micro: the file's number is in thousandths (millimetres) or millionths of the SI unit. halved: the file holds
    a diameter where a radius is meant.
    hint: what to ask when a number above zero is beyond a limit; by default, with `milli`, about the units.
    """
    hint = hint or (MILLIMETRES if milli else "")

    def check(value: object) -> float | None:
        if value is None:
            return None
        number = _number(value, "be a number")
        aside = f" ({hint})" if hint and number > 0 else ""
        result = float_of(number, milli=milli, micro=micro)
        if positive and not result > 0:  # a tiny number may come to nothing
            refuse("be above 0", number_text(number))
        if minimum is not None and not number >= Decimal(minimum):
            refuse(f"be at least {minimum}{aside}", number_text(number))
        if not number <= Decimal(maximum):
            refuse(f"be at most {maximum}{aside}", number_text(number))
        return result / 2 if halved else result

    floor = {"exclusiveMinimum": 0} if positive else {} if minimum is None else {"minimum": float(minimum)}
    says = {"type": "number", **floor, "maximum": float(maximum)}
    return Checked(check, says=says, milli=milli, micro=micro, halved=halved)


def whole(*, minimum: int, maximum: int, even: bool = False, hint: str = "") -> Checked:
    """A whole (or even) number from `minimum` to `maximum`, as an int. hint: what to know of a number beyond them."""
    aside = f" ({hint})" if hint else ""
    must = f"be {'an even' if even else 'a whole'} number of at least {minimum}{aside}"

    def check(value: object) -> int | None:
        if value is None:
            return None
        number = _number(value, must)
        if number < minimum:
            refuse(must, number_text(number))
        if number > maximum:
            refuse(f"be at most {maximum}{aside}", number_text(number))
        if number % (2 if even else 1):
            refuse(must, number_text(number))
        return int(number)

    says = {"type": "integer", "minimum": minimum, "maximum": maximum}
    return Checked(check, says=says | ({"multipleOf": 2} if even else {}))


def text() -> Checked:
    """One line of text."""

    def check(value: object) -> object:
        if not isinstance(value, str):
            refuse("be text in quotes", shown(value))
        if len(value) > LONGEST_TEXT:
            refuse(f"be at most {LONGEST_TEXT} characters long", f"{len(value)} characters long")
        if any(unicodedata.category(c) in ("Cc", "Zl", "Zp") or c in "\ufffe\uffff" for c in value):
            refuse("be one line of text without control characters", shown(value))
        return value

    return Checked(check, says={"type": "string", "maxLength": LONGEST_TEXT})


def choice(names: Collection[str]) -> Checked:
    """One of `names`."""
    must = f"be one of {', '.join(names)}" if len(names) > 1 else f'be "{next(iter(names))}"'

    def check(value: object) -> object:
        if value is not None and not (isinstance(value, str) and value in names):
            refuse(must, shown(value))
        return value

    return Checked(check, says={"type": "string", "enum": list(names)})


def listed(what: str, *, distinct: bool = True) -> WrapValidator:
    """A list of at least one `what` (words for the message); with `distinct`, none of them twice."""

    def check(value: object, handler: ValidatorFunctionWrapHandler) -> object:
        if value is None:  # a list that may be left out
            return handler(value)
        if not is_list(value):
            refuse(f"be a list of {what}", shown(value))
        if not value:
            refuse(f"be a list of at least one of {what}", "empty")
        return _with_faults(_repeats(value) if distinct else [], value, handler)

    return WrapValidator(check)


def _with_faults(
    faults: list[InitErrorDetails], value: object, handler: ValidatorFunctionWrapHandler
) -> object:
    """What the rest makes of the value; raises ValidationError with its faults after those found already."""
    result: object = None
    try:
        result = handler(value)
    except ValidationError as error:
        faults = [*faults, *map(_again, error.errors(include_url=False))]
    if faults:
        raise ValidationError.from_exception_data("key", faults)
    return result


def _number(value: object, must: str) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        hint = " (leave out the quotes)" if isinstance(value, str) and NUMBER.fullmatch(value) else ""
        refuse(must, shown(value) + hint)
    if isinstance(value, int) and value.bit_length() >= 1000:
        refuse(must + " that is not absurdly long", shown(value))
    number = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
    if not number.is_finite():
        refuse("be a finite number", number_text(number))
    return number


def _repeats(values: Iterable[object]) -> list[InitErrorDetails]:
    seen: dict[Hashable, int] = {}
    found: list[InitErrorDetails] = []
    for index, value in enumerate(values):
        if not isinstance(value, str | int | Decimal) or shown(value) in ("nan", "-nan"):
            continue
        if seen.setdefault(value, index) != index:
            message = f"must not repeat an earlier entry, was {shown(value)} again"
            found.append(_detail((index,), "refused", message))
    return found


def _again(error: Any) -> InitErrorDetails:
    return _detail(error["loc"], error["type"], error["msg"], error["input"])


def _detail(loc: tuple[int | str, ...], kind: Any, message: str, value: object = None) -> InitErrorDetails:
    error = PydanticCustomError(kind, "{message}", {"message": message})
    return InitErrorDetails(type=error, loc=loc, input=value)
