"""What a part is covered with. A part's material has two outputs: the picture, and the truth (red = rust, green = part)."""
from __future__ import annotations

import bpy
import numpy as np

from nodes import Nodes

RGB = lambda *v: tuple(float(x) for x in (np.array(v) / 255.0) ** 2.2)  # sRGB bytes to linear

# base colour, roughness, metal, make
FINISHES = {
    'test': {
        'sound': {
            'black gloss': (RGB(24, 24, 26), 0.25, 0, 'paint'), 'satin grey': (RGB(112, 116, 118), 0.45, 0, 'paint'), 'signal blue': (RGB(30, 70, 150), 0.3, 0, 'paint'),
            'ivory': (RGB(226, 218, 194), 0.4, 0, 'paint'), 'bare steel': (RGB(178, 176, 172), 0.3, 1, 'metal'), 'bright zinc': (RGB(196, 202, 208), 0.28, 1, 'plating'),
            'raw casting': (RGB(86, 85, 84), 0.6, 0.7, 'cast'),
        },
        'decoy': {
            'red-oxide primer': (RGB(124, 54, 42), 0.8, 0, 'paint'), 'brass': (RGB(210, 176, 92), 0.25, 1, 'metal'), 'copper': (RGB(206, 134, 100), 0.3, 1, 'metal'),
            'rubber': (RGB(32, 31, 30), 0.75, 0, 'rubber'), 'copper grease': (RGB(170, 168, 164), 0.35, 1, 'greased'), 'chestnut paint': (RGB(92, 48, 30), 0.35, 0, 'paint'),
            'muddy grey': (RGB(104, 108, 110), 0.45, 0, 'mud'), 'oily steel': (RGB(150, 148, 144), 0.3, 1, 'oil'), 'yellow zinc': (RGB(204, 172, 96), 0.3, 1, 'plating'),
        },
    },
    'train': {
        'sound': {
            'green hammer': (RGB(50, 92, 68), 0.35, 0, 'paint'), 'white': (RGB(224, 224, 220), 0.35, 0, 'paint'), 'red': (RGB(160, 26, 24), 0.3, 0, 'paint'),
            'yellow': (RGB(212, 168, 36), 0.35, 0, 'paint'), 'chassis black': (RGB(38, 38, 40), 0.55, 0, 'paint'), 'dull zinc': (RGB(150, 154, 158), 0.5, 1, 'plating'),
            'ground steel': (RGB(150, 149, 147), 0.4, 1, 'metal'), 'grey iron': (RGB(70, 69, 68), 0.65, 0.6, 'cast'), 'teal': (RGB(36, 120, 122), 0.4, 0, 'paint'),
        },
        'decoy': {
            'brown primer': (RGB(104, 58, 44), 0.85, 0, 'paint'), 'bronze': (RGB(168, 122, 70), 0.35, 1, 'metal'), 'orange paint': (RGB(206, 92, 28), 0.35, 0, 'paint'),
            'maroon paint': (RGB(96, 26, 32), 0.3, 0, 'paint'), 'tan coat': (RGB(172, 132, 92), 0.6, 0, 'paint'), 'light alloy': (RGB(204, 204, 206), 0.4, 1, 'cast'),
            'clay on white': (RGB(220, 218, 212), 0.4, 0, 'mud'), 'terracotta coat': (RGB(178, 96, 68), 0.75, 0, 'paint'), 'smoked steel': (RGB(120, 112, 100), 0.35, 1, 'oil'),
            'leather brown rubber': (RGB(74, 50, 38), 0.7, 0, 'rubber'), 'old copper': (RGB(150, 90, 66), 0.45, 1, 'metal'),
        },
    },
}
MUD = {'test': RGB(126, 100, 72), 'train': RGB(150, 112, 66)}
NORMAL_AT = {0.02: 2.05, 0.05: 1.64, 0.1: 1.28, 0.2: 0.84, 0.35: 0.39, 0.5: 0.0, 0.65: -0.39, 0.8: -0.84, 0.95: -1.64}


