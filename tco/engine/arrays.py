"""The numbers of functions' results: numpy arrays in and out.

NaN stands for a spreadsheet's error value and is never swallowed.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from tco.engine.nodes import Array

TINY = np.finfo(np.float64).tiny  # below it numbers lose digits in numpy, and are 0 or an error in a sheet
ALIKE = 2.0**-48  # spreadsheet programs compare about 15 digits


def none_too_small(operation: Any) -> Any:
    """The operation, with NaN where a result other than 0 is too small to hold."""

    def array(one: Array, other: Array) -> Array:
        try:
            with np.errstate(under="raise"):
                return operation(one, other)  # type: ignore[no-any-return]
        except FloatingPointError:
            with np.errstate(all="ignore"):
                found = operation(one, other)
        return np.where((np.abs(found) < TINY) & (one != 0) & (other != 0), np.nan, found)

    return array


def raised(base: Array, exponent: Array) -> Array:
    """NaN for 0 to the power 0, about which programs disagree, and for NaN, which numpy loses in x^0 and 1^x.

    Operands are laid out alike so that one draw and many take the same path through numpy, to the bit.
    """
    found: Array = np.power(*(np.ascontiguousarray(side) for side in np.broadcast_arrays(base, exponent)))
    empty, lost = base == 0, np.isnan(base)
    if not (empty.any() or lost.any() or np.isnan(exponent).any()):
        return found
    return np.where((empty & (exponent == 0)) | lost | np.isnan(exponent), np.nan, found)


def compared(test: Any) -> Any:
    """1 or 0, and NaN where either side is NaN; numbers alike to 15 digits are equal, as they are in a sheet."""

    def array(one: Array, other: Array) -> Array:
        alike = np.abs(one - other) < ALIKE * np.minimum(np.abs(one), np.abs(other))
        return np.where(np.isnan(one) | np.isnan(other), np.nan, test(one, np.where(alike, one, other)))

    return array


def total(values: Array) -> Array:
    """Sum over the last axis, kept with length 1; contiguous, so that batching leaves the order of adding alone."""
    return np.add.reduce(np.ascontiguousarray(values), axis=-1, keepdims=True)


def total_within(values: Array, within: Array) -> Array:
    """For each row, the sum of the values within; one row at a time, lest draws x rows x rows fill the memory."""
    if values.ndim == 1:
        return total(np.where(within, values, 0.0))[..., 0]
    rows = [within[..., row, :] for row in range(within.shape[-2])]
    none = np.zeros((*np.broadcast_shapes(values.shape[:-1], within.shape[:-2]), 1))
    return np.concatenate([total(np.where(row, values, 0.0)) if row.any() else none for row in rows], axis=-1)


def total_where(values: Array, keys: Array, key: Array) -> Array:
    """For each row, the sum of the values whose key is the row's."""
    return total_within(values, keys[..., None, :] == key[..., :, None])


def total_between(values: Array, after: Array, until: Array, moment: Array) -> Array:
    """For each row, the sum of the values with after < moment <= until."""
    now = moment[..., :, None]
    return total_within(values, (after[..., None, :] < now) & (now <= until[..., None, :]))


def looked_up(key: Array, keys: Array, values: Array) -> Array:
    """For each row, the value beside the first equal key; NaN where there is none."""
    equal = keys[..., None, :] == key[..., :, None]
    found, beside = equal.any(axis=-1), side_by_side(values, equal.argmax(axis=-1))
    return beside if found.all() else np.where(found, beside, np.nan)


def side_by_side(values: Array, rows: Array) -> Array:
    """The values of these rows, draw by draw where the rows vary as well."""
    if rows.ndim == 1:
        return np.take(values, rows, axis=-1)
    draws = np.broadcast_shapes(values.shape[:-1], rows.shape[:-1])
    wide, rows = (np.broadcast_to(one, (*draws, one.shape[-1])) for one in (values, rows))
    return np.take_along_axis(wide, rows, axis=-1)


def above_steps(amount: Array, key: Array, keys: Array, starts: Array, rises: Array) -> Array:
    """For each row, the sum over the steps with its key of rise x what the amount is above the step's start.

    With rises of price at the start of each block it is a block tariff's charge; with rises of slope a curve of
    straight lines. One step at a time, lest draws x rows x steps fill the memory.
    """
    found: Array = 0.0 * amount  # what is no number stays none
    for step in range(keys.shape[-1]):
        one = slice(step, step + 1)
        own = (key == keys[..., one]) & (amount > starts[..., one])
        found = found + np.where(own, (amount - starts[..., one]) * rises[..., one], 0.0 * rises[..., one])
    return found


