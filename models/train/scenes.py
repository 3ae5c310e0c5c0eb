"""Draws up scenes at random: a part, its finish and rust, the floor, the light and the camera.

A scene is a row of floats: 64 for the picture (camera 0-8, sun 9-15, sky 16-24, lamp 25-31, floor 32-42, wall 43-51,
kind of surroundings 52, number of objects 53, roll 55) and 64 an object (shape 0, turn 1-9, place 10-12, scale 13,
reach 14, counts as the part 15, shape numbers 16-31, finish 32-63; see renderer/render.cu for each number).

The test scenes (world='test') share no shape, finish, floor or light set-up with the training scenes; see FAMILIES.
"""
from __future__ import annotations

import numpy as np

SHAPES = {
    'arm': 0, 'disc': 1, 'spring': 2, 'bolt': 3, 'pipe': 4, 'bracket': 5, 'plate': 6, 'subframe': 7, 'rod-end': 8,
    'link': 9, 'hub': 10, 'sheet': 11, 'fence': 12, 'nut': 13, 'tube': 14, 'block': 15,
    'sprocket': 20, 'chain': 21, 'caliper': 22, 'leaf-spring': 23, 'silencer': 24, 'hinge': 25,
}
FAMILIES = {
    'train': {
        'shapes': ['arm', 'disc', 'spring', 'bolt', 'pipe', 'bracket', 'plate', 'subframe', 'rod-end', 'link', 'hub', 'sheet', 'fence'],
        'floors': ['concrete', 'planks', 'grass', 'gravel', 'material tile', 'painted or card'],
        'finishes': ['black paint', 'grey paint', 'white paint', 'blue paint', 'green paint', 'yellow paint', 'red paint',
                     'bare steel', 'plating', 'yellow plating', 'red-oxide primer', 'brown paint', 'orange paint',
                     'brass', 'copper', 'rubber', 'light alloy', 'copper grease', 'mud', 'cast iron'],
        'lights': ['sun and sky', 'overcast', 'workshop tubes and one lamp'],
    },
    'test': {
        'shapes': ['sprocket', 'chain', 'caliper', 'leaf-spring', 'silencer', 'hinge'],
        'floors': ['tiles', 'brick'],
        'finishes': ['turquoise paint', 'maroon paint', 'violet paint', 'cream paint', 'gun-metal', 'bronze',
                     'terracotta coating', 'tan coating', 'rose-gold plating', 'ochre mud'],
        'lights': ['low sun with violet sky', 'coloured lamp in the dark'],
    },
}
C = lambda *v: (np.array(v) / 255.0) ** 2.2  # sRGB bytes to linear

# base colour, roughness, metal
PAINTS = {
    'black paint': (C(28, 28, 30), 0.35, 0), 'grey paint': (C(120, 124, 126), 0.4, 0), 'white paint': (C(222, 220, 212), 0.35, 0),
    'blue paint': (C(40, 78, 140), 0.3, 0), 'green paint': (C(52, 96, 66), 0.35, 0), 'yellow paint': (C(214, 170, 40), 0.35, 0),
    'red paint': (C(165, 28, 26), 0.3, 0), 'bare steel': (C(185, 183, 180), 0.32, 1), 'plating': (C(200, 204, 206), 0.25, 1),
    'yellow plating': (C(206, 180, 110), 0.25, 1), 'cast iron': (C(92, 90, 88), 0.55, 1),
    'turquoise paint': (C(48, 160, 158), 0.35, 0), 'violet paint': (C(98, 70, 140), 0.3, 0), 'cream paint': (C(232, 218, 178), 0.4, 0), 'gun-metal': (C(110, 116, 128), 0.3, 1),
}
DECOYS = {
    'red-oxide primer': (C(122, 52, 40), 0.75, 0), 'brown paint': (C(84, 52, 34), 0.4, 0), 'orange paint': (C(206, 96, 30), 0.35, 0),
    'brass': (C(214, 178, 96), 0.28, 1), 'copper': (C(212, 140, 106), 0.28, 1), 'rubber': (C(34, 33, 32), 0.7, 0),
    'light alloy': (C(206, 206, 208), 0.4, 1), 'copper grease': (C(150, 92, 58), 0.3, 0.6), 'red paint': (C(140, 30, 24), 0.3, 0), 'tan paint': (C(160, 120, 84), 0.45, 0),
    'maroon paint': (C(100, 30, 36), 0.35, 0), 'bronze': (C(160, 116, 66), 0.3, 1), 'terracotta coating': (C(178, 98, 70), 0.7, 0),
    'tan coating': (C(176, 134, 92), 0.5, 0), 'rose-gold plating': (C(226, 164, 140), 0.22, 1),
}
TEST_ONLY = set(FAMILIES['test']['finishes'])


