"""Drawn columns put into an order in which they correlate as they are said to.

The method is that of [Iman1982]_: each column keeps the very values that were drawn, so
that its own curve stays exact, and only their order changes, to that of scores which
correlate as wanted. Scores are van der Waerden's, so what correlates are the normal
scores of the ranks: the same dependence as a Gaussian copula's.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from kit.errors import ShelfError
from kit.stock.risks import Spread, Tie

Columns = NDArray[np.float64]
_HAIR = 1e-9


def correlations(spreads: Sequence[Spread], ties: Sequence[Tie]) -> Columns:
    """Correlations of all spreads as a table, (S, S), ones on its diagonal.

    Raises
    ------
    ShelfError
        If they contradict each other: no numbers can be correlated so.
    """
    place = {spread.key: k for k, spread in enumerate(spreads)}
    table = np.eye(len(spreads))
    for tie in ties:
        a, b = (place[key] for key in tie.of)
        table[a, b] = table[b, a] = tie.correlation
    check_possible(table, [spread.key for spread in spreads])
    return table


def check_possible(table: Columns, names: Sequence[str]) -> None:
    """Refuse correlations that no numbers can have, and name those that are at odds.

    Parameters
    ----------
    table : (S, S) float64
    names : sequence of str

    Raises
    ------
    ShelfError
        If the table is not positive semidefinite.
    """
    values, vectors = np.linalg.eigh(table)
    if values[0] >= -_HAIR:
        return
    at_odds = [int(k) for k in np.flatnonzero(np.abs(vectors[:, 0]) > 0.1)]
    pairs = ", ".join(
        f"{names[a]} with {names[b]} {table[a, b]:g}"
        for n, a in enumerate(at_odds)
        for b in at_odds[n + 1 :]
    )
    raise ShelfError(
        "correlations",
        found=f"{pairs}; least eigenvalue {values[0]:.3g}",
        expected="ones that can be true together, no eigenvalue below 0",
    )


def reordered(drawn: Columns, table: Columns, chance: np.random.Generator) -> Columns:
    """Columns of the same values, in an order in which they correlate.

    Parameters
    ----------
    drawn : (V, N) float64
        A row a variable, in any order; taken as a row of independent draws.
    table : (V, V) float64
        Correlations of normal scores wanted, positive semidefinite.
    chance : Generator

    Returns
    -------
    (V, N) float64
        Rows that nothing is tied to are as they were.
    """
    tied = np.flatnonzero(np.abs(table - np.eye(len(table))).sum(axis=1) > 0.0)
    if tied.size == 0:
        return drawn
    draws = drawn.shape[1]
    scores = _scores(draws)
    shuffled = np.stack([chance.permutation(scores) for _ in tied])
    # take out what correlation chance left in, then put in what is wanted; einsum, for
    # the threads of a matrix product cost more than they save, and sum in another order
    left_in = np.linalg.cholesky(np.einsum("in,jn->ij", shuffled, shuffled) / draws)
    wanted = _root(table[np.ix_(tied, tied)])
    target = np.einsum("ij,jn->in", wanted @ np.linalg.inv(left_in), shuffled)
    ordered = drawn.copy()
    for row, score in zip(tied, target, strict=True):
        ordered[row, np.argsort(score)] = np.sort(drawn[row])
    return ordered


def _scores(draws: int) -> NDArray[np.float64]:
    """Van der Waerden's scores of `draws` ranks, of unit variance, (draws,)."""
    from scipy.special import ndtri

    scores = ndtri(np.arange(1, draws + 1) / (draws + 1.0))
    return np.asarray(scores / np.sqrt(np.mean(scores**2)))


def _root(table: Columns) -> Columns:
    """A root of a table that may be singular, root @ root.T == table."""
    values, vectors = np.linalg.eigh(table)
    return np.asarray(vectors * np.sqrt(np.clip(values, 0.0, None)))
