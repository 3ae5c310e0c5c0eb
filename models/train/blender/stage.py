"""Where the part lies: floor, things beside it, light and camera. The two worlds share no floor and no set-up of lights."""
from __future__ import annotations

import math

import bpy
import numpy as np
from mathutils import Euler, Vector

import shapes
from nodes import Nodes
from surfaces import FINISHES, ground_material, part_material

FLOORS = {
    'test': ['concrete', 'bench wood', 'gravel', 'steel bench'],
    'train': ['asphalt', 'pallet', 'leaf litter', 'brick paving', 'tile', 'cardboard', 'rag'],
}
LIGHTS = {'test': ['sun and sky', 'workshop tubes', 'hand lamp'], 'train': ['overcast', 'flash', 'garage door', 'sodium lamp']}


def lay_down(o, poses, r: np.random.Generator, at=(0.0, 0.0), scale: float = 1.0) -> None:
    """Turn and drop an object so that it rests on the floor."""
    turn = Euler(poses[int(r.integers(len(poses)))]).to_matrix().to_4x4()
    o.matrix_world = Euler((0, 0, r.uniform(0, 2 * math.pi))).to_matrix().to_4x4() @ turn
    o.scale = (scale,) * 3
    bpy.context.view_layer.update()
    low = min((o.matrix_world @ v.co).z for v in o.data.vertices)
    o.location = (*at, -low - r.uniform(0, 0.015))
    bpy.context.view_layer.update()


def corners(objects) -> np.ndarray:
    return np.array([tuple(o.matrix_world @ Vector(c)) for o in objects for c in o.bound_box])


def plane(size: float, material, at=(0, 0, 0), turn=(0, 0, 0)):
    bpy.ops.mesh.primitive_plane_add(size=size, location=at, rotation=turn)
    o = bpy.context.object
    o.data.materials.append(material)
    return o


def lamp(kind: str, at, power: float, colour, size: float = 0.1, long: float | None = None, towards=(0, 0, 0)):
    data = bpy.data.lights.new('lamp', kind)
    data.energy, data.color = power, colour
    if kind == 'AREA':
        data.size = size
        if long:
            data.shape, data.size_y = 'RECTANGLE', long
    elif kind != 'SUN':
        data.shadow_soft_size = size
    else:
        data.angle = size
    o = bpy.data.objects.new('lamp', data)
    o.location = at
    o.rotation_euler = (Vector(towards) - Vector(at)).to_track_quat('-Z', 'Y').to_euler()
    o.visible_camera = False
    bpy.context.scene.collection.objects.link(o)


def surroundings(n: Nodes, r: np.random.Generator, low, high, blotch: float):
    """What shiny metal mirrors: a floor to ceiling gradient with blotches of light and dark."""
    way = n.node('ShaderNodeTexCoord').outputs['Generated']
    up = n.node('ShaderNodeSeparateXYZ', None, Vector=way).outputs[2]
    base = n.mix(n.step(up, -0.2, 0.7), low, high)
    spots = n.noise(n.place(way, shift=tuple(r.uniform(-20, 20, 3))), r.uniform(1.5, 4), 3, 0.5)
    return n.mix(1.0, base, n.step(spots, 0.35, 0.65, 1 - blotch, 1 + blotch), 'MULTIPLY')


def light(r: np.random.Generator, kind: str) -> None:
    u = r.uniform
    world = bpy.context.scene.world or bpy.data.worlds.new('world')
    bpy.context.scene.world = world
    world.use_nodes = True
    n = Nodes(world.node_tree)
    end = n.node('ShaderNodeOutputWorld')

    def around(colour, strength: float) -> None:
        n.put(end.inputs['Surface'], n.node('ShaderNodeBackground', None, Color=colour, Strength=strength).outputs[0])

    a = u(0, 2 * math.pi)
    if kind == 'sun and sky':
        sky = n.node('ShaderNodeTexSky', {'sky_type': 'NISHITA', 'sun_elevation': u(0.25, 1.2), 'sun_rotation': a, 'sun_size': 0.0093, 'sun_intensity': u(0.3, 0.9), 'dust_density': u(0.5, 4)})
        around(sky.outputs[0], 0.12)
    elif kind == 'overcast':
        around(surroundings(n, r, (0.18, 0.18, 0.17), (0.9, 0.95, 1.05), 0.25), u(0.9, 1.4))
    elif kind == 'workshop tubes':
        around(surroundings(n, r, (0.1, 0.1, 0.1), (0.22, 0.22, 0.21), 0.9), u(0.5, 1))
        for i in range(int(r.integers(1, 4))):
            lamp('AREA', (u(-3, 3), u(-3, 3), u(2.5, 4)), u(60, 200), (0.86, 1.0, 0.92), 0.15, 2.5)
    elif kind == 'hand lamp':
        around(surroundings(n, r, (0.03, 0.03, 0.035), (0.08, 0.08, 0.09), 0.9), u(0.3, 1))
        lamp('POINT', (2.2 * math.cos(a), 2.2 * math.sin(a), u(1, 2.6)), u(80, 220), (1.0, u(0.6, 0.8), u(0.28, 0.5)), u(0.03, 0.3))
    elif kind == 'flash':
        around(surroundings(n, r, (0.05, 0.05, 0.05), (0.1, 0.1, 0.11), 0.8), u(0.5, 1.5))
        cam = bpy.context.scene.camera
        lamp('AREA', tuple(cam.location + Vector((0.1, 0.1, 0.25))), u(80, 160), (0.96, 0.98, 1.0), 0.12)
    elif kind == 'garage door':
        around(surroundings(n, r, (0.06, 0.06, 0.06), (0.1, 0.1, 0.1), 0.8), u(0.5, 1))
        lamp('AREA', (4.5 * math.cos(a), 4.5 * math.sin(a), 1.6), u(250, 500), (0.8, 0.9, 1.0), 2.5, 4)
    else:
        around(surroundings(n, r, (0.05, 0.04, 0.03), (0.12, 0.1, 0.08), 0.7), u(0.5, 1))
        lamp('AREA', (u(-3, 3), u(-3, 3), 4), u(150, 350), (1.0, u(0.55, 0.75), u(0.18, 0.4)), 0.6)
        if r.random() < 0.5:
            lamp('AREA', (3 * math.cos(a), 3 * math.sin(a), 2.5), u(20, 80), (0.7, 0.8, 1.0), 0.5)
    if kind in ('sun and sky', 'workshop tubes', 'garage door', 'overcast') and r.random() < 0.5:  # something overhead throws a shadow
        o = shapes.moved(shapes.block((u(0.2, 1.5), u(1, 4), 0.05)), (u(-2, 2), u(-2, 2), u(2, 2.4)), (0, 0, u(0, 3)))
        o.data.materials.append(ground_material(r, 'steel bench'))
        o.visible_camera = False


