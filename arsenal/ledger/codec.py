"""Frozen records as JSON and back, strictly: every field is written, an unknown field or word is an error.

Payloads of the log go by kind and payload version; what this version does not know becomes `Unknown`, word for word.
"""

from __future__ import annotations

import json
import types
from collections.abc import Callable
from dataclasses import MISSING, fields, is_dataclass
from datetime import date, datetime, time
from enum import Enum
from functools import cache
from typing import Any, Union, cast, get_args, get_origin, get_type_hints

from arsenal.ledger.errors import CannotKeep
from arsenal.trade.entries import PAYLOAD_OF, Kind, Payload, Unknown

PAYLOAD_VERSION = 1
Plain = Any
"""What JSON can say."""
_Turn = Callable[[Any], Any]
_CANONICAL = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False)


class CodecError(ValueError):
    """JSON that does not say what a record needs."""


def text_of(value: Plain) -> str:
    """Canonical JSON: sorted keys, no spaces. Raises CannotKeep for a number that is none (NaN, infinity)."""
    try:
        return _CANONICAL.encode(value)
    except ValueError as error:
        raise CannotKeep("A number in it is none that can be kept.", next_step="Type it again.") from error


def to_plain(value: Any) -> Plain:
    """A record, or a tuple, enum, date or number, as what JSON can say; `type` names the class where several fit."""
    return _turn(type(value))[0](value)


def from_plain(cls: Any, plain: Plain) -> Any:
    """The record of type `cls`. Raises CodecError for a missing, unknown or ill-typed field."""
    try:
        return _turn(cls)[1](plain)
    except CodecError:
        raise
    except (TypeError, ValueError, KeyError, AttributeError) as error:
        raise CodecError(f"not a {getattr(cls, '__name__', cls)}: {error}") from error


def encode_payload(payload: Payload) -> str:
    """A payload's stored text. An unknown one keeps its own words."""
    if isinstance(payload, Unknown):
        try:
            json.loads(payload.raw)
        except ValueError:
            return text_of(payload.raw)
        return payload.raw
    return text_of(to_plain(payload))


def decode_payload(kind: str, version: int, raw: str) -> tuple[Kind | str, Payload]:
    """(kind, payload) of a stored text; an unknown kind, version or content gives `Unknown`."""
    cls = _payload_class(kind) if version == PAYLOAD_VERSION else None
    if cls is None:
        return kind, Unknown(raw)
    try:
        return Kind(kind), cast("Payload", from_plain(cls, json.loads(raw)))
    except ValueError:
        return kind, Unknown(raw)


def known_kind(kind: str, version: int) -> bool:
    """True where this version should be able to read such a payload."""
    return version == PAYLOAD_VERSION and _payload_class(kind) is not None


@cache
def _payload_class(kind: str) -> type | None:
    return PAYLOAD_OF[Kind(kind)] if kind in set(Kind) else None


def _turn(hint: Any) -> tuple[_Turn, _Turn]:
    return _turn_of(hint)


@cache
def _turn_of(hint: Any) -> tuple[_Turn, _Turn]:
    """(to plain, from plain) of one type."""
    origin = get_origin(hint)
    if origin in (Union, types.UnionType):
        return _union(get_args(hint))
    if origin is tuple:
        return _tuple(get_args(hint))
    if is_dataclass(hint):
        return _record(hint)
    if isinstance(hint, type) and issubclass(hint, Enum):
        return (lambda v: v.value), hint
    if hint in (date, datetime, time):
        return hint.isoformat, hint.fromisoformat
    if hint in _SCALARS:
        return _SCALARS[hint]
    raise TypeError(f"no JSON for {hint}")


def _exact(cls: type) -> _Turn:
    def read(value: Any) -> Any:
        if type(value) is not cls:
            raise CodecError(f"{value!r} is not a {cls.__name__}")
        return value

    return read


def _same(value: Any) -> Any:
    return value


def _float(value: Any) -> float:
    if type(value) not in (int, float):
        raise CodecError(f"{value!r} is not a number")
    return float(value)


_SCALARS: dict[Any, tuple[_Turn, _Turn]] = {
    str: (_same, _exact(str)),
    bool: (bool, _exact(bool)),
    int: (int, _exact(int)),
    float: (float, _float),
    type(None): (_same, _exact(type(None))),
}


def _tuple(parts: tuple[Any, ...]) -> tuple[_Turn, _Turn]:
    if len(parts) == 2 and parts[1] is Ellipsis:
        out, back = _turn(parts[0])
        return (lambda v: [out(x) for x in v]), (lambda v: tuple([back(x) for x in _exact(list)(v)]))
    turns = [_turn(part) for part in parts]

    def to(value: Any) -> Plain:
        return [out(x) for (out, _), x in zip(turns, value, strict=True)]

    def read(value: Any) -> Any:
        return tuple([back(x) for (_, back), x in zip(turns, _exact(list)(value), strict=True)])

    return to, read


def _union(parts: tuple[Any, ...]) -> tuple[_Turn, _Turn]:
    records: dict[str, Any] = {part.__name__: part for part in parts if is_dataclass(part) and isinstance(part, type)}
    others = [part for part in parts if not is_dataclass(part) and part is not type(None)]
    if len(others) + (len(records) > 0) > 1:
        raise TypeError(f"cannot tell {parts} apart in JSON")
    if not records:
        out, back = _turn(others[0])
        return (lambda v: None if v is None else out(v)), (lambda v: None if v is None else back(v))
    tagged = len(records) > 1

    def to(value: Any) -> Plain:
        if value is None:
            return None
        plain = _turn(type(value))[0](value)
        return {"type": type(value).__name__, **plain} if tagged else plain

    def read(value: Any) -> Any:
        if value is None:
            return _turn(type(None))[1](value) if type(None) in parts else _exact(dict)(value)
        cls = records[value["type"]] if tagged else next(iter(records.values()))
        return _turn(cls)[1]({k: v for k, v in value.items() if k != "type"} if tagged else value)

    return to, read


def _record(cls: Any) -> tuple[_Turn, _Turn]:
    hints = get_type_hints(cls)
    turns = {f.name: _turn(hints[f.name]) for f in fields(cls)}
    needed = {f.name for f in fields(cls) if f.default is MISSING and f.default_factory is MISSING}

    def to(value: Any) -> Plain:
        return {name: out(getattr(value, name)) for name, (out, _) in turns.items()}

    def read(value: Any) -> Any:
        try:
            made = {name: turns[name][1](plain) for name, plain in value.items()}
        except KeyError as error:
            raise CodecError(f"{cls.__name__} has no field {error}") from error
        if missing := needed - made.keys():
            raise CodecError(f"{cls.__name__} lacks {sorted(missing)}")
        return cls(**made)

    return to, read
