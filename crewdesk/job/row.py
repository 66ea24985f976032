"""Rows of the record: each field is declared once, and parsed and written here.

    class Gap(Row, noun="gap"):
        width: Fraction = field(EXACT)
        who: str = field(SHORT, "'who' of a gap", default="")
        kind: str = "side"

The first two are in the row's document; a field without `field` is not, and is passed when the row
is parsed. A row never changes; `_replace` returns another.
"""

from collections.abc import Callable, Iterable, Mapping
from contextlib import nullcontext
from fractions import Fraction
from typing import Any, ClassVar, NamedTuple, Self, dataclass_transform

from crewdesk.errors import NotAllowed
from crewdesk.job import parsing, text_limits
from crewdesk.job.change import Doc
from crewdesk.job.text_limits import brief

_NONE: Any = object()
"""Marks a field without a default."""


class Kind(NamedTuple):
    """How a value is kept in a document.

    `read` takes the document's value and its name for errors, and raises `NotAllowed` or
    `BadInput`; `write` is the inverse. `about` describes it in the table of the file format;
    `label` is the default name of a field.
    """

    read: Callable[[Any, str], Any]
    write: Callable[[Any], Any]
    about: str
    label: str = "{noun}'s {name}"


class Field(NamedTuple):
    """A field of a row's document, as `field` declares it; `usual` is its value in a new row
    without one."""

    kind: Kind
    what: str
    key: str
    default: Any
    usual: Any
    given: Callable[[Any], Any] | None
    always: bool
    lax: bool
    name: str = ""

    def named(self, name: str, noun: str) -> "Field":
        """Return it with its name, and its name in sentences about a row of `noun`."""
        what = self.what or self.kind.label.format(noun=noun, name=name.replace("_", " "))
        return self._replace(name=name, key=self.key or name, what=what)

    @property
    def needed(self) -> bool:
        """Whether a document must have it."""
        return self.always or self.default is _NONE

    def read(self, value: Any) -> Any:
        """Return the field's value from a document."""
        return self.kind.read(value, self.what)

    def is_in(self, row: Any) -> bool:
        """Return whether a row's document has the field."""
        if self.given is not None:
            return bool(self.given(row))
        return self.always or getattr(row, self.name) != self.default