def turn(yaw: float, pitch: float, roll: float) -> np.ndarray:
    c, s = np.cos(yaw), np.sin(yaw)
    y = np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]])
    c, s = np.cos(pitch), np.sin(pitch)
    x = np.array([[1, 0, 0], [0, c, -s], [0, s, c]])
    c, s = np.cos(roll), np.sin(roll)
    z = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    return y @ x @ z


def shape_numbers(name: str, r: np.random.Generator) -> tuple[list[float], float, list[tuple[float, float]]]:
    """Shape numbers, reach, and the (pitch, roll) poses the part can lie in."""
    u = r.uniform
    flat, side = (0.0, 0.0), (np.pi / 2, 0.0)
    if name == 'arm':
        return [u(0.42, 0.62), u(-0.3, 0.3), u(0.16, 0.24), u(0.02, 0.035), u(0.06, 0.12), u(0.1, 0.18), float(r.random() < 0.5)], 1.5, [flat, flat, (np.pi, 0)]
    if name == 'disc':
        return [u(0.48, 0.6), u(0.05, 0.08) if r.random() < 0.6 else 0.0, u(0.14, 0.3), float(r.choice([4, 5])), float(r.random() < 0.5)], 1.2, [flat, (np.pi, 0), (1.25, 0)]
    if name == 'spring':
        return [u(0.36, 0.55), u(0.045, 0.085), u(5, 9), u(0, 0.35)], 1.25, [flat, (np.pi / 2, 0), (np.pi / 2, 0)]
    if name == 'bolt':
        rad = u(0.09, 0.15)
        return [rad, u(0.9, 1.6), rad * u(1.7, 1.9), float(r.random() < 0.5), u(0.3, 0.9) if r.random() < 0.6 else 2.0], 1.25, [side, side, flat]
    if name == 'pipe':
        q = []
        for _ in range(5):
            q += [u(0.05, 0.25), u(-0.5, 0.5)]
        return q + [u(0.028, 0.06), float(r.random() < 0.5)], 1.5, [flat]
    if name == 'bracket':
        return [u(0.02, 0.045), u(0.2, 0.4), u(0.05, 0.09), float(r.random() < 0.6), float(r.random() < 0.4)], 1.35, [flat, (0, np.pi / 2), side]
    if name == 'plate':
        return [u(0.55, 0.85)], 1.45, [flat, (np.pi, 0)]
    if name == 'subframe':
        return [u(-0.15, 0.2), u(0.12, 0.18), u(0.14, 0.24), u(-0.1, 0.3)], 1.45, [flat, (0.0, 0.0), side]
    if name == 'rod-end':
        return [float(r.random() < 0.5), u(0, 0.12)], 1.45, [flat, side]
    if name == 'link':
        return [u(0.045, 0.07), float(r.random() < 0.5)], 1.25, [flat, side]
    if name == 'hub':
        return [float(r.choice([4, 5]))], 1.0, [(np.pi, 0), flat, (1.3, 0)]
    if name == 'sheet':
        return [u(0, 1), u(3, 7), u(0.9, 1.5), u(0.9, 1.5)], 2.2, [flat, flat, (1.3, 0)]
    if name == 'fence':
        return [u(0.25, 0.5), u(0.03, 0.08), u(0.6, 0.85), float(r.random() < 0.5)], 2.0, [flat]
    if name == 'sprocket':
        return [float(r.integers(14, 30))], 1.1, [flat, (1.3, 0)]
    if name == 'chain':
        return [u(0.05, 0.08), u(-1, 1)], 1.3, [flat]
    if name == 'caliper':
        return [0.0], 1.35, [flat, side, (np.pi, 0)]
    if name == 'leaf-spring':
        return [u(0.12, 0.35)], 1.35, [flat, side]
    if name == 'silencer':
        return [u(0.2, 0.3)], 1.35, [flat]
    if name == 'hinge':
        return [0.0], 1.1, [flat]
    if name == 'nut':
        return [0.0], 0.75, [flat]
    if name == 'tube':
        a = u(0.06, 0.2)
        return [a, a], 1.3, [flat]
    return [u(0.15, 0.6), u(0.2, 0.6), u(0.01, 0.05)], 1.4, [flat]


