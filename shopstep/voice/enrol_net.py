"""A small net on band powers, and its training: two convolutions over time, the strongest and the
mean answer of each, one layer to the phrases. numpy only.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shopstep.voice.enrol_features import BANDS

Array = NDArray[np.float32]
Classes = NDArray[np.intp]
"""The class of each example."""
Weights = dict[str, Array]
WIDTH = 5
CHANNELS = (48, 64)
_RATE, _BATCH = 2e-3, 64


def new_weights(classes: int, dice: np.random.Generator) -> Weights:
    """Weights before any training, for so many classes."""
    first, second = CHANNELS

    def drawn(rows: int, columns: int) -> Array:
        return np.asarray(dice.standard_normal((rows, columns)) * np.sqrt(2 / rows), np.float32)

    return {
        "w1": drawn(WIDTH * BANDS, first),
        "b1": np.zeros(first, np.float32),
        "w2": drawn(WIDTH * first, second),
        "b2": np.zeros(second, np.float32),
        "w3": drawn(2 * second, classes),
        "b3": np.zeros(classes, np.float32),
    }


def _windows(layer: Array) -> Array:
    """Batch, frames, channels to batch, frames, WIDTH × channels."""
    view = np.lib.stride_tricks.sliding_window_view(layer, WIDTH, axis=1)
    return np.ascontiguousarray(view.transpose(0, 1, 3, 2)).reshape(*view.shape[:2], -1)


@dataclass(slots=True)
class _Pass:
    """What the way forward leaves for the way back."""

    in1: Array
    out1: Array
    pooled: Array
    took: Array
    in2: Array
    out2: Array
    best: Classes
    flat: Array
    odds: Array


def _forward(weights: Weights, seen: Array) -> _Pass:
    in1 = _windows(seen)
    out1 = np.maximum(in1 @ weights["w1"] + weights["b1"], 0)
    even = out1.shape[1] // 2 * 2
    pairs = out1[:, :even].reshape(len(seen), even // 2, 2, -1)
    pooled = pairs.max(axis=2)
    in2 = _windows(pooled)
    out2 = np.maximum(in2 @ weights["w2"] + weights["b2"], 0)
    best = out2.argmax(axis=1)
    flat = np.concatenate([out2.max(axis=1), out2.mean(axis=1)], axis=1)
    scores = flat @ weights["w3"] + weights["b3"]
    scores = np.exp(scores - scores.max(axis=1, keepdims=True))
    odds = scores / scores.sum(axis=1, keepdims=True)
    took = (pairs == pooled[:, :, None]).astype(np.float32)
    return _Pass(in1, out1, pooled, took, in2, out2, best, flat, odds)


def odds_of(weights: Weights, seen: Array) -> Array:
    """The odds of each class for a batch (batch, frames, bands)."""
    return _forward(weights, seen).odds


def _backward(weights: Weights, done: _Pass, wanted: Array) -> Weights:
    count, second = len(wanted), CHANNELS[1]
    down3 = (done.odds - wanted) / count
    grads = {"w3": done.flat.T @ down3, "b3": down3.sum(axis=0)}
    down_flat = down3 @ weights["w3"].T
    frames = done.out2.shape[1]
    down2 = np.repeat(down_flat[:, None, second:] / frames, frames, axis=1)
    rows = np.arange(count)[:, None]
    down2[rows, done.best, np.arange(second)[None]] += down_flat[:, :second]
    down2 = down2 * (done.out2 > 0)
    flat2 = down2.reshape(-1, second)
    grads["w2"] = done.in2.reshape(len(flat2), -1).T @ flat2
    grads["b2"] = flat2.sum(axis=0)
    down_pooled = _unwindow(flat2 @ weights["w2"].T, done.pooled.shape)
    down1 = np.zeros_like(done.out1)
    even = done.took.shape[1] * 2
    spread = done.took * down_pooled[:, :, None]
    down1[:, :even] = spread.reshape(count, even, -1)
    down1 *= done.out1 > 0
    flat1 = down1.reshape(-1, down1.shape[2])
    grads["w1"] = done.in1.reshape(len(flat1), -1).T @ flat1
    grads["b1"] = flat1.sum(axis=0)
    return grads


def _unwindow(flat: Array, shape: tuple[int, ...]) -> Array:
    """The gradient of ``_windows``."""
    count, frames, channels = shape
    parts = flat.reshape(count, frames - WIDTH + 1, WIDTH, channels)
    whole = np.zeros(shape, np.float32)
    for place in range(WIDTH):
        whole[:, place : place + parts.shape[1]] += parts[:, :, place]
    return whole


def train(
    draw: Callable[[int], tuple[Array, Classes]],
    classes: int,
    rounds: int,
    dice: np.random.Generator,
) -> Weights:
    """Weights after ``rounds`` batches; ``draw(count)`` gives fresh examples and their classes."""
    weights = new_weights(classes, dice)
    mean = {name: np.zeros_like(each) for name, each in weights.items()}
    square = {name: np.zeros_like(each) for name, each in weights.items()}
    eye = np.eye(classes, dtype=np.float32) * 0.95 + 0.05 / classes
    for number in range(1, rounds + 1):
        seen, labels = draw(_BATCH)
        grads = _backward(weights, _forward(weights, seen), eye[labels])
        rate = _RATE * min(1.0, 2 * (1 - (number - 1) / rounds))
        for name, grad in grads.items():
            mean[name] = 0.9 * mean[name] + 0.1 * grad
            square[name] = 0.999 * square[name] + 0.001 * grad**2
            step = mean[name] / (1 - 0.9**number)
            size = np.sqrt(square[name] / (1 - 0.999**number)) + 1e-8
            weights[name] = (weights[name] - rate * step / size).astype(np.float32)
    return weights
