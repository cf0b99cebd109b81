"""A length with its unit: `30 in`, `75 cm`, `2.5 ft`, `1 m`."""

import re
from typing import NamedTuple

MILLIMETRES = {"in": 25.4, "ft": 304.8, "cm": 10.0, "m": 1000.0}
"""Millimetres in one unit; the inch is exactly 25.4 mm (international yard and pound agreement, 1959)."""

LONGEST = 1_000_000.0
"""No surface is wider than this, in millimetres; a longer length is a slip of the pen."""


_NUMBER = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?|\.[0-9]{1,9}")


def parse_number(text: str) -> float:
    """Read a number as people write it: digits with or without a decimal point, and nothing else.

    Raises:
        ValueError: without a sentence, for only the caller knows what the number is of.
    """
    if not _NUMBER.fullmatch(text):
        raise ValueError
    return float(text)


class Length(NamedTuple):
    """A length as its author wrote it, so that it can be shown the same way."""

    value: float
    unit: str

    def to(self, unit: str) -> float:
        """Return the value in `unit`; the same unit returns the written number untouched."""
        if unit == self.unit:
            return self.value
        return self.value * MILLIMETRES[self.unit] / MILLIMETRES[unit]

    def __str__(self) -> str:
        return f"{self.value:g} {self.unit}"


def parse_length(text: str) -> Length:
    """Read a length.

    Raises:
        ValueError: with a sentence for the author, if the text is not a number and a unit.
    """
    parts = text.split()
    if len(parts) == 1 and text.strip():
        number = text.strip().rstrip("inftcm")
        parts = [number, text.strip()[len(number) :]]
    units = ", ".join(MILLIMETRES)
    if len(parts) != 2 or parts[1] not in MILLIMETRES:
        raise ValueError(f'a length is a number and a unit, like "30 in" (units: {units}), not "{text}"')
    try:
        value = parse_number(parts[0])
    except ValueError:
        raise ValueError(f'a length starts with a number, like "30 in", not "{text}"') from None
    if not 0 <= value * MILLIMETRES[parts[1]] <= LONGEST:
        raise ValueError(f'a length lies between 0 and 1000 m, so it cannot be "{text}"')
    return Length(value, parts[1])