def camera(r: np.random.Generator, subject: np.ndarray, aspect: float) -> None:
    u = r.uniform
    scene = bpy.context.scene
    data = bpy.data.cameras.new('camera')
    o = bpy.data.objects.new('camera', data)
    scene.collection.objects.link(o)
    scene.camera = o
    data.lens, data.sensor_width = u(26, 50), 36
    middle = subject.mean(axis=0) + [u(-0.12, 0.12), u(-0.12, 0.12), 0]
    el, az = math.radians(u(22, 80)), u(0, 2 * math.pi)
    way = np.array([math.cos(az) * math.cos(el), math.sin(az) * math.cos(el), math.sin(el)])
    reach = np.linalg.norm(subject - middle, axis=1).max()
    distance = reach / math.tan(math.atan(18 / data.lens) / aspect) / u(0.95, 1.6)
    o.location = tuple(middle + way * distance)
    o.rotation_euler = (Vector(-way)).to_track_quat('-Z', 'Y').to_euler()
    o.rotation_euler.rotate_axis('Z', u(-0.25, 0.25))
    data.dof.use_dof, data.dof.focus_distance, data.dof.aperture_fstop = True, distance * u(0.93, 1.0), float(np.exp(u(np.log(0.7), np.log(6))))
    bpy.context.view_layer.update()


def build(r: np.random.Generator, world: str, has_rust: bool, aspect: float) -> dict:
    """Empty the scene and set up a new one; says what it holds."""
    bpy.ops.wm.read_factory_settings(use_empty=True)
    u = r.uniform
    pick = lambda table: str(r.choice(list(table)))
    name = pick(shapes.SHAPES[world])
    group = 'sound' if has_rust or r.random() < 0.2 else 'decoy'
    finish = pick(FINISHES[world][group])
    share = float(np.clip(r.beta(0.9, 1.5), 0.02, 0.95)) if has_rust else 0.0
    parts = []
    number = int(r.integers(2, 6)) if name == 'bolt' else 1
    material = part_material(r, world, FINISHES[world][group][finish], share)
    for i in range(number):
        o, poses = shapes.SHAPES[world][name](r)
        o.data.materials.clear()
        o.data.materials.append(material if i == 0 or r.random() < 0.4 else part_material(r, world, FINISHES[world][group][finish], float(np.clip(share * np.exp(u(-1, 0.6)), 0.02, 0.95)) if has_rust else 0.0))
        lay_down(o, poses, r, ((i - (number - 1) / 2) * 0.55, u(-0.25, 0.25)) if number > 1 else (0, 0))
        parts.append(o)
    floor = pick(FLOORS[world])
    plane(30, ground_material(r, floor))
    if r.random() < 0.4:
        a = u(0, 6.28)
        far = u(1.9, 3.5)
        plane(30, ground_material(r, pick(FLOORS[world])), (far * math.cos(a), far * math.sin(a), 0), (math.pi / 2, 0, a + math.pi / 2))
    for _ in range(int(r.integers(0, 4))):  # things lying about, never rusty
        o = [lambda: shapes.block((u(0.2, 0.7), u(0.15, 0.5), u(0.05, 0.4))), lambda: shapes.rod(u(0.05, 0.25), u(0.3, 1.2)), lambda: shapes.rod(u(0.1, 0.2), 0.15, 6)][int(r.integers(3))]()
        o.data.materials.clear()
        other = FINISHES[world][('sound', 'decoy')[int(r.random() < 0.6)]]
        o.data.materials.append(part_material(r, world, other[pick(other)], 0.0, False))
        a, far = u(0, 6.28), u(1.1, 2.0)
        lay_down(o, [shapes.FLAT, shapes.SIDE], r, (far * math.cos(a), far * math.sin(a)))
    camera(r, corners(parts), aspect)
    kind = pick(LIGHTS[world])
    light(r, kind)
    return {'shape': name, 'finish': finish, 'floor': floor, 'light': kind}
