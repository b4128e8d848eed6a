"""The order of loads: which pans go into which oven next, so that the last are done soonest."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations, product

from kitchenkit.errors import KitchenError
from kitchenkit.language import tr
from kitchenkit.pans import Pan
from kitchenkit.racks import footprint, on_racks
from kitchenkit.saying import say_both

# Kinds of pans, and steps, up to which the search is for the very best; beyond, the best of some
# plain rules is taken, and said to be that.
_KINDS, _PATIENCE = 4, 600
_SAME = 1e-9


@dataclass(frozen=True)
class Kind:
    """Pans that the search need not tell apart: same pan, heat, windows, ready and aftermath."""

    pan: Pan
    heat: float
    windows: tuple[tuple[float, float, float], ...]
    ready: float
    after: float

    def minutes(self, racks: int, end: int) -> float:
        return self.windows[racks - 1][end]


@dataclass(frozen=True)
class Put:
    """A load of the search: oven, counts of each kind, racks, when it goes in and is over."""

    oven: int
    counts: tuple[int, ...]
    racks: int
    into: float
    over: float


class Search:
    """Loads for some ovens, by rule and then by branch and bound.

    Parameters
    ----------
    kinds : list of Kind
    ovens : sequence of Oven
    end : int
        Which minutes of a window an oven is kept for: 1 the likeliest, 2 the late end.
    early, reload_min, reheat_min : float
        As for `kitchenkit.timetable.oven_timetable`.

    Attributes
    ----------
    exact : bool
        After `best`: whether no order of loads is quicker.
    """

    def __init__(self, kinds, ovens, end, early, reload_min, reheat_min):
        self.kinds: list[Kind] = kinds
        self.ovens, self.end = ovens, end
        self.early, self.reload, self.reheat = early, reload_min, reheat_min
        self.exact = True
        self._fits: dict = {}
        self._ways: dict = {}
        self._alike = [ovens.index(next(o for o in ovens if o.alike == x.alike)) for x in ovens]

    def best(self, stock: dict[Kind, int]) -> list[Put]:
        """The quickest way found to bake all of it.

        Parameters
        ----------
        stock : dict of Kind to int
            How many pans of each kind.

        Returns
        -------
        list of Put

        Raises
        ------
        KitchenError
            If a pan fits on no rack.
        """
        self._most = [
            max(self._many_alone(k, oven) for oven in range(len(self.ovens)))
            for k in range(len(self.kinds))
        ]
        for kind, most in zip(self.kinds, self._most, strict=True):
            if not most:
                size = " × ".join(say_both(side) for side in footprint(kind.pan))
                raise KitchenError(
                    tr(
                        "The {pan} ({size} outside) fits on no rack with air around it. Use a "
                        "smaller pan, or measure the rack.",
                        pan=tr(kind.pan.name),
                        size=size,
                    )
                )
        left = tuple(stock[kind] for kind in self.kinds)
        # Oven → when it is free, and its heat; first of all it warms up for whatever comes first.
        state = tuple((oven.preheat - self.early, None) for oven in self.ovens)
        free = [(when, at) for at, (when, _) in enumerate(state)]
        bound = self._at_least(left, free, 0.0)
        self._least, self._found = math.inf, []
        for rule in product(self._orders(), (3, 2, 1), (False, True)):
            least, puts = self._by_rule(left, state, *rule)
            if least < self._least:
                self._least, self._found = least, puts
            if self._least <= bound + _SAME:  # nothing can be quicker
                self.exact = True
                return self._found
        self.exact = len(self.kinds) <= _KINDS
        if self.exact:
            self._seen: dict = {}
            self._steps = 0
            self._go(left, state, 0.0, [])
        return self._found

    # By rule -----------------------------------------------------------------------------------

    def _orders(self) -> list[list[int]]:
        """Which kinds go first: what takes longest, or what is ready first."""
        every = range(len(self.kinds))

        def to_go(k: int) -> float:
            return self.kinds[k].minutes(1, self.end) + self.kinds[k].after

        return [
            sorted(every, key=lambda k: -to_go(k)),
            sorted(every, key=lambda k: (self.kinds[k].ready, -to_go(k))),
        ]

    def _by_rule(self, left, state, order, racks: int, patient: bool):
        """Finish and loads when every oven takes, when free, as much as it holds in an order.

        Who is `patient` waits for what is not ready yet, if there is room for it.
        """
        puts, latest = [], 0.0
        while any(left):
            when, oven = min((free, at) for at, (free, _) in enumerate(state))
            counts, some = [0] * len(left), []
            used = min(racks, self.ovens[oven].racks)
            go = max(when, min(self.kinds[k].ready for k in order if left[k]))
            for k in order:
                if self.kinds[k].ready > go and not patient:
                    continue
                if some and self.kinds[k].heat != self.kinds[some[0]].heat:
                    continue
                while counts[k] < left[k] and self._holds_all(oven, counts, k, used):
                    counts[k] += 1
                some += [k] if counts[k] else []
            if not some:  # what is next needs more racks than this rule uses, or another oven
                return math.inf, []
            put, state, done = self._put(oven, tuple(counts), used, state)
            puts.append(put)
            latest = max(latest, done)
            left = tuple(a - b for a, b in zip(left, counts, strict=True))
        return latest, puts

    def _holds_all(self, oven: int, counts, more: int, racks: int) -> bool:
        some = tuple(k for k, n in enumerate(counts) if n or k == more)
        return self._holds(oven, some, tuple(counts[k] + (k == more) for k in some), racks)

    def _put(self, oven: int, counts, racks: int, state):
        """A load put in as early as can be, the ovens after it, and its last finish."""
        when, heat = state[oven]
        kinds = [self.kinds[k] for k, n in enumerate(counts) if n]
        change = self.reheat if heat is not None and heat != kinds[0].heat else 0.0
        into = max(when + change, *(kind.ready for kind in kinds))
        lasts = [kind.minutes(racks, self.end) for kind in kinds]
        done = max(into + last + kind.after for kind, last in zip(kinds, lasts, strict=True))
        over = into + max(lasts)
        after = (*state[:oven], (over + self.reload, kinds[0].heat), *state[oven + 1 :])
        return Put(oven, counts, racks, into, over), after, done

    # Every way ---------------------------------------------------------------------------------

    def _go(self, left, state, latest: float, puts: list[Put]) -> None:
        """Put the next load in, every way; `latest` is the last finish so far."""
        if not any(left):
            if latest < self._least - _SAME:
                self._least, self._found = latest, puts
            return
        free = [(free, at) for at, (free, _) in enumerate(state) if free < math.inf]
        if not free or self._at_least(left, free, latest) >= self._least - _SAME:
            return
        self._steps += 1
        if self._steps > _PATIENCE:
            self.exact = False
            return
        # The same pans left and the same ovens free, with no later finish before: seen.
        key = (
            left,
            tuple(sorted((self._alike[at], *map(str, oven)) for at, oven in enumerate(state))),
        )
        if self._seen.get(key, math.inf) <= latest + _SAME:
            return
        self._seen[key] = latest
        _, oven = min(free)
        for counts, racks in self._loads(oven, left):
            put, ovens, done = self._put(oven, counts, racks, state)
            rest = tuple(a - b for a, b in zip(left, counts, strict=True))
            self._go(rest, ovens, max(latest, done), [*puts, put])
        if len(free) > 1:  # this oven rests from here on
            self._go(left, (*state[:oven], (math.inf, None), *state[oven + 1 :]), latest, puts)

    def _at_least(self, left, free, latest: float) -> float:
        """A finish that nothing from here can beat."""
        times = sorted(when for when, _ in free)
        bound = latest
        for k, many in enumerate(left):
            if not many:
                continue
            kind = self.kinds[k]
            last = kind.minutes(1, self.end)
            # As if this kind had all the ovens to itself, each load as large as the largest.
            ends = [max(when, kind.ready) for when in times]
            for _ in range(math.ceil(many / self._most[k])):
                at = ends.index(min(ends))
                start, ends[at] = ends[at], ends[at] + last + self.reload
            bound = max(bound, start + last + kind.after)
        return bound

    def _loads(self, oven: int, left) -> list[tuple[tuple[int, ...], int]]:
        """Loads worth trying in an oven: counts of each kind and racks, the largest first."""
        key = self._alike[oven], left
        if key not in self._ways:
            there = [k for k, n in enumerate(left) if n]
            heats = dict.fromkeys(self.kinds[k].heat for k in there)
            groups = [[k for k in there if self.kinds[k].heat == heat] for heat in heats]
            found: dict = {}
            for group in groups:
                for size in range(1, len(group) + 1):
                    for some in combinations(group, size):
                        for racks in range(1, self.ovens[oven].racks + 1):
                            for counts in self._fullest(oven, left, some, racks):
                                found.setdefault(counts, racks)  # on the fewest racks that do
            self._ways[key] = sorted(found.items(), key=lambda way: (-sum(way[0]), way[1], way[0]))
        return self._ways[key]

    def _fullest(self, oven: int, left, some, racks: int):
        """Counts of just these kinds to which not one more can be added."""
        fits = [
            counts
            for counts in product(*(range(1, self._up_to(k, oven, left) + 1) for k in some))
            if self._holds(oven, some, counts, racks)
        ]
        known = set(fits)
        for counts in fits:
            more = ((*counts[:at], counts[at] + 1, *counts[at + 1 :]) for at in range(len(counts)))
            if not known.intersection(more):
                whole = [0] * len(left)
                for k, n in zip(some, counts, strict=True):
                    whole[k] = n
                yield tuple(whole)

    def _holds(self, oven: int, some, counts, racks: int) -> bool:
        key = self._alike[oven], some, counts, racks
        if key not in self._fits:
            pans = [self.kinds[k].pan for k, n in zip(some, counts, strict=True) for _ in range(n)]
            self._fits[key] = on_racks(pans, self.ovens[oven], racks) is not None
        return self._fits[key]

    def _up_to(self, k: int, oven: int, left) -> int:
        return min(left[k], self._many_alone(k, oven))

    def _many_alone(self, k: int, oven: int) -> int:
        """How many pans of one kind alone an oven holds."""
        key = self._alike[oven], k
        if key not in self._fits:
            many = 0
            while many < 200 and on_racks([self.kinds[k].pan] * (many + 1), self.ovens[oven]):
                many += 1
            self._fits[key] = many
        return self._fits[key]