class Builder:
    """Collects the numbers of one scene."""

    def __init__(self, lowest):
        self.head, self.objects, self.lowest = np.zeros(64, np.float32), [], lowest

    def add(self, name: str, numbers, reach: float, pose, yaw: float, scale: float, place, finish: np.ndarray, part: bool, sink: float = 0.0):
        o = np.zeros(64, np.float32)
        o[0] = SHAPES[name]
        o[1:10] = turn(yaw, *pose).T.reshape(-1)
        o[13], o[14], o[15] = scale, reach, float(part)
        o[16 : 16 + len(numbers)] = numbers
        o[32:64] = finish
        low = self.lowest(o)
        o[10:13] = [place[0], -low - sink, place[1]]
        self.objects.append(o)
        return o

    def done(self) -> np.ndarray:
        self.head[53] = len(self.objects)
        return np.concatenate([self.head, *self.objects]).astype(np.float32)


def finish(name: str, r: np.random.Generator, rust: float, rust_tiles: list[int], world: str) -> np.ndarray:
    """Finish numbers; rust 0 (none) ... 1 (all over)."""
    u = r.uniform
    base, rough, metal = (PAINTS.get(name) or DECOYS[name])
    m = np.zeros(32, np.float32)
    m[0:3] = np.clip(base * np.exp(r.normal(0, 0.12, 3)), 0, 1)
    m[3], m[4], m[5] = np.clip(rough + u(-0.1, 0.15), 0.08, 0.95), metal, 0
    m[27] = -1
    if rust > 0:
        m[7] = np.exp(u(np.log(1.6), np.log(8)))
        m[8], m[24] = u(0, 0.35), u(0, 0.25)
        m[9] = u(0, 0.7) if r.random() < 0.5 else 0
        m[10] = u(0.2, 0.7) if r.random() < 0.5 else 0
        m[25] = u(-0.3, 0.5)
        lift = 0.35 * m[10] + 0.1 * m[8] + 0.1 * m[24]
        m[6] = np.interp(rust, [0, 0.1, 0.5, 0.9, 1], [1.0, 0.86, 0.52, 0.2, 0.02]) + 0.5 * lift * (1 - rust)
        m[11], m[12], m[13] = u(0.15, 0.75), u(0.85, 1.0), u(0.2, 1.6)
        m[20] = u(0, 0.9) if r.random() < 0.6 else 0
        m[22] = u(0.05, 0.2)
        m[26] = u(0.1, 0.4)
        if r.random() < 0.4 and rust_tiles:
            m[27] = r.choice(rust_tiles)
    if r.random() < 0.35:
        m[14] = u(0.2, 0.55)
    mud = C(132, 104, 74) if world == 'train' else C(158, 116, 60)
    m[15:18] = mud * np.exp(r.normal(0, 0.3)) * np.exp(r.normal(0, 0.06, 3))
    m[18] = u(0.25, 0.55) if r.random() < 0.3 else 0
    m[19] = u(0, 400)
    m[21] = u(0.1, 0.6) if (metal == 0 and r.random() < 0.4) else 0
    m[23] = u(0.2, 1.0) if r.random() < 0.3 or name in ('cast iron', 'light alloy') else 0
    m[28:31] = C(122, 52, 40) if r.random() < 0.3 else C(120, 118, 116)
    return m


