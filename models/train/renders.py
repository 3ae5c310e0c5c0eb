"""Renders scenes to photographs with exact masks. Compiles renderer/render.cu with nvcc, or with g++ where there is none."""
from __future__ import annotations

import argparse
import ctypes
import os
import shutil
import subprocess
import tempfile
from concurrent.futures import ThreadPoolExecutor

import cv2
import numpy as np

from data import Picture, read_textures
from scenes import random_scene

HERE = os.path.dirname(os.path.abspath(__file__))


def library(folder: str):
    """Build and load the renderer."""
    source, out = f'{HERE}/renderer/render.cu', f'{folder}/render.so'
    has_card = shutil.which('nvcc') and shutil.which('nvidia-smi')
    if has_card:
        command = ['nvcc', '-O3', '--use_fast_math', '-arch=native', '-shared', '-Xcompiler', '-fPIC', source, '-o', out]
    else:
        command = ['g++', '-O3', '-march=native', '-ffast-math', '-fopenmp', '-fPIC', '-shared', '-x', 'c++', source, '-o', out]
    subprocess.run(command, check=True)
    lib = ctypes.CDLL(out)
    lib.lowest.restype = ctypes.c_float
    return lib


class Renderer:
    def __init__(self, photos: str):
        self.folder = tempfile.mkdtemp()
        self.lib = library(self.folder)
        tiles = read_textures(photos)
        self.atlas = np.ascontiguousarray(np.stack([cv2.resize(t, (128, 128)) for _, t in tiles]))
        self.tiles = {
            'rust': [i for i, (label, _) in enumerate(tiles) if label in ('rust', 'mostly-rust')],
            'clean': [i for i, (label, _) in enumerate(tiles) if label == 'no-rust'],
        }

    def lowest(self, o: np.ndarray) -> float:
        o = np.ascontiguousarray(o, np.float32)
        return self.lib.lowest(o.ctypes.data_as(ctypes.c_void_p))

    def render(self, scene: np.ndarray, height: int, width: int, samples: int, seed: int) -> np.ndarray:
        """Linear light, rust share and part share, (height, width, 5)."""
        out = np.zeros((height, width, 5), np.float32)
        p = lambda a: a.ctypes.data_as(ctypes.c_void_p)
        scene = np.ascontiguousarray(scene, np.float32)
        code = self.lib.render(p(scene), len(scene), width, height, samples, ctypes.c_uint(seed), p(self.atlas), len(self.atlas), p(out))
        if code:
            raise RuntimeError(f'Cannot render: graphics card error {code}')
        return out


def develop(linear: np.ndarray, r: np.random.Generator, plain: bool = False) -> np.ndarray:
    """Linear light to a phone's photograph: exposure, white balance, tone curve, blur, noise, JPEG."""
    height, width = linear.shape[:2]
    luma = linear[..., :3] @ np.array([0.3, 0.59, 0.11], np.float32)
    key = np.exp(np.mean(np.log(luma + 0.02)))
    gain = (0.22 if plain else r.uniform(0.12, 0.34)) / max(key, 0.02)
    x = linear[..., :3] * gain
    if not plain:
        warm = r.normal(0, 0.12)
        x = x * np.exp(np.array([warm, r.normal(0, 0.04), -warm])).astype(np.float32)
    yy, xx = np.mgrid[0:height, 0:width].astype(np.float32)
    rr = ((xx / width - 0.5) ** 2 + (yy / height - 0.5) ** 2)
    x = x * (1 - (0.35 if plain else r.uniform(0, 0.7)) * rr)[..., None]
    glow = cv2.GaussianBlur(np.minimum(x, 3), (0, 0), width / 60)
    x = x * 0.96 + glow * 0.04
    x = x * (1 + x / 9) / (1 + x)  # shoulder, white at three stops over
    x = np.clip(x * 1.25, 0, 1) ** (1 / 2.2)
    x = x + 0.12 * (x - 0.5) * (1 - np.abs(2 * x - 1))
    if not plain and r.random() < 0.3:
        x = cv2.GaussianBlur(x, (0, 0), r.uniform(0.5, 1.3))
    noise = 0.006 if plain else r.uniform(0.002, 0.03)
    grain = r.normal(0, noise, x.shape).astype(np.float32)
    x = x + 0.6 * grain + 0.8 * cv2.GaussianBlur(grain, (0, 0), 0.8)
    x = np.clip(x + (0.15 if plain else r.uniform(0, 0.5)) * (x - cv2.GaussianBlur(x, (0, 0), 1.5)), 0, 1)
    return (x * 255 + 0.5).astype(np.uint8)


def jpeg(image: np.ndarray, quality: int) -> np.ndarray:
    ok, data = cv2.imencode('.jpg', image[:, :, ::-1], [cv2.IMWRITE_JPEG_QUALITY, quality])
    return np.ascontiguousarray(cv2.imdecode(data, cv2.IMREAD_COLOR)[:, :, ::-1])


