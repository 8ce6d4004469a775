"""Is this the same thing as before? A digest of content, stable between runs and machines.

Only what can't change has a digest: text, numbers, dates, enum members, frozen dataclasses and frozen pydantic models
made of such, tuples, frozensets, read-only views of mappings and read-only numpy arrays. Everything else is refused
with the path to it. How things count:

- types are told apart: 1, 1.0, True and "1" are four things, and so are two classes with equal fields;
- -0.0 is not 0.0, as it may be divided by; every single nan is the same nan; arrays are compared bit by bit;
- frozensets and mappings have no order, so two that were filled in another order are the same;
- every field of a class counts, also those that comparison leaves out; a pydantic model's private attributes don't.

A dict inside a frozen pydantic model counts as part of it, for pydantic knows no frozen mapping: whoever writes into
one breaks the promise the model made. The same holds for the dict behind a read-only view.

The digest of an object that can be watched (a weak reference to it is allowed: ``weakref_slot=True`` on a dataclass
with slots, any array, any model) is worked out once in its life; of anything else, tuples above all, every time.

Notes
-----
Each class carries its module's name into the digest. What is written to a file and read by a later version is therefore
better digested as tuples of words and numbers.
"""

from __future__ import annotations

import dataclasses
import struct
import weakref
from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from enum import Enum, Flag
from fractions import Fraction
from hashlib import blake2b
from math import isnan
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

SIZE = 16
"""Bytes of a digest: 128 bits, far from any chance of two alike."""

Encoder = Callable[[Any], bytes]

_pack = struct.Struct("<d").pack
_NAN = b"n"
_COMPOSITE = b"@"


class _Unfit(TypeError):
    """Something without a stable digest; `what` says why."""

    def __init__(self, what: str) -> None:
        super().__init__(what)
        self.what = what


def digest(thing: object, *, name: str = "") -> str:
    """Digest of its content, 32 hexadecimal digits.

    Parameters
    ----------
    thing : see the head of this file for what has one.
    name : what to call it in the error.

    Raises
    ------
    TypeError : it, or something in it, can change or has no stable digest; the text gives the path and the mend.
    """
    return blake2b(encoded(thing, name=name), digest_size=SIZE).hexdigest()


def encoded(thing: object, *, name: str = "") -> bytes:
    """Its content in a form no other content has: short things whole, others by their digest. Raises as `digest`."""
    try:
        return _encode(thing)
    except _Unfit as unfit:
        trail, what = _place_of(thing, unfit)
        raise TypeError(f"{name or 'this'}{trail} {what}") from None


def frozen(array: NDArray[Any]) -> NDArray[Any]:
    """A read-only copy that owns its numbers, fit to be a key or a remembered answer."""
    copy = np.array(array)
    copy.flags.writeable = False
    return copy


def is_frozen_model(kind: type) -> bool:
    """Whether `kind` is a pydantic model declared frozen (pydantic itself isn't needed to tell)."""
    config = getattr(kind, "model_config", None)
    return isinstance(config, dict) and bool(config.get("frozen")) and hasattr(kind, "model_fields")


def is_frozen_dataclass(kind: type) -> bool:
    """Whether `kind` is a dataclass declared frozen."""
    parameters = getattr(kind, "__dataclass_params__", None)
    return parameters is not None and bool(parameters.frozen)


def _encode(thing: object) -> bytes:
    kind = type(thing)
    encoder = _ENCODERS.get(kind)
    if encoder is None:
        encoder = _ENCODERS[kind] = _encoder_for(kind)
    return encoder(thing)


def _text(text: str) -> bytes:
    raw = text.encode("utf-8", "surrogatepass")
    return b"s%d:%b" % (len(raw), raw)


def _real(number: float) -> bytes:
    return _NAN if isnan(number) else b"f" + _pack(number)


def _whole(number: int) -> bytes:
    return b"i%x;" % number


def _raw(raw: bytes) -> bytes:
    return b"b%d:%b" % (len(raw), raw)


def _hashed(header: bytes, parts: Iterable[bytes]) -> bytes:
    return _COMPOSITE + blake2b(b"".join((header, *parts)), digest_size=SIZE).digest()


def _tuple(things: tuple[object, ...]) -> bytes:
    return _hashed(b"tuple%d:" % len(things), map(_encode, things))


def _frozenset(things: frozenset[object]) -> bytes:
    return _hashed(b"frozenset%d:" % len(things), sorted(map(_encode, things)))


def _mapping(things: Mapping[object, object], encode: Encoder = _encode) -> bytes:
    return _hashed(b"mapping%d:" % len(things), sorted(_encode(key) + encode(value) for key, value in things.items()))


_ENCODERS: dict[type, Encoder] = {
    str: _text,
    float: _real,
    int: _whole,
    bool: lambda thing: b"T" if thing else b"F",
    type(None): lambda _: b"N",
    bytes: _raw,
    tuple: _tuple,
    frozenset: _frozenset,
    MappingProxyType: _mapping,
    complex: lambda thing: b"c" + _real(thing.real) + _real(thing.imag),
    range: lambda thing: b"r" + _text(repr(thing)),
    Decimal: lambda thing: b"d" + _text(str(thing)),
    Fraction: lambda thing: b"q" + _text(str(thing)),
    date: lambda thing: b"y" + _text(thing.isoformat()),
    datetime: lambda thing: b"Y" + _text(thing.isoformat()),
    time: lambda thing: b"h" + _text(thing.isoformat()),
    timedelta: lambda thing: b"D" + _text(f"{thing.days} {thing.seconds} {thing.microseconds}"),
}
"""How each class is encoded; classes are added as they are met."""


