"""Renders the demonstration photographs: NAME.jpg, NAME.rust.png, NAME.part.png."""
from __future__ import annotations

import argparse
import os

import cv2
import numpy as np

from renders import Renderer, develop
from scenes import C, DECOYS, PAINTS, Builder, finish, shape_numbers

# name: shape, shape numbers, (pitch, roll), yaw, finish, rust, floor, light, elevation, azimuth, fill, seed
ARM = [0.5, 0.1, 0.2, 0.026, 0.09, 0.14, 0.0]
PIPE = [0.1, -0.35, 0.06, -0.05, 0.12, 0.3, 0.2, -0.1, 0.1, 0.35, 0.04, 1.0]
DEMO = {
    'lower-arm-light': ('arm', ARM, (0, 0), 0.5, 'black paint', 0.16, 'concrete', 'hall', 52, 20, 0.95, 3),
    'lower-arm-heavy': ('arm', ARM, (0, 0), 0.5, 'black paint', 0.8, 'concrete', 'hall', 52, 20, 0.95, 4),
    'coil-spring': ('spring', [0.46, 0.065, 7, 0.2], (np.pi / 2, 0), 0.6, 'black paint', 0.45, 'bench', 'sky', 38, 15, 0.78, 5),
    'coil-spring-sound': ('spring', [0.46, 0.065, 7, 0.1], (np.pi / 2, 0), -0.5, 'blue paint', 0.1, 'card', 'hall', 42, 0, 0.78, 6),
    'brake-pipe': ('pipe', PIPE, (0, 0), 0.2, 'plating', 0.62, 'card', 'sky', 60, 5, 1.0, 7),
    'bolts': ('bolt', None, (np.pi / 2, 0), 0.0, 'plating', 0.4, 'bench', 'hall', 55, 10, 0.85, 8),
    'brake-disc': ('disc', [0.55, 0.06, 0.22, 5, 0.0], (0, 0), 0.4, 'bare steel', 0.5, 'concrete', 'sky', 48, 30, 0.85, 9),
    'bracket': ('bracket', [0.03, 0.3, 0.07, 1.0, 1.0], (0, 0), 0.7, 'grey paint', 0.35, 'bench', 'sun', 40, 20, 0.8, 10),
    'alloy-plate': ('plate', [0.7], (0, 0), 0.4, 'light alloy', 0.0, 'concrete', 'sky', 55, 10, 0.9, 11),
    'brown-arm': ('arm', ARM, (0, 0), 0.3, 'brown paint', 0.0, 'concrete', 'sun', 50, -5, 0.9, 12),
    'sub-frame-end': ('subframe', [0.1, 0.15, 0.2, 0.1], (0, 0), 0.35, 'black paint', 0.55, 'concrete', 'sun', 40, 15, 0.95, 13),
    'track-rod-end': ('rod-end', [0.0, 0.05], (0, 0), 0.6, 'plating', 0.5, 'card', 'hall', 45, 10, 0.9, 14),
    'drop-link': ('link', [0.055, 1.0], (np.pi / 2, 0), 0.3, 'grey paint', 0.25, 'bench', 'sky', 50, 0, 0.95, 15),
    'hub': ('hub', [5.0], (np.pi, 0), 0.4, 'cast iron', 0.65, 'concrete', 'hall', 42, 10, 0.85, 16),
    'primed-bracket': ('bracket', [0.03, 0.3, 0.07, 1.0, 0.0], (0, 0), 0.6, 'red-oxide primer', 0.0, 'bench', 'sky', 40, 20, 0.8, 17),
    'copper-pipe': ('pipe', PIPE, (0, 0), -0.3, 'copper', 0.0, 'card', 'hall', 60, 5, 1.0, 18),
}
FLOORS = {  # kind, scale, colours, roughness
    'concrete': (0, 0.9, C(158, 156, 150), C(116, 113, 108), 0.8),
    'bench': (1, 1.1, C(176, 146, 110), C(128, 98, 70), 0.6),
    'card': (6, 0.7, C(196, 194, 190), C(176, 174, 170), 0.7),
}