def rust_layer(n: Nodes, r: np.random.Generator, where, share: float):
    """How rusty (0 sound, 1 rust), its colour and its height, for about the given share of the face."""
    u = r.uniform
    shift = tuple(u(-40, 40, 3))
    at = n.place(where, shift=shift)
    size = float(np.exp(u(np.log(1.2), np.log(5))))
    field = n.noise(at, size, 9, u(0.55, 0.72), u(0, 0.8))
    geometry = n.node('ShaderNodeNewGeometry')
    edge = n.math('MULTIPLY', n.math('SUBTRACT', geometry.outputs['Pointiness'], 0.5), u(0.0, 1.1))
    up = n.math('MULTIPLY', n.node('ShaderNodeSeparateXYZ', None, Vector=geometry.outputs['Normal']).outputs[2], u(-0.04, 0.06))
    score = n.math('ADD', n.math('ADD', field, edge), up)
    if r.random() < 0.5:  # spots from stone chips
        chips = n.cells(n.place(where, shift=tuple(u(-9, 9, 3))), size * u(3, 6))
        score = n.math('ADD', score, n.step(chips, 0.16, 0.05, 0.0, u(0.08, 0.3)))
    if r.random() < 0.45:  # run down from the worst places
        tall = n.place(where, scale=(1, 1, 0.12), shift=shift)
        score = n.math('MAXIMUM', score, n.math('ADD', n.noise(tall, size * u(1.5, 3), 5, 0.6), u(-0.1, 0.02)))
    limit = 0.5 + float(np.interp(share, list(NORMAL_AT), list(NORMAL_AT.values()))) * 0.085
    soft = u(0.008, 0.035)
    rust = n.step(score, limit - soft, limit + soft)
    deep = n.step(score, limit, limit + u(0.08, 0.2))
    tone = n.noise(at, size * 3, 8, 0.7)
    fine = n.noise(at, size * 16, 6, 0.75)
    fresh, mid, dark = RGB(*(np.array([178, 96, 44]) * u(0.75, 1.1))), RGB(*(np.array([122, 64, 38]) * u(0.75, 1.1))), RGB(*(np.array([58, 38, 32]) * u(0.7, 1.2)))
    mixed = n.math('SUBTRACT', n.math('ADD', tone, u(-0.15, 0.15)), n.math('MULTIPLY', deep, u(0.05, 0.3)))
    colour = n.mix(n.step(mixed, 0.36, 0.52), dark, mid)
    colour = n.mix(n.step(mixed, 0.5, 0.66), colour, fresh)
    colour = n.mix(u(0.35, 0.8), colour, n.mix(1.0, colour, n.step(fine, 0.3, 0.7, 0.35, 1.5), 'MULTIPLY'))
    pits = n.cells(at, size * u(14, 26))
    colour = n.mix(n.step(pits, 0.22, 0.05, 0, u(0.2, 0.8)), colour, RGB(34, 22, 18))
    scale = n.math('ADD', n.math('MULTIPLY', deep, u(0, 1)), n.math('MULTIPLY', fine, 0.8))
    height = n.math('MULTIPLY', n.math('SUBTRACT', scale, n.step(pits, 0.22, 0.05, 0, 0.7)), rust)
    halo = n.math('MULTIPLY', n.step(score, limit - u(0.04, 0.12), limit), u(0, 0.4) if r.random() < 0.6 else 0.0)
    return rust, colour, height, halo