def _encoder_for(kind: type) -> Encoder:
    tag = _text(f"{kind.__module__}.{kind.__qualname__}")
    if issubclass(kind, Flag):
        return lambda thing: b"e" + tag + _whole(thing.value)
    if issubclass(kind, Enum):
        return lambda thing: b"e" + tag + _text(thing.name)
    if issubclass(kind, np.ndarray):
        return (
            _seen_before(_array)
            if kind is np.ndarray
            else _refuse("is an array of its own kind; hand over a plain one")
        )
    if issubclass(kind, np.generic):
        return lambda thing: b"g" + _text(thing.dtype.str) + _raw(thing.tobytes())
    if issubclass(kind, tuple):
        return lambda thing: _hashed(b"named" + tag, map(_encode, thing))
    if dataclasses.is_dataclass(kind):
        if not is_frozen_dataclass(kind):
            return _refuse(f"is a {kind.__name__}, which isn't frozen; declare it frozen")
        names = tuple(field.name for field in dataclasses.fields(kind))
        return _seen_before(
            lambda thing: _hashed(b"class" + tag, (_encode(getattr(thing, name)) for name in names)), kind
        )
    if is_frozen_model(kind):
        return _seen_before(lambda thing: _model(thing, tag), kind)
    return _refuse(_why_not(kind))


def _array(array: NDArray[Any]) -> bytes:
    if array.dtype.kind not in "biufcSU":
        raise _Unfit(f"is an array of {array.dtype}; arrays of numbers and text have a digest")
    _check_read_only(array)
    little = array.astype(array.dtype.newbyteorder("<"), copy=False)
    head = _text(f"{little.dtype.str}{array.shape}")
    return _COMPOSITE + blake2b(b"array" + head + np.ascontiguousarray(little).tobytes(), digest_size=SIZE).digest()


def _check_read_only(array: NDArray[Any]) -> None:
    """Also through a view nobody may write: the numbers may belong to somebody who may."""
    owner: object = array
    while isinstance(owner, np.ndarray):
        if owner.flags.writeable:
            what = (
                "is an array that can be written to"
                if owner is array
                else "is a view of an array that can be written to"
            )
            raise _Unfit(f"{what}; hand over kit.once.frozen(array)")
        owner = owner.base
    if owner is not None and not isinstance(owner, bytes):
        raise _Unfit("is an array whose numbers belong to something that may change; hand over kit.once.frozen(array)")


def _model(model: Any, tag: bytes) -> bytes:
    parts = [_within_model(getattr(model, name)) for name in type(model).model_fields]
    extra = getattr(model, "__pydantic_extra__", None)
    return _hashed(b"model" + tag, [*parts, _mapping(extra, _within_model)] if extra else parts)


def _within_model(thing: object) -> bytes:
    return _mapping(thing, _within_model) if type(thing) is dict else _encode(thing)


def _seen_before(encoder: Encoder, kind: type = np.ndarray) -> Encoder:
    """Remember the digest of each object as long as it lives, where its class lets it be watched."""
    if kind is not np.ndarray and not hasattr(kind, "__weakref__"):
        return encoder
    seen: dict[int, tuple[weakref.ref[Any], bytes]] = {}

    def remembering(thing: Any) -> bytes:
        key = id(thing)
        entry = seen.get(key)
        if entry is not None and entry[0]() is thing and (kind is not np.ndarray or _still_read_only(thing)):
            return entry[1]
        code = encoder(thing)

        def forget(gone: weakref.ref[Any]) -> None:  # knows no global name: those are gone when the program ends
            entry = seen.get(key)
            if entry is not None and entry[0] is gone:
                seen.pop(key, None)

        seen[key] = (weakref.ref(thing, forget), code)
        return code

    return remembering


def _still_read_only(array: Any) -> bool:
    return not array.flags.writeable


def _refuse(what: str) -> Encoder:
    def refuse(_: object) -> bytes:
        raise _Unfit(what)

    return refuse


def _why_not(kind: type) -> str:
    mends = {list: "hand over a tuple", set: "hand over a frozenset", bytearray: "hand over bytes"}
    mends |= {dict: "hand over a MappingProxyType or a tuple of pairs"}
    for mutable, mend in mends.items():
        if issubclass(kind, mutable):
            return f"is a {kind.__name__}, which can change; {mend}"
    if issubclass(kind, str | int | float | bytes):
        return f"is a {kind.__name__}, a kind of its own; hand over the plain {kind.__mro__[-2].__name__}"
    return f"is a {kind.__name__}, which has no stable digest"


def _place_of(thing: object, unfit: _Unfit) -> tuple[str, str]:
    """Path from `thing` to what can't be digested in it, and why."""
    for step, child, encode in _children(thing):
        try:
            encode(child)
        except _Unfit as inner:
            trail, what = _place_of(child, inner)
            return step + trail, what
    return "", unfit.what


def _children(thing: object) -> Iterable[tuple[str, object, Encoder]]:
    kind = type(thing)
    if isinstance(thing, tuple):
        return [(f"[{place}]", child, _encode) for place, child in enumerate(thing)]
    if isinstance(thing, Mapping):
        return [(f"[{key!r}]", child, _within_model if kind is dict else _encode) for key, child in thing.items()]
    if isinstance(thing, frozenset):
        return [("{...}", child, _encode) for child in thing]
    if is_frozen_dataclass(kind) and dataclasses.is_dataclass(thing):
        return [(f".{field.name}", getattr(thing, field.name), _encode) for field in dataclasses.fields(thing)]
    if is_frozen_model(kind):
        return [(f".{name}", getattr(thing, name), _within_model) for name in kind.model_fields]  # type: ignore[attr-defined]
    return []