def level_payment(rate: Array, periods: Array, present: Array) -> Array:
    """The level payment at each period's end that repays `present`; present / periods at a rate of 0.

    NaN where `present` with interest and the interest on it overflow: a sheet works by way of them.
    """
    with np.errstate(all="ignore"):
        growth = periods * np.log1p(rate)
        share = np.where(rate == 0, 1 / periods, rate / -np.expm1(-growth))
        grown = present * np.exp(growth) * np.maximum(rate, 1.0)
        return np.where(np.isfinite(grown), present * share, np.nan)


def summed_to_end(values: Array, kernel: Array) -> Array:
    """For each row n, the sum over k <= n of values[k] kernel[last - n + k]: a convolution with a kernel run back."""
    values, kernel = rows_first(values, kernel)
    found = values * kernel[-1]
    for back in range(1, len(kernel)):
        found[back:] += values[:-back] * kernel[-1 - back]
    return rows_last(found)


def summed_since(values: Array, kernel: Array, keys: Array, since: Array) -> Array:
    """As summed_to_end, of those values only whose key is at least the row's own `since`."""
    wide = np.broadcast_to(since, (*since.shape[:-1], kernel.shape[-1]))
    values, kernel, keys, since = rows_first(values, kernel, keys, wide)
    reached = compared(np.greater_equal)
    found = values * kernel[-1] * reached(keys, since)
    for back in range(1, len(kernel)):
        found[back:] += values[:-back] * kernel[-1 - back] * reached(keys[:-back], since[back:])
    return rows_last(found)


def rows_first(*arrays: Array) -> list[Array]:
    """The arrays with their rows as first axis and draws side by side: loops over rows are quick over many draws."""
    axes = max(array.ndim for array in arrays)
    wide = [array.reshape((1,) * (axes - array.ndim) + array.shape) for array in arrays]
    return [np.ascontiguousarray(np.moveaxis(array, -1, 0)) for array in wide]


def rows_last(values: Array) -> Array:
    """Back from rows_first."""
    return np.ascontiguousarray(np.moveaxis(values, 0, -1))


def slope_of_summed(slope: Array, kernel: Array, keys: Array | None = None, since: Array | None = None) -> Array:
    """What each value adds to the rows of summed_to_end (or summed_since), weighed by the slopes of those rows.

    Only rows with a slope are looked at: where parts are sold once there is one.
    """
    rows = kernel.shape[-1]
    found = np.zeros((*np.broadcast_shapes(slope.shape[:-1], kernel.shape[:-1]), rows))
    for row in np.flatnonzero((slope != 0).reshape(-1, slope.shape[-1]).any(axis=0)):
        part = slope[..., row : row + 1] * kernel[..., rows - 1 - row :]
        if keys is not None and since is not None:
            part = part * (keys[..., : row + 1] >= since[..., row : row + 1])
        found[..., : row + 1] += part
    return found


def present_worth(rate: Array, amounts: Array) -> Array:
    """The sum of amounts[k] / (1 + rate)^(k + 1), for each row; NaN where the rate leaves nothing."""
    with np.errstate(all="ignore"):
        growth = np.where(rate == -1, np.nan, 1 + rate)[..., None]
        factors = np.power(growth, -1.0 - np.arange(amounts.shape[-1]))
        found: Array = total(amounts[..., None, :] * factors)[..., 0]
    return found


EXTREME = 7.0  # a rate is sought between this, as the logarithm of growth in a step, and its inverse


def only_rate(amounts: Array, guess: Array) -> Array:
    """The one rate a step at which amounts are worth nothing together; NaN unless first and last differ in sign.

    By halving, on the logarithm of growth: safe for any amounts whose sign changes once. The guess serves the sheet.
    """
    early, late = (sign_of_first(side) for side in (amounts, amounts[..., ::-1]))
    low, high = (np.full(early.shape, limit) for limit in (-EXTREME, EXTREME))
    for _ in range(60):
        middle = (low + high) / 2
        like_late = sign_at(middle, amounts) == late
        low, high = np.where(like_late, middle, low), np.where(like_late, high, middle)
    found: Array = np.where((early * late < 0) & ~np.isnan(guess), np.expm1((low + high) / 2), np.nan)
    return found


def sign_of_first(amounts: Array) -> Array:
    """The sign of the first amount that is not 0; it decides at high rates, as the last does at low ones."""
    first = (amounts != 0).argmax(axis=-1)[..., None]
    found: Array = np.sign(np.take_along_axis(amounts, first, axis=-1))
    return found


def sign_at(growth: Array, amounts: Array) -> Array:
    """The sign of the amounts' worth at a growth a step, given as a logarithm."""
    worth: Array = np.sign(total(amounts * worths(growth, amounts.shape[-1])))
    return worth


def worths(growth: Array, count: int) -> Array:
    """What 1 is worth after 0 to count - 1 steps, at each growth; scaled so that nothing overflows."""
    steps = np.arange(count) - np.where(growth < 0, count - 1, 0)
    found: Array = np.exp(-growth * steps)
    return found