def part_material(r: np.random.Generator, world: str, finish: tuple, share: float, is_part: bool = True, dirty: bool = True):
    """A finish with rust over about `share` of it (0 for none), under mud, oil and dust."""
    base, rough, metal, make = finish
    u = r.uniform
    m = bpy.data.materials.new('part')
    m.use_nodes = True
    n = Nodes(m.node_tree)
    where = n.node('ShaderNodeTexCoord').outputs['Object']
    base = tuple(np.clip(np.array(base) * np.exp(r.normal(0, 0.12, 3)), 0, 1))
    own = n.place(where, shift=tuple(u(-30, 30, 3)))
    big = n.noise(own, 2.2, 3)
    grain = n.noise(own, 70, 3, 0.7)
    colour = n.mix(1.0, base, n.step(big, 0.3, 0.7, 0.85, 1.12), 'MULTIPLY')
    roughness = n.math('ADD', n.math('MULTIPLY', big, u(0.0, 0.3)), float(np.clip(rough + u(-0.15, 0.12), 0.08, 0.9)))
    metallic, coat = metal, 0.0
    height, strength = n.noise(own, 24, 2), 0.02
    if make == 'metal':
        lines = n.noise(n.place(own, scale=(3, 60, 60) if r.random() < 0.5 else (40, 40, 3)), 1.5, 5, 0.7)
        colour = n.mix(1.0, colour, n.step(lines, 0.2, 0.8, 0.75, 1.15), 'MULTIPLY')
        height, strength = lines, 0.06
    elif make == 'plating':
        tint = n.mix(n.noise(own, 3, 2), RGB(214, 226, 210), RGB(226, 208, 224))
        colour = n.mix(0.5, colour, tint, 'MULTIPLY')
    elif make == 'cast':
        height, strength = n.noise(own, u(28, 45), 4, 0.7), u(0.25, 0.5)
        colour = n.mix(1.0, colour, n.step(height, 0.3, 0.7, 0.7, 1.2), 'MULTIPLY')
    elif make == 'rubber':
        height, strength = n.noise(own, 90, 2), 0.12
        colour = n.mix(n.step(n.noise(own, 6, 5), 0.5, 0.75, 0, 0.3), colour, RGB(110, 106, 100))
    elif make == 'greased':
        smear = n.step(n.noise(n.place(own, scale=(1, 2.5, 1)), 2.4, 6, 0.65, 1.2), 0.44, 0.5)
        paste = n.mix(n.noise(own, 30, 4), RGB(132, 74, 44), RGB(178, 112, 72))
        colour, metallic = n.mix(smear, colour, paste), n.math('SUBTRACT', 1.0, n.math('MULTIPLY', smear, 0.45))
        height, strength = n.math('MULTIPLY', smear, n.noise(own, 18, 4)), 0.4
    elif metal == 0:
        coat = u(0, 0.7) if rough < 0.5 else 0.0
        if r.random() < 0.6:  # scratches and chips down to primer or metal
            chip = n.step(n.noise(n.place(own, scale=(9, 2.5, 3)), 2.2, 6, 0.75), 0.68, 0.71)
            under = (RGB(118, 118, 116), RGB(196, 194, 190), RGB(56, 56, 58))[int(r.integers(3))]
            colour = n.mix(chip, colour, under)
            roughness = n.math('ADD', roughness, n.math('MULTIPLY', chip, 0.2))
    truth = 0.0
    bump = n.bump(height, strength, 0.05)
    if share > 0:
        truth, rusty, relief, halo = rust_layer(n, r, where, share)
        colour = n.mix(halo, colour, RGB(156, 98, 58))
        colour = n.mix(truth, colour, rusty)
        roughness = n.mix(truth, roughness, (u(0.8, 0.95),) * 3)
        metallic = n.math('MULTIPLY', metallic, n.math('SUBTRACT', 1.0, truth))
        coat = n.math('MULTIPLY', coat, n.math('SUBTRACT', 1.0, truth))
        bump = n.bump(relief, u(0.3, 0.9), u(0.02, 0.06), bump)
    if make == 'oil' or (dirty and r.random() < 0.25):
        oil = n.step(n.noise(n.place(where, shift=tuple(u(-20, 20, 3))), 2, 6, 0.6), *(0.42, 0.5) if make == 'oil' else (0.58, 0.66))
        tea = RGB(60, 40, 22) if r.random() < 0.5 else RGB(30, 26, 22)
        colour = n.mix(n.math('MULTIPLY', oil, u(0.55, 0.9)), colour, n.mix(1.0, colour, tea, 'MULTIPLY') if share else n.mix(0.6, tea, n.mix(1.0, colour, tea, 'MULTIPLY')))
        roughness = n.mix(oil, roughness, (0.15,) * 3)
    if make == 'mud' or (dirty and r.random() < 0.3):
        patches = n.noise(n.place(where, shift=tuple(u(-20, 20, 3))), u(1.5, 4), 8, 0.65)
        mud = n.step(patches, *(0.44, 0.48) if make == 'mud' else (0.58, 0.62))
        earth = n.mix(n.noise(where, 40, 4), tuple(0.65 * np.array(MUD[world]) * u(0.6, 1.2)), MUD[world])
        colour, roughness = n.mix(mud, colour, earth), n.mix(mud, roughness, (0.95,) * 3)
        metallic = n.math('MULTIPLY', metallic, n.math('SUBTRACT', 1.0, mud))
        coat = n.math('MULTIPLY', coat, n.math('SUBTRACT', 1.0, mud))
        bump = n.bump(n.math('MULTIPLY', mud, n.noise(where, 26, 5, 0.7)), 0.8, 0.05, bump)
        if share > 0:
            truth = n.math('MULTIPLY', truth, n.math('SUBTRACT', 1.0, mud))
    if dirty and r.random() < 0.5:
        up = n.node('ShaderNodeSeparateXYZ', None, Vector=n.node('ShaderNodeNewGeometry').outputs['Normal']).outputs[2]
        dust = n.math('MULTIPLY', n.math('MULTIPLY', n.step(up, 0.2, 1.0), n.step(grain, 0.35, 0.65)), u(0.05, 0.35))
        colour, roughness = n.mix(dust, colour, RGB(148, 142, 132)), n.mix(dust, roughness, (0.9,) * 3)
    look = n.node('ShaderNodeBsdfPrincipled', None, Base_Color=colour, Roughness=roughness, Metallic=metallic, Normal=bump, Clearcoat=coat)
    finish_up(n, m, look.outputs[0], truth if is_part else 0.0, is_part)
    return m