def make(photos: str, split: str, number: int, seed: int, size: tuple[int, int], samples: int, part: tuple[int, int] = (0, 1)) -> list[Picture]:
    """Pictures of one split, or every so-manieth of them; half with rust for val and test, three in five for train."""
    rend = Renderer(photos)
    world = 'test' if split == 'test' else 'train'
    share = 0.6 if split == 'train' else 0.5

    def plan(i: int):
        r = np.random.default_rng([seed, i])
        return random_scene(r, rend.lowest, rend.tiles, world, i < share * number), r

    def finishing(i: int, raw: np.ndarray, r: np.random.Generator) -> Picture:
        image = jpeg(develop(raw, r), int(r.integers(55, 96)))
        mask = ((raw[..., 3] > 0.5) * 255).astype(np.uint8)
        return Picture(f'{split}-render-{i:04d}', split, 'renders', 'render', image, mask)

    with ThreadPoolExecutor(max(2, (os.cpu_count() or 2) - 1)) as pool:
        which = range(part[0], number, part[1])
        plans = list(pool.map(plan, which))
        jobs = []
        for i, (scene, r) in zip(which, plans):
            jobs.append(pool.submit(finishing, i, rend.render(scene, size[0], size[1], samples, seed * 100003 + i), r))
        return [j.result() for j in jobs]


def save(pictures: list[Picture], path: str) -> None:
    np.savez(path, images=np.stack([p.image for p in pictures]), masks=np.stack([p.mask for p in pictures]), ids=[p.id for p in pictures])


def pack(pictures: list[Picture], path: str) -> None:
    """A small file of JPEG pictures and PNG masks."""
    parts = {}
    for p in pictures:
        parts[f'{p.id}.jpg'] = cv2.imencode('.jpg', p.image[:, :, ::-1], [cv2.IMWRITE_JPEG_QUALITY, 94])[1]
        parts[f'{p.id}.png'] = cv2.imencode('.png', p.mask)[1]
    np.savez(path, **parts)


def unpack(path: str) -> list[Picture]:
    data = np.load(path)
    out = []
    for key in sorted(k for k in data.files if k.endswith('.jpg')):
        image = np.ascontiguousarray(cv2.imdecode(data[key], cv2.IMREAD_COLOR)[:, :, ::-1])
        mask = cv2.imdecode(data[key[:-4] + '.png'], cv2.IMREAD_GRAYSCALE)
        out.append(Picture(key[:-4], key.split('-')[0], 'renders', 'render', image, mask))
    return out


def read_renders(folder: str, split: str, limit: int = 0) -> list[Picture]:
    files = [np.load(f'{folder}/{name}') for name in sorted(os.listdir(folder)) if name.startswith(split) and name.endswith('.npz')]
    images, masks, ids = (np.concatenate([f[key] for f in files]) for key in ('images', 'masks', 'ids'))
    keep = range(len(ids)) if not limit else np.linspace(0, len(ids) - 1, limit).astype(int)
    return [Picture(str(ids[i]), split, 'renders', 'render', images[i], masks[i]) for i in keep]


def sheet(pictures: list[Picture], path: str, columns: int = 8, size: int = 240) -> None:
    """A contact sheet: each picture beside itself with the mask laid over."""
    cells = []
    for p in pictures:
        a = cv2.resize(p.image, (size, size), interpolation=cv2.INTER_AREA)
        m = cv2.resize(p.mask, (size, size), interpolation=cv2.INTER_NEAREST) == 255
        b = a.copy()
        b[m] = b[m] // 2 + np.array([0, 120, 120], np.uint8)
        cells.append(np.concatenate([a, b], 1))
    while len(cells) % columns:
        cells.append(np.zeros_like(cells[0]))
    rows = [np.concatenate(cells[i : i + columns], 1) for i in range(0, len(cells), columns)]
    cv2.imwrite(path, np.concatenate(rows)[:, :, ::-1])


if __name__ == '__main__':
    p = argparse.ArgumentParser()
    p.add_argument('--photos', required=True)
    p.add_argument('--out', required=True)
    p.add_argument('--train', type=int, default=4000)
    p.add_argument('--val', type=int, default=80)
    p.add_argument('--test', type=int, default=80)
    p.add_argument('--samples', type=int, default=24)
    p.add_argument('--size', type=int, default=480)
    p.add_argument('--part', type=int, nargs=2, default=[0, 1], help='render only every Nth training picture from K on, where several cards share the work: K N')
    p.add_argument('--sheets', help='folder for contact sheets')
    a = p.parse_args()
    os.makedirs(a.out, exist_ok=True)
    import time
    for split, number, seed, factor in (('train', a.train, 11, 1), ('val', a.val, 12, 2), ('test', a.test, 13, 2)):
        if not number:
            continue
        begun = time.time()
        shape = (a.size, a.size) if split != 'test' else (a.size, a.size * 4 // 3)
        part = tuple(a.part) if split == 'train' else (0, 1)
        made = make(a.photos, split, number, seed, shape, a.samples * factor, part)
        save(made, f"{a.out}/{split}{f'-{part[0]}' if part[1] > 1 else ''}.npz")
        areas = np.array([(m.mask == 255).mean() for m in made])
        print(f'{split}: {number} renders in {time.time() - begun:.0f} s, {np.mean(areas > 0):.2f} with rust, median area {np.median(areas[areas > 0]):.3f}', flush=True)
        if a.sheets and split != 'train':
            pack(made, f'{a.sheets}/{split}-renders.npz')
        if a.sheets:
            sheet([made[i] for i in np.linspace(0, len(made) - 1, min(len(made), 48)).astype(int)], f'{a.sheets}/{split}.jpg')
