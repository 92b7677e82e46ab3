"""Lower bounds on the length rechecked from their certificates: whole numbers and the standard library alone.

A task here is plain data: {"width", "repeat": [across, along], "items": [{"across", "along", "turnable", "motif",
"at_fold"}]}, motif a pair or None. Written from the text of `grading.packing.bound`, sharing no code with it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from fractions import Fraction
from typing import Any

Measures = tuple[int, int]


class Rechecker:
    def __init__(self, task: Mapping[str, Any]) -> None:
        self.width: int = task["width"]
        self.repeat: Sequence[int] = task["repeat"]
        self.items: Sequence[Mapping[str, Any]] = task["items"]
        self.ways = [self._ways(item) for item in self.items]
        motif = any(item["motif"] is not None for item in self.items)
        across = {total for total in self._sums(0) if total <= self.width}
        self.counting_width = self.width if motif and self.repeat[0] else max(across)
        self.lengths = None if motif and self.repeat[1] else sorted(self._sums(1))

    def _ways(self, item: Mapping[str, Any]) -> list[Measures]:
        ways = [(item["across"], item["along"])]
        if item["turnable"] and item["motif"] is None and not item["at_fold"] and item["across"] != item["along"]:
            ways.append((item["along"], item["across"]))
        start = self._place(item, 0)
        return [way for way in ways if start + way[0] <= self.width]

    def _place(self, item: Mapping[str, Any], least: int, axis: int = 0) -> int:
        place = least
        if item["motif"] is not None and self.repeat[axis]:
            while (place - item["motif"][axis]) % self.repeat[axis]:
                place += 1
        return place

    def _sums(self, axis: int) -> set[int]:
        sums = {0}
        for ways in self.ways:
            sums |= {total + way[axis] for total in sums for way in ways}
        return sums

    def up(self, least: Fraction | int) -> int:
        if self.lengths is None:
            return -(-Fraction(least).numerator // Fraction(least).denominator)
        return next(length for length in self.lengths if length >= least)

    def length(self, certificate: Mapping[str, Any]) -> int:
        """The length that the certificate shows; raises where it shows nothing."""
        check: dict[str, Callable[[Mapping[str, Any]], int]] = {
            "area": self._area,
            "bars": self._bars,
            "columns": self._columns,
            "dual function": self._dual_function,
            "longest": self._longest,
            "none": lambda _: 0,
            "one after another": self._one_after_another,
        }
        return check[certificate["kind"]](certificate)

    def _area(self, _: Mapping[str, Any]) -> int:
        return self.up(Fraction(sum(item["across"] * item["along"] for item in self.items), self.counting_width))

    def _dual_function(self, certificate: Mapping[str, Any]) -> int:
        function, total = _function(certificate["name"], certificate["parameter"], self.counting_width)
        return self.up(Fraction(sum(min(function(w) * h for w, h in ways) for ways in self.ways), total))

    def _longest(self, certificate: Mapping[str, Any]) -> int:
        item, ways = self.items[certificate["item"]], self.ways[certificate["item"]]
        return self.up(self._place(item, 0, axis=1) + min(along for _, along in ways))

    def _one_after_another(self, certificate: Mapping[str, Any]) -> int:
        chosen = certificate["items"]
        assert len(set(chosen)) == len(chosen)
        assert not any(self._beyond(a, b) for a in chosen for b in chosen if a != b)
        return self.up(sum(min(along for _, along in self.ways[index]) for index in chosen))

    def _beyond(self, nearer: int, further: int) -> bool:
        first, second = self.items[nearer], self.items[further]
        start = 0 if first["at_fold"] else self._place(first, 0)
        return not second["at_fold"] and any(
            self._place(second, start + across) + other <= self.width
            for across, _ in self.ways[nearer]
            for other, _ in self.ways[further]
        )

    def _weights(self, certificate: Mapping[str, Any]) -> list[list[int]]:
        entries = {}
        for entry in certificate["weights"]:
            assert all(type(weight) is int and weight >= 0 for weight in entry["ways"])
            entries[entry["across"], entry["along"], entry["at_fold"], len(entry["ways"])] = entry["ways"]
        return [
            entries.get((item["across"], item["along"], item["at_fold"], len(ways)), [0] * len(ways))
            for item, ways in zip(self.items, self.ways, strict=True)
        ]

    def _bars(self, certificate: Mapping[str, Any]) -> int:
        weights = self._weights(certificate)
        groups, fold = [], []
        total = 0
        for item, ways, each in zip(self.items, self.ways, weights, strict=True):
            options = [(across, weight) for (across, _), weight in zip(ways, each, strict=True)]
            if item["at_fold"]:
                fold += options
            else:
                groups.append(options)
            total += min(weight * along for (_, along), weight in zip(ways, each, strict=True))
        return self.up(Fraction(total, heaviest([*groups, fold], self.counting_width)))

    def _columns(self, certificate: Mapping[str, Any]) -> int:
        refuted, groups, total = certificate["refuted"], [], 0
        for ways, each in zip(self.ways, self._weights(certificate), strict=True):
            short = [(w, h, weight) for (w, h), weight in zip(ways, each, strict=True) if h <= refuted]
            if not short:
                return self.up(refuted + 1)
            groups.append([(h, weight) for _, h, weight in short])
            total += min(weight * w for w, _, weight in short)
        assert heaviest(groups, refuted) * self.counting_width < total
        return self.up(refuted + 1)


def heaviest(groups: Iterable[Iterable[tuple[int, int]]], capacity: int) -> int:
    """The greatest weight of options (size, weight), one of a group at most, of at most the capacity together."""
    best = {0: 0}
    for group in groups:
        reached = dict(best)
        for size, weight in group:
            for used, carried in best.items():
                if used + size <= capacity and carried + weight > reached.get(used + size, -1):
                    reached[used + size] = carried + weight
        best, most = {}, -1
        for used in sorted(reached):
            if reached[used] > most:
                best[used] = most = reached[used]
    return max(best.values())


def _function(name: str, parameter: int, width: int) -> tuple[Callable[[int], int], int]:
    if name == "rounded":
        times = parameter
        assert times >= 1
        return lambda w: times * w if (times + 1) * w % width == 0 else (times + 1) * w // width * width, times * width
    assert 1 <= 2 * parameter <= width
    if name == "large and small":
        return lambda w: width if w > width - parameter else w if w >= parameter else 0, width
    assert name == "counted"
    units = width // parameter
    return (
        lambda w: (
            2 * (units - (width - w) // parameter)
            if 2 * w > width
            else units
            if 2 * w == width
            else 2 * (w // parameter)
        ),
        2 * units,
    )