def finish_up(n: Nodes, m, look, truth, is_part: bool) -> None:
    """Keep both outputs by name; `show` chooses between them."""
    sharp = n.math('GREATER_THAN', truth, 0.5) if hasattr(truth, 'is_linked') else float(truth > 0.5)
    paint = n.node('ShaderNodeCombineRGB', None, R=sharp, G=float(is_part), B=0.0).outputs[0]
    mask = n.node('ShaderNodeEmission', None, Color=paint, Strength=1.0)
    mask.name = 'truth'
    look.node.name = 'look'
    n.node('ShaderNodeOutputMaterial').name = 'end'
    show(m, 'look')


def show(m, which: str) -> None:
    """Point a material at its picture ('look') or its mask ('truth')."""
    nodes = m.node_tree.nodes
    m.node_tree.links.new(nodes[which].outputs[0], nodes['end'].inputs['Surface'])


def ground_material(r: np.random.Generator, kind: str):
    """Floors, benches and walls."""
    u = r.uniform
    m = bpy.data.materials.new('ground')
    m.use_nodes = True
    n = Nodes(m.node_tree)
    at = n.place(n.node('ShaderNodeTexCoord').outputs['Object'], shift=tuple(u(-30, 30, 3)), turn=(0, 0, u(0, 6)))
    big, fine = n.noise(at, 1.2, 6, 0.6), n.noise(at, 30, 6, 0.7)
    pick = lambda *c: RGB(*(np.array(c[int(r.integers(len(c)))]) * u(0.85, 1.1)))
    rough, height, strength = 0.8, fine, 0.2
    if kind in ('concrete', 'asphalt'):
        a = pick((150, 148, 142), (168, 162, 150), (120, 120, 118)) if kind == 'concrete' else pick((62, 62, 64), (82, 80, 78))
        colour = n.mix(1.0, a, n.step(big, 0.3, 0.7, 0.75, 1.1), 'MULTIPLY')
        colour = n.mix(1.0, colour, n.step(fine, 0.3, 0.7, 0.8, 1.15), 'MULTIPLY')
        crack = n.step(n.cells(n.place(at, scale=(1, 1, 0)), 0.9, 'DISTANCE_TO_EDGE'), 0.004, 0.012)
        colour = n.mix(n.step(n.noise(at, 2, 5), 0.6, 0.68, 0, 0.6), colour, RGB(46, 42, 38))  # old oil
        if kind == 'concrete' and r.random() < 0.5:
            colour = n.mix(crack, RGB(40, 38, 36), colour)
        if kind == 'asphalt':
            stones = n.cells(at, 28)
            colour, height, strength = n.mix(n.step(stones, 0.1, 0.4), n.mix(1.0, colour, (1.9,) * 3, 'MULTIPLY'), colour), stones, 0.8
    elif kind in ('bench wood', 'pallet'):
        a, b = (pick((150, 108, 68), (172, 132, 88)), RGB(88, 58, 36)) if kind == 'bench wood' else (pick((158, 142, 118), (136, 124, 110)), RGB(92, 80, 66))
        rings = n.noise(n.place(at, scale=(0.5, 9, 9)), 1.6, 6, 0.65, 0.6)
        colour = n.mix(n.step(rings, 0.35, 0.65), a, b)
        wide = n.node('ShaderNodeTexBrick', {'offset': 0.4}, Vector=at, Scale=u(0.5, 0.9), Color1=(1, 1, 1), Color2=(0.72, 0.72, 0.72), Mortar=(0.06, 0.05, 0.04))
        wide.inputs['Mortar Size'].default_value, wide.inputs['Row Height'].default_value, wide.inputs['Brick Width'].default_value = 0.008, 0.28, 6
        colour = n.mix(1.0, colour, wide.outputs[0], 'MULTIPLY')
        colour = n.mix(n.step(n.noise(at, 1.6, 6), 0.56, 0.66, 0, 0.7), colour, RGB(50, 36, 26))
        height, rough = rings, 0.6
    elif kind in ('gravel', 'leaf litter'):
        stones = n.cells(at, u(9, 16))
        tint = n.node('ShaderNodeTexVoronoi', None, Vector=at, Scale=12).outputs['Color']
        bright = n.node('ShaderNodeSeparateXYZ', None, Vector=tint).outputs[0]
        a, b = (pick((150, 142, 132), (134, 122, 108)), pick((92, 88, 84), (110, 90, 72))) if kind == 'gravel' else (pick((120, 78, 44), (98, 66, 40)), pick((62, 52, 36), (84, 86, 46)))
        colour = n.mix(1.0, n.mix(bright, a, b), n.step(stones, 0.0, 0.55, 1.15, 0.35), 'MULTIPLY')
        height, strength = n.math('SUBTRACT', 1.0, stones), 1.0
    elif kind == 'steel bench':
        colour = n.mix(n.step(n.noise(n.place(at, scale=(1, 6, 1)), 3, 7, 0.7), 0.62, 0.68, 0, 0.5), pick((84, 98, 92), (104, 106, 112)), RGB(150, 150, 148))
        rough, strength = 0.4, 0.05
    elif kind in ('brick paving', 'tile'):
        a, b = (pick((150, 78, 58), (166, 104, 78)), pick((122, 64, 50), (140, 96, 76))) if kind == 'brick paving' else (pick((196, 192, 184), (156, 104, 80)), pick((180, 176, 170), (136, 92, 74)))
        brick = n.node('ShaderNodeTexBrick', None, Vector=at, Scale=u(1.4, 2.2), Color1=a, Color2=b, Mortar=RGB(120, 112, 104))
        brick.inputs['Mortar Size'].default_value = 0.018
        if kind == 'tile':
            brick.inputs['Row Height'].default_value, brick.offset = 0.5, 0
        colour = n.mix(1.0, brick.outputs[0], n.step(fine, 0.3, 0.7, 0.75, 1.2), 'MULTIPLY')
        height, rough = n.math('ADD', n.math('MULTIPLY', brick.outputs['Fac'], -0.8), n.math('MULTIPLY', fine, 0.3)), 0.75
    elif kind == 'cardboard':
        colour = n.mix(1.0, pick((178, 138, 96), (164, 126, 88)), n.step(n.noise(n.place(at, scale=(2, 60, 1)), 2, 3), 0.3, 0.7, 0.88, 1.08), 'MULTIPLY')
        strength = 0.05
    else:  # rag or sheeting
        weave = n.noise(n.place(at, scale=(60, 60, 60)), 2, 2)
        colour = n.mix(1.0, pick((70, 86, 120), (150, 60, 54), (196, 194, 188), (60, 84, 62)), n.step(weave, 0.3, 0.7, 0.7, 1.2), 'MULTIPLY')
        height, strength = n.math('ADD', n.math('MULTIPLY', n.noise(at, 2.5, 3, 0.5, 1.0), 3.0), n.math('MULTIPLY', weave, 0.1)), 0.9
    look = n.node('ShaderNodeBsdfPrincipled', None, Base_Color=colour, Roughness=rough, Normal=n.bump(height, strength, 0.06))
    finish_up(n, m, look.outputs[0], 0.0, False)
    return m