def scene(entry: tuple, rend: Renderer) -> np.ndarray:
    name, numbers, pose, yaw, mat, rust, ground, lamp, elevation, azimuth, fill, seed = entry
    r = np.random.default_rng(seed)
    b = Builder(rend.lowest)
    h = b.head
    kind, scale, one, two, rough = FLOORS[ground]
    h[32], h[33], h[34:37], h[37:40], h[40], h[42] = kind, scale, one, two, rough, seed
    h[22:25] = 0.2
    if lamp == 'sun':
        h[9:12], h[12:15], h[15] = [-0.6, 0.75, -0.35], [2.9, 2.7, 2.4], 0.06
        h[16:19], h[19:22] = [0.4, 0.5, 0.75], [0.75, 0.8, 0.85]
    elif lamp == 'sky':
        h[9:12], h[12:15], h[15] = [0.5, 0.8, -0.4], [0.7, 0.7, 0.68], 0.6
        h[16:19], h[19:22] = [1.0, 1.02, 1.06], [0.62, 0.64, 0.68]
    else:
        h[52], h[16:19], h[19:22] = 1, 0.42, 0.42
        h[25:28], h[28], h[29:32] = [-1.6, 2.8, -1.4], 0.5, [15, 13.6, 11.5]
    number = 5 if name == 'bolt' else 1
    reach = 1.2
    for i in range(number):
        q, reach, _ = shape_numbers(name, r)
        if numbers is not None:
            q = numbers
        if name == 'bolt':
            q = [0.12, 1.15 - 0.1 * (i % 2), 0.21, float(i % 2), 0.75 if i in (1, 3) else 2.0]
        f = finish(mat, r, [0.05, 0.3, 0.55, 0.75, 0.2][i] if number > 1 else rust, rend.tiles['rust'], 'train')
        f[14] = f[18] = f[21] = 0
        f[7], f[11] = max(f[7], 3.0), 0.42
        if mat not in ('cast iron', 'light alloy'):
            f[23] = 0
        if rust:
            f[8], f[9], f[20], f[22], f[13] = 0.25, 0.35, 0.5, 0.1, 0.9
        at = (0.0, 0.0) if number == 1 else ((i - 2) * 0.42, 0.06 * (i % 2))
        if name == 'bracket':  # its corner, not its middle, is at the origin
            at = (-0.45 * np.cos(yaw), 0.45 * np.sin(yaw))
        b.add(name, q, reach, pose, yaw + 0.08 * i, 0.75 if number > 1 else 1.0, at, f, True)
    el, az = np.deg2rad(elevation), np.deg2rad(azimuth)
    fov = np.deg2rad(38)
    dist = 1.2 / np.tan(fov / 2) / fill
    h[3:6] = [0, 0.12, 0]
    h[0:3] = h[3:6] + dist * np.array([np.sin(az) * np.cos(el), np.sin(el), -np.cos(az) * np.cos(el)])
    h[6], h[7], h[8] = np.tan(fov / 2), 0.012, dist
    return b.done()


def main() -> None:
    p = argparse.ArgumentParser()
    p.add_argument('--photos', required=True)
    p.add_argument('--out', required=True)
    p.add_argument('--width', type=int, default=1000)
    p.add_argument('--samples', type=int, default=300)
    a = p.parse_args()
    os.makedirs(a.out, exist_ok=True)
    rend = Renderer(a.photos)
    for name, entry in DEMO.items():
        height = a.width * 3 // 4
        raw = rend.render(scene(entry, rend), height, a.width, a.samples, entry[-1])
        image = develop(raw, np.random.default_rng(entry[-1]), plain=True)
        for quality in (88, 80, 72, 64, 56, 48):
            data = cv2.imencode('.jpg', image[:, :, ::-1], [cv2.IMWRITE_JPEG_QUALITY, quality])[1].tobytes()
            if len(data) < 118_000:
                break
        with open(f'{a.out}/{name}.jpg', 'wb') as f:
            f.write(data)
        for key, channel in (('rust', 3), ('part', 4)):
            cv2.imwrite(f'{a.out}/{name}.{key}.png', ((raw[..., channel] > 0.5) * 255).astype(np.uint8), [cv2.IMWRITE_PNG_BILEVEL, 1])
        print(name, len(data), f'{(raw[..., 3] > 0.5).sum() / max(1, (raw[..., 4] > 0.5).sum()):.3f} of the part is rust', flush=True)


if __name__ == '__main__':
    main()
