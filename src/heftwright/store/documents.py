"""Frozen values of the domain as JSON documents and back, exactly.

Plans, sheets, audit entries and before-images are kept as documents. Floats stay floats, exact
masses and lengths stay exact, closed words stay words; unions carry the name of the member.
"""

from __future__ import annotations

import hashlib
import json
import math
import types
import typing
from collections.abc import Mapping
from dataclasses import is_dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from enum import IntEnum, StrEnum
from functools import cache
from typing import Any, TypeVar
from uuid import UUID

from cattrs import Converter
from cattrs.gen import make_dict_unstructure_fn

from heftwright.domain.height import EnteredLength, Length
from heftwright.domain.mass import EnteredMass, Mass
from heftwright.domain.refusal import Refusal
from heftwright.store.fields import read_length, read_mass

T = TypeVar("T")
_TICKS = " ticks"


class DocumentError(Refusal):
    """A stored document that does not read as the value it should be."""


def to_document(value: object, kind: Any = None) -> Any:
    """A value as a JSON document; ``kind`` is its type when it is a container or a union."""
    return _converter().unstructure(value, kind or type(value))


def from_document(document: Any, kind: type[T]) -> T:
    """The value of a document.

    Raises
    ------
    DocumentError
        If the document is not one of ``kind``.
    """
    try:
        return _converter().structure(document, kind)
    except Exception as error:
        raise DocumentError(
            f"A stored {getattr(kind, '__name__', kind)} cannot be read: {error!r}. It was "
            "perhaps written by another version: plan again, or restore a backup."
        ) from error