def field(
    kind: "Kind | type[Row]",
    what: str = "",
    *,
    key: str = "",
    default: Any = _NONE,
    absent: Any = _NONE,
    given: Callable[[Any], Any] | None = None,
    always: bool = False,
    lax: bool = False,
) -> Any:
    """Declare a field of a row's document.

    what: its name in a sentence. key: its key in the document, if not the field's name. default:
    its value if the document lacks it; then it isn't written either, unless it is `always` written
    or `given` of a row says so. absent: the same, for a field that is required in a new row. lax:
    an empty value counts as none.
    """
    without = default if absent is _NONE else absent
    return Field(kind_of(kind), what, key, without, default, given, always, lax)


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
class Values:
    """An immutable value with named fields; equal if all fields are."""

    _fields: ClassVar[tuple[str, ...]] = ()
    _usual: ClassVar[Mapping[str, Any]] = {}
    _absent: ClassVar[Mapping[str, Any]] = {}
    declared: ClassVar[tuple[Field, ...]] = ()
    """The fields of the document, in writing order."""
    noun: ClassVar[str] = ""
    _closed: ClassVar[bool] = False

    def __init_subclass__(
        cls, noun: str = "", first: Iterable[str] = (), *, closed: bool = False
    ) -> None:
        """noun: a row's name in a sentence. first: the fields written first. closed: refuse a
        document with other keys."""
        cls.noun, cls._closed = noun, closed
        own = [name for name in cls.__annotations__ if name not in cls._fields]
        cls._fields = (*cls._fields, *own)
        usual, declared = dict(cls._usual), {one.name: one for one in cls.declared}
        for name in own:
            one = cls.__dict__.get(name, _NONE)
            if isinstance(one, Field):
                declared[name] = one.named(name, noun)
                one = one.usual
                delattr(cls, name)
            if one is not _NONE:
                usual[name] = one
        cls._usual = usual
        cls._absent = usual | {
            name: one.default for name, one in declared.items() if not one.needed
        }
        order = dict.fromkeys((*first, *declared))
        cls.declared = tuple(declared[name] for name in order)

    def __init__(self, *args: Any, **named: Any) -> None:
        values = {**self._usual, **dict(zip(self._fields, args, strict=False)), **named}
        if len(values) != len(self._fields) or len(args) > len(self._fields):
            raise TypeError(f"{type(self).__name__} takes {', '.join(self._fields)}.")
        self.__dict__.update(values)

    def __setattr__(self, name: str, value: Any) -> None:
        if name in self._fields:
            raise AttributeError(f"{type(self).__name__} never changes; use _replace.")
        self.__dict__[name] = value

    def _values(self) -> tuple[Any, ...]:
        return tuple([self.__dict__[name] for name in self._fields])

    def __eq__(self, other: object) -> bool:
        return type(other) is type(self) and self._values() == other._values()

    def __hash__(self) -> int:
        return hash(self._values())

    def __repr__(self) -> str:
        values = zip(self._fields, self._values(), strict=True)
        return f"{type(self).__name__}({', '.join(f'{name}={one!r}' for name, one in values)})"

    def _asdict(self) -> dict[str, Any]:
        return dict(zip(self._fields, self._values(), strict=True))

    def _replace(self, **changes: Any) -> Self:
        """Return the same with other values of some fields."""
        if not changes.keys() <= set(self._fields):
            raise TypeError(f"{type(self).__name__} takes {', '.join(self._fields)}.")
        new = object.__new__(type(self))
        new.__dict__.update(self._asdict() | changes)
        return new

    @classmethod
    def by_key(cls) -> dict[str, Field]:
        """Return the fields of its document by their keys."""
        return {one.key: one for one in cls.declared}

    def to_doc(self) -> Doc:
        """Return it as JSON: exact numbers and times as text, without default values."""
        return {
            one.key: one.kind.write(getattr(self, one.name))
            for one in self.declared
            if one.is_in(self)
        }

    def check(self) -> None:
        """Raise `NotAllowed` or `BadInput` if fields contradict each other."""

    @classmethod
    def _read(cls, doc: Any, given: Mapping[str, Any]) -> Self:
        if not isinstance(doc, dict):
            raise TypeError
        if cls._closed:
            cls._check_keys(doc)
        values = {**cls._absent, **given}
        for one in cls.declared:
            if one.key in doc:
                if doc[one.key] or not one.lax:
                    values[one.name] = one.kind.read(doc[one.key], one.what)
            elif one.needed and one.name not in given:
                raise KeyError(one.key)
        new = object.__new__(cls)
        new.__dict__.update(values)
        new.check()
        return new

    @classmethod
    def _check_keys(cls, doc: Doc) -> None:
        known = [one.key for one in cls.declared]
        if strange := sorted(doc.keys() - known):
            raise NotAllowed(f"A {cls.noun} has no {brief(strange[0])}; it has {', '.join(known)}.")


class Row(Values):
    """A value inside a row, or in a list in one."""

    @classmethod
    def from_doc(cls, doc: Any, **given: Any) -> Self:
        """Return what `to_doc` wrote; `given` has the fields that aren't in the document.

        Raises `NotAllowed` or `BadInput`; `KeyError` for a field that it lacks, `TypeError` for one
        of another kind.
        """
        return cls._read(doc, given)

    @classmethod
    def alone(cls, doc: Any) -> Self:
        """Return what `to_doc` wrote, parsed by itself; raises only `NotAllowed`."""
        with parsing.read_plainly(f"A {cls.noun}", built_as(cls.noun)):
            return cls._read(doc, {})


class TableRow(Values):
    """A row of a table of the record, with its number."""

    row: str

    @classmethod
    def from_doc(cls, row: str, doc: Doc) -> Self:
        """Return the row from its document; raises `NotAllowed`."""
        with parsing.read_plainly(cls.called(row), built_as(cls.noun)):
            return cls._read(doc, {"row": row, **cls.given(doc)})

    @classmethod
    def called(cls, row: str) -> str:
        """Return the row's name in a sentence."""
        return f"{cls.noun.capitalize()} {row} in this file"

    @classmethod
    def given(cls, _doc: Doc) -> Mapping[str, Any]:
        """Return fields that come from more than one place of the document."""
        return {}


def built_as(noun: str) -> str:
    """Return the end of the sentence about a document of the wrong form."""
    built = noun if noun.endswith("s") else f"{_a(noun)} {noun}"
    return f"{built} must be; see the job file format"


def _a(noun: str) -> str:
    return "an" if noun[0] in "aeiou" else "a"


def as_is(value: Any) -> Any:
    """Return a document's value unchanged."""
    return value


def _just(of: type, said: str) -> Kind:
    def read(value: Any, what: str) -> Any:
        if type(value) is not of:
            raise NotAllowed(f"The {what} must be {said}, not {brief(value)}.")
        return value

    return Kind(read, as_is, said)