def floor(b: Builder, r: np.random.Generator, world: str, tiles: list[int]) -> None:
    h, u = b.head, r.uniform
    kind = int(r.choice([0, 0, 1, 2, 3, 5, 5, 6])) if world == 'train' else int(r.choice([4, 7]))
    greys = [(C(150, 148, 142), C(104, 102, 98)), (C(188, 182, 170), C(140, 134, 124)), (C(96, 98, 100), C(70, 70, 72))]
    woods = [(C(150, 110, 72), C(96, 64, 40)), (C(186, 152, 110), C(140, 104, 70)), (C(110, 96, 84), C(74, 62, 54))]
    greens = [(C(70, 96, 44), C(110, 130, 60)), (C(96, 88, 52), C(130, 120, 76))]
    stones = [(C(128, 120, 110), C(90, 84, 78)), (C(150, 116, 90), C(104, 74, 56)), (C(112, 72, 50), C(70, 46, 34))]
    cards = [(C(176, 138, 98), C(150, 112, 76)), (C(204, 202, 198), C(180, 178, 174)), (C(60, 66, 78), C(40, 44, 54)), (C(120, 40, 34), C(96, 34, 30)), (C(40, 84, 60), C(30, 66, 48))]
    table = {0: greys, 1: woods, 2: greens, 3: stones, 4: [(C(196, 194, 188), C(90, 88, 84)), (C(120, 130, 140), C(60, 60, 60)), (C(170, 96, 64), C(120, 112, 104))],
             5: greys, 6: cards, 7: [(C(150, 74, 54), C(160, 154, 146)), (C(172, 120, 86), C(140, 136, 130))]}
    a, c = table[kind][r.integers(len(table[kind]))]
    h[32], h[33] = kind, {0: u(0.5, 1.5), 1: u(0.8, 2), 2: u(0.8, 2), 3: u(0.8, 2.5), 4: u(0.5, 1.5), 5: u(0.5, 1.5), 6: u(0.5, 1), 7: u(0.6, 1.4)}[kind]
    h[34:37], h[37:40] = a * np.exp(r.normal(0, 0.15, 1)), c
    h[40], h[41], h[42] = u(0.4, 0.9), r.choice(tiles), u(0, 100)
    if r.random() < 0.35:
        h[43] = u(1.6, 4)
        h[44] = int(r.choice([0, 5, 6])) if world == 'train' else int(r.choice([7, 4]))
        a, c = table[int(h[44])][r.integers(len(table[int(h[44])]))]
        h[45:48], h[48:51], h[51] = a, c, r.choice(tiles)


def light(b: Builder, r: np.random.Generator, world: str) -> None:
    h, u = b.head, r.uniform
    az, el = u(0, 2 * np.pi), u(0.4, 1.4)
    if world == 'test':
        el = u(0.25, 0.45) if r.random() < 0.5 else u(0.9, 1.2)
    h[9:12] = [np.cos(az) * np.cos(el), np.sin(el), np.sin(az) * np.cos(el)]
    mode = int(r.integers(3)) if world == 'train' else 3 + int(r.integers(2))
    cast = np.exp(r.normal(0, 0.08, 3))
    if mode == 0:
        h[12:15], h[15] = np.array([3.2, 2.9, 2.5]) * cast * u(0.6, 1.3), u(0.02, 0.15)
        h[16:19], h[19:22] = np.array([0.35, 0.5, 0.85]) * u(0.5, 1.2), np.array([0.8, 0.85, 0.9]) * u(0.5, 1)
    elif mode == 1:
        h[16:19], h[19:22] = np.array([1.1, 1.12, 1.15]) * cast, np.array([0.7, 0.72, 0.75]) * cast
    elif mode == 2:
        h[52] = 1
        h[16:19] = h[19:22] = np.array([0.3, 0.29, 0.27]) * cast * u(0.5, 1.5)
        h[25:28], h[28] = [u(-3, 3), u(2, 4), u(-3, 2)], u(0.1, 0.6)
        h[29:32] = np.array([1.0, 0.86, 0.66]) ** u(0, 2) * u(8, 30)
    elif mode == 3:
        h[12:15], h[15] = np.array([3.4, 2.2, 1.3]) * u(0.8, 1.2), 0.05
        h[16:19], h[19:22] = np.array([0.5, 0.4, 0.75]), np.array([0.9, 0.6, 0.6])
    else:
        h[52] = 1
        h[16:19] = h[19:22] = np.array([0.12, 0.12, 0.14])
        h[25:28], h[28] = [u(-2, 2), u(1.5, 3), u(-2.5, -0.5)], u(0.05, 0.3)
        h[29:32] = [np.array([1.0, 0.95, 0.7]), np.array([0.7, 0.9, 1.0]), np.array([1.0, 0.7, 0.75])][r.integers(3)] * u(14, 26)
    h[22:25] = 0.2