def digest(value: object, kind: Any = None) -> str:
    """SHA-256 of the value's canonical document: equal values, equal digests."""
    document = to_document(value, kind)
    text = json.dumps(document, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


@cache
def _converter() -> Converter:
    converter = Converter(forbid_extra_keys=True, detailed_validation=False)
    _add_leaves(converter)
    converter.register_unstructure_hook_factory(_is_mapping, _mapping_writer)
    converter.register_structure_hook_factory(_is_mapping, _mapping_reader)
    converter.register_unstructure_hook_factory(_is_true_union, _union_writer)
    converter.register_structure_hook_factory(_is_true_union, _union_reader)
    converter.register_unstructure_hook_factory(_is_set, _set_writer)
    converter.register_unstructure_hook_factory(_is_dataclass, _dataclass_writer)
    for kind, text, read in (
        (Mass, _exact_mass, _read_exact_mass),
        (Length, _exact_length, _read_exact_length),
    ):
        _add_leaf(converter, kind, text, read)
    return converter


def _add_leaves(converter: Converter) -> None:
    for kind in (date, datetime, time):
        _add_leaf(converter, kind, kind.isoformat, kind.fromisoformat)
    _add_leaf(converter, timedelta, timedelta.total_seconds, _seconds)
    _add_leaf(converter, UUID, str, UUID)
    _add_leaf(converter, Decimal, str, Decimal)
    _add_leaf(converter, int, int, _whole)
    _add_leaf(converter, float, _float_out, float)
    _add_leaf(converter, str, str, _text)
    _add_leaf(converter, bool, bool, _truth)
    for words_kind in (StrEnum, IntEnum):  # they are texts and whole numbers too: named after those
        converter.register_structure_hook(words_kind, lambda document, words: words(document))


def _add_leaf(converter: Converter, kind: Any, write: Any, read: Any) -> None:
    converter.register_unstructure_hook(kind, write)
    converter.register_structure_hook(kind, lambda document, _: read(document))


def _is_dataclass(kind: Any) -> bool:
    origin: Any = typing.get_origin(kind) or kind
    return is_dataclass(origin)


def _dataclass_writer(kind: Any, converter: Any) -> Any:
    return make_dict_unstructure_fn(kind, converter)


def _seconds(document: float) -> timedelta:
    return timedelta(seconds=document)


def _float_out(value: float) -> float | str:
    number = float(value)
    return number if math.isfinite(number) else repr(number)  # JSON has no inf or nan


def _whole(document: object) -> int:
    if type(document) is not int:
        raise DocumentError(f"{document!r} is not a whole number.")
    return document


def _text(document: object) -> str:
    if not isinstance(document, str):
        raise DocumentError(f"{document!r} is not a text.")
    return document


def _truth(document: object) -> bool:
    if not isinstance(document, bool):
        raise DocumentError(f"{document!r} is neither true nor false.")
    return document


def _exact_mass(mass: Mass) -> str:
    try:
        return str(EnteredMass.of(mass))
    except Refusal:
        return f"{mass.ticks}{_TICKS}"  # a sum of kilograms and pounds, or a difference below 0


def _read_exact_mass(text: str) -> Mass:
    return Mass(int(text.removesuffix(_TICKS))) if text.endswith(_TICKS) else read_mass(text)


def _exact_length(length: Length) -> str:
    try:
        return str(EnteredLength.of(length))
    except Refusal:
        return f"{length.ticks}{_TICKS}"


def _read_exact_length(text: str) -> Length:
    return Length(int(text.removesuffix(_TICKS))) if text.endswith(_TICKS) else read_length(text)


def _is_mapping(kind: Any) -> bool:
    origin = typing.get_origin(kind) or kind
    return isinstance(origin, type) and issubclass(origin, Mapping)


def _mapping_parts(kind: Any) -> tuple[Any, Any, bool]:
    key, value = typing.get_args(kind) or (Any, Any)
    plain = key
    while isinstance(plain, typing.NewType):
        plain = plain.__supertype__
    is_text = plain is Any or (isinstance(plain, type) and issubclass(plain, str))
    return key, value, is_text


def _mapping_writer(kind: Any, converter: Any) -> Any:
    key, value, is_text = _mapping_parts(kind)

    def write(mapping: Mapping[Any, Any]) -> Any:
        pairs = [
            [converter.unstructure(k, key), converter.unstructure(v, value)]
            for k, v in mapping.items()
        ]
        return dict(pairs) if is_text else pairs

    return write


def _mapping_reader(kind: Any, converter: Any) -> Any:
    key, value, is_text = _mapping_parts(kind)

    def read(document: Any, _: Any) -> Any:
        pairs = document.items() if is_text else document
        return {converter.structure(k, key): converter.structure(v, value) for k, v in pairs}

    return read


def _is_set(kind: Any) -> bool:
    origin = typing.get_origin(kind) or kind
    return origin in (set, frozenset)


def _set_writer(kind: Any, converter: Any) -> Any:
    (member,) = typing.get_args(kind) or (Any,)

    def write(values: frozenset[Any]) -> list[Any]:
        documents = [converter.unstructure(value, member) for value in values]
        return sorted(documents, key=lambda item: json.dumps(item, sort_keys=True))

    return write


def _members(kind: Any) -> tuple[Any, ...]:
    if typing.get_origin(kind) not in (typing.Union, types.UnionType):
        return ()
    return tuple(member for member in typing.get_args(kind) if member is not type(None))


def _is_true_union(kind: Any) -> bool:
    return len(_members(kind)) > 1


def _named(kind: Any) -> dict[str, Any]:
    return {_name_of(member): member for member in _members(kind)}


def _name_of(member: Any) -> str:
    origin = typing.get_origin(member) or member
    return str(origin.__name__)


def _union_writer(kind: Any, converter: Any) -> Any:
    members = _named(kind)

    def write(value: Any) -> Any:
        if value is None:
            return None
        name = next(n for n in (cls.__name__ for cls in type(value).__mro__) if n in members)
        return {"is": name, "of": converter.unstructure(value, members[name])}

    return write


def _union_reader(kind: Any, converter: Any) -> Any:
    members = _named(kind)

    def read(document: Any, _: Any) -> Any:
        if document is None:
            return None
        return converter.structure(document["of"], members[document["is"]])

    return read
