"""Reads photos, masks and renders into memory."""
from __future__ import annotations

import csv
import os
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import cv2
import numpy as np

SIZE = 480  # every training picture is held at SIZE x SIZE


@dataclass
class Picture:
    id: str
    split: str
    group: str
    kind: str
    image: np.ndarray  # (H, W, 3) uint8 RGB
    mask: np.ndarray  # (H, W) uint8: 255 rust, 0 not, 128 ignore


def read_rgb(path: str) -> np.ndarray:
    image = cv2.imread(path, cv2.IMREAD_COLOR)
    if image is None:
        raise FileNotFoundError(path)
    return np.ascontiguousarray(image[:, :, ::-1])


def read_photos(root: str, splits: tuple[str, ...]) -> list[Picture]:
    """Photos of the given splits, in the manifest's order."""
    with open(os.path.join(root, 'manifest.csv'), newline='') as f:
        rows = [r for r in csv.DictReader(f) if r['split'] in splits]

    def one(row: dict) -> Picture:
        image = read_rgb(f"{root}/images/{row['split']}/{row['id']}.jpg")
        mask = cv2.imread(f"{root}/masks/{row['split']}/{row['id']}.png", cv2.IMREAD_GRAYSCALE)
        return Picture(row['id'], row['split'], row['scene_group'], row['kind'], image, mask)

    with ThreadPoolExecutor(16) as pool:
        return list(pool.map(one, rows))


def read_textures(root: str) -> list[tuple[str, np.ndarray]]:
    """(label, tile) of the 128-pixel material samples."""
    with open(os.path.join(root, 'textures', 'textures.csv'), newline='') as f:
        return [(r['label'], read_rgb(f"{root}/textures/{r['file']}")) for r in csv.DictReader(f)]


def read_negatives(folder: str, rng: np.random.Generator, number: int = 240) -> tuple[list[Picture], list[Picture]]:
    """Rust-free photographs of negatives.py for training, with cut-outs pasted on some of them, and those held back."""
    photos, held, cutouts = [], [], []
    for name in sorted(os.listdir(folder)):
        if name.startswith('cutout-'):
            cutouts.append(cv2.imread(f'{folder}/{name}', cv2.IMREAD_UNCHANGED))
            continue
        image = read_rgb(f'{folder}/{name}')
        some, split = (held, 'val') if name.startswith('held-') else (photos, 'train')
        some.append(Picture(name[:-4], split, 'everyday', 'negative-photo', image, np.zeros(image.shape[:2], np.uint8)))
    made = []
    for i in range(number if cutouts else 0):
        base = square(photos[rng.integers(len(photos))].image).copy()
        for _ in range(rng.integers(2, 6)):
            cut = cutouts[rng.integers(len(cutouts))]
            side = int(rng.uniform(0.25, 0.8) * SIZE)
            scale = side / max(cut.shape[:2])
            cut = cv2.resize(cut, (max(8, int(cut.shape[1] * scale)), max(8, int(cut.shape[0] * scale))), interpolation=cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR)
            h, w = cut.shape[:2]
            y, x = rng.integers(0, SIZE - h + 1), rng.integers(0, SIZE - w + 1)
            alpha = cut[:, :, 3:].astype(np.float32) / 255
            here = base[y : y + h, x : x + w]
            base[y : y + h, x : x + w] = (here * (1 - alpha) + cut[:, :, 2::-1] * alpha).astype(np.uint8)
        made.append(Picture(f'pasted-{i}', 'train', 'everyday', 'negative-photo', base, np.zeros(base.shape[:2], np.uint8)))
    return photos + made, held


def square(image: np.ndarray, size: int = SIZE, nearest: bool = False) -> np.ndarray:
    if image.shape[0] == size and image.shape[1] == size:
        return image
    how = cv2.INTER_NEAREST if nearest else (cv2.INTER_AREA if image.shape[0] > size else cv2.INTER_LINEAR)
    return cv2.resize(image, (size, size), interpolation=how)


def fit_size(height: int, width: int, long_side: int, multiple: int) -> tuple[int, int]:
    """Height and width with the long side at long_side, each rounded to the multiple (halves up, at least one)."""
    scale = long_side / max(height, width)
    fit = lambda n: max(multiple, int(np.floor(n * scale / multiple + 0.5)) * multiple)
    return fit(height), fit(width)


def edge_band(mask: np.ndarray, pixels: int) -> np.ndarray:
    """1 where a pixel lies within `pixels` of a label edge."""
    rust = (mask == 255).astype(np.uint8)
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * pixels + 1, 2 * pixels + 1))
    return cv2.dilate(rust, kernel) - cv2.erode(rust, kernel)
