"""Measures a network on pictures: pixel counts at many thresholds, areas, and false rust."""
from __future__ import annotations

import cv2
import numpy as np
import torch
import torch.nn.functional as F

from data import Picture, edge_band, fit_size

THRESHOLDS = np.arange(1, 100) / 100  # probabilities at which counts are kept


def prepare(image: np.ndarray, long_side: int, multiple: int = 32) -> np.ndarray:
    """RGB bytes to the network's input (1, 3, h, w): scaled to fit, then bytes to -1 ... 1."""
    height, width = fit_size(image.shape[0], image.shape[1], long_side, multiple)
    if (height, width) != image.shape[:2]:
        shrink = height < image.shape[0]
        image = cv2.resize(image, (width, height), interpolation=cv2.INTER_AREA if shrink else cv2.INTER_LINEAR)
    return (image.astype(np.float32) / 127.5 - 1).transpose(2, 0, 1)[None]


@torch.no_grad()
def infer(model, pictures: list[Picture], long_side: int, device: str) -> list[np.ndarray]:
    """Quarter-resolution logits, one array (h/4, w/4) a picture; pictures of one size go through together."""
    ready = [prepare(p.image, long_side) for p in pictures]
    out: list[np.ndarray] = [None] * len(pictures)
    by_shape: dict[tuple, list[int]] = {}
    for i, x in enumerate(ready):
        by_shape.setdefault(x.shape, []).append(i)
    for indices in by_shape.values():
        for at in range(0, len(indices), 16):
            some = indices[at : at + 16]
            x = torch.from_numpy(np.concatenate([ready[i] for i in some])).to(device)
            y = model(x)[0][:, 0].float().cpu().numpy()
            for k, i in enumerate(some):
                out[i] = y[k]
    return out


def sigmoid(x: np.ndarray) -> np.ndarray:
    return 1 / (1 + np.exp(-x))


def counts(prob: np.ndarray, rust: np.ndarray, use: np.ndarray) -> np.ndarray:
    """(thresholds, 3): true positive, false positive and missed pixels at each threshold."""
    bins = np.clip((prob * 100).astype(np.int32), 0, 99)
    pos = np.bincount(bins[use & rust], minlength=100)
    neg = np.bincount(bins[use & ~rust], minlength=100)
    above = lambda h: h[::-1].cumsum()[::-1][1:]
    tp, fp = above(pos), above(neg)
    return np.stack([tp, fp, pos.sum() - tp], 1)


def measure(pictures: list[Picture], logits: list[np.ndarray], band: int = 5) -> list[dict]:
    """One record a picture; areas are fractions 0 ... 1 of the quarter-resolution map."""
    records = []
    for p, small in zip(pictures, logits):
        height, width = p.mask.shape
        full = cv2.resize(small, (width, height), interpolation=cv2.INTER_LINEAR)
        prob, q = sigmoid(full), sigmoid(small)
        rust, use = p.mask == 255, p.mask != 128
        records.append({
            'id': p.id, 'split': p.split, 'group': p.group, 'kind': p.kind,
            'true': float(rust[use].mean()),
            'areas': (q[None] >= THRESHOLDS[:, None, None]).mean((1, 2)),
            'mean_p': float(q.mean()), 'spread': float((q * (1 - q)).mean()),
            'counts': counts(prob, rust, use),
            'counts_band': counts(prob, rust, use & (edge_band(p.mask, band) == 0)),
        })
    return records


def iou(records: list[dict], key: str = 'counts') -> np.ndarray:
    """Pooled IoU at each threshold over the pictures that hold rust."""
    c = sum(r[key] for r in records if r['true'] > 0)
    return c[:, 0] / np.maximum(c.sum(1), 1)


def within(true: float, area: float, factor: float = 1.8) -> bool:
    """Area close enough: within the factor, or within 0.3 points where less than 0.5 % is true."""
    if true < 0.005:
        return abs(true - area) <= 0.003
    return true / factor <= area <= true * factor


def summary(records: list[dict], threshold: float) -> dict:
    """The figures of the card at one threshold."""
    k = int(round(threshold * 100)) - 1
    rusty = [r for r in records if r['true'] > 0]
    clean = sorted(float(r['areas'][k]) for r in records if r['true'] == 0)
    out = {'pictures_with_rust': len(rusty), 'pictures_without': len(clean)}
    if rusty:
        c = sum(r['counts'] for r in rusty)[k]
        out['iou'] = float(iou(rusty)[k])
        out['iou_without_edge_band'] = float(iou(rusty, 'counts_band')[k])
        out['f1'] = float(2 * c[0] / max(1, 2 * c[0] + c[1] + c[2]))
        out['share_within_1_8'] = float(np.mean([within(r['true'], r['areas'][k]) for r in rusty]))
        out['area_mean_error_points'] = float(np.mean([abs(r['true'] - r['areas'][k]) for r in rusty]) * 100)
        out['area_bias_factor'] = float(np.sum([r['areas'][k] for r in rusty]) / np.sum([r['true'] for r in rusty]))
        t, a = np.argsort(np.argsort([r['true'] for r in rusty])), np.argsort(np.argsort([r['areas'][k] for r in rusty]))
        out['spearman'] = float(np.corrcoef(t, a)[0, 1]) if len(rusty) > 2 else None
    if clean:
        out['false_rust_percent'] = {
            'median': 100 * clean[len(clean) // 2],
            'nine_in_ten': 100 * clean[int(np.ceil(0.9 * len(clean))) - 1],
            'worst_five': [100 * v for v in clean[::-1][:5]],
            'mean': 100 * float(np.mean(clean)),
        }
    return out


def show(records: list[dict], threshold: float) -> str:
    """One line for the log."""
    s = summary(records, threshold)
    text = ''
    if 'iou' in s:
        text += (f"IoU {s['iou']:.3f} (band out {s['iou_without_edge_band']:.3f}) within1.8 {s['share_within_1_8']:.2f} "
                 f"bias {s['area_bias_factor']:.2f} rho {s['spearman'] or 0:.2f} ")
    if 'false_rust_percent' in s:
        f = s['false_rust_percent']
        text += f"false rust % median {f['median']:.2f} p90 {f['nine_in_ten']:.2f} worst {[round(v, 1) for v in f['worst_five']]}"
    return text