def camera(b: Builder, r: np.random.Generator, reach: float, fill: tuple[float, float] = (0.55, 1.3), up: float = 0.25) -> None:
    h, u = b.head, r.uniform
    el, az = np.deg2rad(u(18, 78)), np.deg2rad(u(-60, 60))
    if h[43] == 0:
        az = u(-np.pi, np.pi)
    fov = np.deg2rad(u(28, 60))
    dist = reach / np.tan(fov / 2) / u(*fill)
    h[3:6] = [u(-0.15, 0.15), up, u(-0.15, 0.15)]
    h[0:3] = h[3:6] + dist * np.array([np.sin(az) * np.cos(el), np.sin(el), -np.cos(az) * np.cos(el)])
    h[6], h[7], h[8] = np.tan(fov / 2), (u(0.005, 0.05) if r.random() < 0.5 else 0.0), dist * u(0.92, 1.05)
    h[55] = u(-0.15, 0.15)


def random_scene(r: np.random.Generator, lowest, tiles: dict[str, list[int]], world: str, rusty: bool) -> np.ndarray:
    b, u = Builder(lowest), r.uniform
    floor(b, r, world, tiles['clean'])
    light(b, r, world)
    names = FAMILIES[world]['shapes']
    name = str(r.choice(names))
    if not rusty and r.random() < 0.1 and world == 'train':
        name = 'plate'
    pick = lambda table: str(r.choice([k for k in table if (k in TEST_ONLY) == (world == 'test')]))
    mat = pick(PAINTS) if rusty else (pick(DECOYS) if r.random() < 0.7 else pick(PAINTS))
    if name == 'plate' and world == 'train':
        mat, rusty = 'light alloy', False
    rust = 0.0 if not rusty else float(np.clip(r.beta(1.1, 1.6), 0.03, 1.0))
    number = int(r.integers(2, 7)) if name == 'bolt' else (int(r.integers(1, 3)) if r.random() < 0.25 and name not in ('sheet', 'fence') else 1)
    for i in range(number):
        q, reach, poses = shape_numbers(name, r)
        pose = poses[r.integers(len(poses))]
        at = (0.0, 0.0) if number == 1 else ((i - (number - 1) / 2) * (0.55 if name == 'bolt' else 1.5) + u(-0.1, 0.1), u(-0.3, 0.3))
        yaw = u(-np.pi, np.pi) if name not in ('fence',) else u(-0.4, 0.4)
        f = finish(mat, r, rust if number == 1 else float(np.clip(rust + u(-0.2, 0.2), 0.0 if not rusty else 0.03, 1)), tiles['rust'], world)
        scale = 1.0 if number == 1 else (0.7 if name == 'bolt' else 0.8)
        b.add(name, q, reach, pose, yaw, scale, at, f, True, u(0, 0.02))
    # things lying about, clean or of a decoy colour, seldom rusty
    for _ in range(int(r.integers(0, 3)) if name not in ('sheet', 'fence') else 0):
        other = str(r.choice(['nut', 'tube', 'block']))
        q, reach, poses = shape_numbers(other, r)
        a, d = u(0, 2 * np.pi), u(1.5, 2.2)
        own = pick(DECOYS) if r.random() < 0.6 else pick(PAINTS)
        f = finish(own, r, u(0.2, 0.9) if rusty and r.random() < 0.2 else 0.0, tiles['rust'], world)
        b.add(other, q, reach, poses[0], u(-3, 3), u(0.15, 0.5), (np.cos(a) * d, np.sin(a) * d), f, False)
    big = 1.15 if name in ('bolt', 'spring', 'pipe', 'link', 'rod-end') else 1.0
    camera(b, r, big * (1.6 if number > 1 else 1.15), (0.6, 1.5) if name not in ('sheet', 'fence') else (0.9, 2.6))
    return b.done()