def _over_zero(value: Any, what: str) -> Fraction:
    if (found := parsing.fraction(value, what)) <= 0:
        raise NotAllowed(f"The {what} must be more than zero.")
    return found


def line(most: int) -> Kind:
    """Parse a text of one line."""
    return Kind(lambda value, what: text_limits.checked_line(value, what, most=most), as_is, "text")


def note(most: int) -> Kind:
    """Parse a text of any number of lines."""
    return Kind(lambda value, what: text_limits.checked_note(value, what, most=most), as_is, "text")


NAME = Kind(text_limits.checked_name, as_is, "text", "{noun}")
LINE, SHORT = line(text_limits.LONGEST_LINE), line(text_limits.LONGEST_NAME)
NOTE = note(text_limits.LONGEST_NOTE)
EXACT = Kind(parsing.fraction, str, "exact number")
OVER_ZERO = Kind(_over_zero, str, "exact number")
TIME = Kind(parsing.moment, lambda when: when.isoformat(), "time", "{noun}")
DAY = Kind(parsing.read_date, lambda day: day.isoformat(), "day", "{noun}")
MONEY = Kind(parsing.read_amount, str, "money")
BALANCE = Kind(lambda value, what: parsing.read_amount(value, what, below_zero=True), str, "money")
PERCENT = Kind(parsing.read_part, str, "percent")
QUANTITY = Kind(parsing.read_quantity, str, "exact number")
WHOLE = _just(int, "a whole number")
FLAG = _just(bool, "true or false")


def up_to(most: Fraction) -> Kind:
    """Return the kind of a length above zero, in inches, and at most `most`."""

    def read(value: Any, what: str) -> Fraction:
        found = parsing.fraction(value, what)
        if not 0 < found <= most:
            raise NotAllowed(
                "The {what} is {found} in; it must be more than 0 and at most {most} in.",
                what=what,
                found=found,
                most=most,
            )
        return found

    return EXACT._replace(read=read)


def one_of(known: Iterable[str]) -> Kind:
    """Return the kind of one of some words."""
    words = tuple(known)

    def read(value: Any, what: str) -> str:
        if not isinstance(value, str) or value not in words:
            *first, last = filter(None, words)
            ways = f"{', '.join(first)} or {last}" if first else last
            raise NotAllowed(f"The {what} must be {ways}, not {brief(value)}.")
        return value

    return Kind(read, as_is, ", ".join(f'"{word}"' for word in words))


def kind_of(kind: Kind | type[Row]) -> Kind:
    """Return a kind, or the kind of another class of rows."""
    if isinstance(kind, Kind):
        return kind
    return Kind(lambda doc, _: kind.from_doc(doc), lambda one: one.to_doc(), kind.noun)


def many(
    kind: Kind | type[Row], place: str = "", *, least: int = 0, most: int | None = None
) -> Kind:
    """Return the kind of a list; an error in it names its `place`, if it has a name, numbered from
    1.
    """
    of = kind_of(kind)

    def read(value: Any, what: str) -> tuple[Any, ...]:
        if not isinstance(value, list | tuple):
            raise TypeError
        if len(value) < least or (most is not None and len(value) > most):
            raise NotAllowed(f"The {what} must be a list of {least} to {most}.")
        found = []
        for number, one in enumerate(value, 1):
            with parsing.within(f"{place} {number}") if place else nullcontext():
                found.append(of.read(one, what))
        return tuple(found)

    return Kind(read, lambda rows: [of.write(one) for one in rows], f"list of {of.about}")


def made_of(made: Callable[..., Any], noun: str, **fields: Kind) -> Kind:
    """Return the kind of a value of `trade` from an object of its fields, by name."""

    def read(value: Any, _what: str) -> Any:
        return made(
            **{key: kind.read(value[key], f"{noun}'s {key}") for key, kind in fields.items()}
        )

    return Kind(
        read,
        lambda one: {key: kind.write(getattr(one, key)) for key, kind in fields.items()},
        f"object of {', '.join(f'`{key}`' for key in fields)}",
    )


def by_name(kind: Kind | type[Row], place: str) -> Kind:
    """Return the kind of an object whose values are of one kind; an error in it names its
    `place`."""
    of = kind_of(kind)

    def read(value: Any, what: str) -> dict[str, Any]:
        found = {}
        for name, one in value.items():
            with parsing.within(place, name):
                found[name] = of.read(one, what)
        return found

    return Kind(
        read,
        lambda rows: {name: of.write(one) for name, one in rows.items()},
        f"object of {of.about} by name",
    )
