"""Parts built from primitives, curves and modifiers. Each is about two units long and stands round the origin.

`SHAPES[world][name](r)` gives a mesh object and the turns (Euler angles) it can lie in; the two worlds share no shape.
"""
from __future__ import annotations

import math

import bmesh
import bpy
import numpy as np
from mathutils import Matrix, Vector

FLAT, SIDE = (0.0, 0.0, 0.0), (math.pi / 2, 0.0, 0.0)


def keep(mesh) -> object:
    o = bpy.data.objects.new('part', mesh)
    bpy.context.scene.collection.objects.link(o)
    for p in mesh.polygons:
        p.use_smooth = True
    mesh.use_auto_smooth, mesh.auto_smooth_angle = True, math.radians(35)
    return o


def settle(o) -> object:
    """The object with its modifiers carried out."""
    graph = bpy.context.evaluated_depsgraph_get()
    mesh = bpy.data.meshes.new_from_object(o.evaluated_get(graph))
    bpy.data.objects.remove(o, do_unlink=True)
    return keep(mesh)


def lathe(profile: list[tuple[float, float]], steps: int = 96) -> object:
    """A profile of (radius, height) turned about the z axis."""
    b = bmesh.new()
    verts = [b.verts.new((x, 0, z)) for x, z in profile]
    edges = [b.edges.new(pair) for pair in zip(verts, verts[1:])]
    bmesh.ops.spin(b, geom=verts + edges, cent=(0, 0, 0), axis=(0, 0, 1), angle=2 * math.pi, steps=steps)
    bmesh.ops.remove_doubles(b, verts=b.verts, dist=1e-4)
    bmesh.ops.recalc_face_normals(b, faces=b.faces)
    mesh = bpy.data.meshes.new('lathe')
    b.to_mesh(mesh)
    b.free()
    return keep(mesh)


def tube(points, radius: float, closed: bool = False, around: int = 5) -> object:
    """A round bar along a smooth line."""
    curve = bpy.data.curves.new('tube', 'CURVE')
    curve.dimensions, curve.bevel_depth, curve.bevel_resolution, curve.use_fill_caps = '3D', radius, around, True
    s = curve.splines.new('NURBS')
    s.points.add(len(points) - 1)
    for p, at in zip(s.points, points):
        p.co = (*at, 1)
    s.order_u, s.use_endpoint_u, s.use_cyclic_u, s.resolution_u = 4, True, closed, 10
    o = bpy.data.objects.new('tube', curve)
    bpy.context.scene.collection.objects.link(o)
    return settle(o)


def sheet(outline, holes, thickness: float, edge: float = 0.012) -> object:
    """A flat plate: an outline and holes, both lists of (x, y), with rounded edges."""
    curve = bpy.data.curves.new('sheet', 'CURVE')
    curve.dimensions, curve.fill_mode, curve.extrude, curve.bevel_depth, curve.bevel_resolution = '2D', 'BOTH', max(thickness / 2 - edge, 0.001), edge, 2
    for ring in [outline, *holes]:
        s = curve.splines.new('POLY')
        s.points.add(len(ring) - 1)
        s.use_cyclic_u = True
        for p, at in zip(s.points, ring):
            p.co = (at[0], at[1], 0, 1)
    o = bpy.data.objects.new('sheet', curve)
    bpy.context.scene.collection.objects.link(o)
    return settle(o)


def ring(radius: float, at=(0.0, 0.0), n: int = 40, squash: float = 1.0, turn: float = 0.0):
    return [(at[0] + radius * math.cos(t + turn), at[1] + squash * radius * math.sin(t + turn)) for t in np.linspace(0, 2 * math.pi, n, endpoint=False)]


def block(size, at=(0, 0, 0), edge: float = 0.02) -> object:
    bpy.ops.mesh.primitive_cube_add(size=1, location=at)
    o = bpy.context.object
    o.scale = size
    bpy.ops.object.transform_apply(scale=True, location=True)
    m = o.modifiers.new('edge', 'BEVEL')
    m.width, m.segments = edge, 3
    return settle(o)


def rod(radius: float, length: float, sides: int = 48, edge: float = 0.012) -> object:
    """A bar of the given number of sides along z, its middle at the origin."""
    h = length / 2
    o = lathe([(0, -h), (radius - edge, -h), (radius, -h + edge), (radius, h - edge), (radius - edge, h), (0, h)], sides)
    if sides < 12:
        for p in o.data.polygons:
            p.use_smooth = False
    return o


def moved(o, at=(0, 0, 0), turn=(0, 0, 0), scale: float = 1.0):
    from mathutils import Euler

    o.data.transform(Matrix.Translation(Vector(at)) @ Euler(turn).to_matrix().to_4x4() @ Matrix.Scale(scale, 4))
    return o


def joined(*objects) -> object:
    bpy.ops.object.select_all(action='DESELECT')
    for o in objects:
        o.select_set(True)
    bpy.context.view_layer.objects.active = objects[0]
    bpy.ops.object.join()
    return objects[0]


def cut(o, *tools) -> object:
    for t in tools:
        m = o.modifiers.new('cut', 'BOOLEAN')
        m.operation, m.object, m.solver = 'DIFFERENCE', t, 'EXACT'
    done = settle(o)
    for t in tools:
        bpy.data.objects.remove(t, do_unlink=True)
    return done


def fused(o, voxel: float = 0.02, smooth: int = 4) -> object:
    """Melted into one skin with soft joints, as welded or cast."""
    m = o.modifiers.new('fuse', 'REMESH')
    m.mode, m.voxel_size = 'VOXEL', voxel
    s = o.modifiers.new('soft', 'SMOOTH')
    s.iterations, s.factor = smooth, 0.5
    return settle(o)


def dented(o, r, size: float, depth: float) -> object:
    """Slightly out of true."""
    shift = r.uniform(-50, 50, 3)
    from mathutils import noise

    for v in o.data.vertices:
        v.co += depth * noise.noise_vector(v.co / size + Vector(shift))
    return o


# Kinds held apart for test


def arm(r):
    u = r.uniform
    reach, bend, bar = u(0.8, 1.0), u(-0.35, 0.35), u(0.09, 0.13)
    ends = [(-reach, 0, 0), (reach, u(-0.2, 0.2), u(-0.1, 0.1))]
    mid = (0, bend, u(0, 0.15))
    o = joined(tube([ends[0], (-0.4, bend * 0.7, 0.05), mid, (0.45, bend * 0.8, 0.05), ends[1]], bar))
    eyes = [moved(rod(bar * u(1.7, 2.1), bar * 3), ends[0], SIDE), moved(rod(bar * 2, bar * 2), ends[1])]
    if r.random() < 0.6:
        eyes.append(moved(rod(bar * 1.5, bar * 2.4), (0.1, bend - bar * 2.2, 0)))
        eyes.append(tube([mid, (0.1, bend - bar * 2.2, 0)], bar * 0.8))
    o = fused(joined(o, *eyes), 0.018)
    bores = [moved(rod(bar * 1.1, bar * 6), ends[0], SIDE), moved(rod(bar * 1.05, bar * 6), ends[1])]
    return cut(o, *bores), [FLAT, FLAT, (math.pi, 0, 0)]


def disc(r):
    u = r.uniform
    rim, hat, tall, thick = 1.0, u(0.45, 0.58), u(0.18, 0.42), u(0.1, 0.2)
    o = lathe([(u(0.2, 0.28), tall), (hat - 0.03, tall), (hat, tall - 0.03), (hat, thick), (hat + 0.05, thick), (rim - 0.02, thick), (rim, thick - 0.02),
               (rim, 0.02), (rim - 0.02, 0), (hat - 0.05, 0), (hat - 0.06, tall - 0.06), (0.24, tall - 0.06)], 128)
    n = int(r.choice([4, 5]))
    bolts = [moved(rod(0.055, 1), (0.36 * math.cos(t), 0.36 * math.sin(t), tall)) for t in np.arange(n) * 2 * math.pi / n]
    vents = []
    if thick > 0.15:
        vents = [moved(block((0.3, 0.05, thick * 0.35), edge=0.01), (0.98 * math.cos(t), 0.98 * math.sin(t), thick / 2), (0, 0, t)) for t in np.arange(30) * 2 * math.pi / 30]
        vents = [joined(*vents)]
    return cut(o, joined(*bolts), *vents), [FLAT, FLAT, (math.pi, 0, 0), (u(1.15, 1.4), 0, 0)]


def coil_spring(r):
    u = r.uniform
    turns, bar, radius, tall = u(4.5, 8), u(0.06, 0.1), u(0.38, 0.5), u(1.4, 1.9)
    t = np.linspace(0, 1, int(turns * 16))
    lift = np.clip((t - 0.5 / turns) / (1 - 1 / turns), 0, 1) * tall - tall / 2
    taper = 1 - u(0, 0.35) * np.abs(2 * t - 1) ** 2
    o = tube([(radius * k * math.cos(a), radius * k * math.sin(a), z) for k, a, z in zip(taper, t * turns * 2 * math.pi, lift)], bar, around=6)
    return o, [SIDE, SIDE, FLAT]


def bolt(r):
    u = r.uniform
    rad, length = u(0.11, 0.16), u(0.8, 1.5)
    head = moved(rod(rad * 1.85, rad * 1.3, 6, 0.03), (0, 0, -length / 2 - rad * 0.6))
    ridges = [(0, -length / 2)]
    at = -length / 2
    plain = -length / 2 + length * u(0.2, 0.5)
    ridges += [(rad, at), (rad, plain)]
    at = plain
    while at < length / 2 - 0.05:
        ridges += [(rad * 0.87, at + 0.018), (rad, at + 0.036)]
        at += 0.036
    ridges += [(rad * 0.8, length / 2), (0, length / 2)]
    o = joined(head, lathe(ridges, 40))
    if r.random() < 0.5:
        o = joined(o, moved(lathe([(rad, 0), (rad * 2.4, 0), (rad * 2.4, 0.04), (rad, 0.04)], 48), (0, 0, -length / 2 + 0.02)))
    if r.random() < 0.5:
        o = joined(o, moved(rod(rad * 1.75, rad * 1.5, 6, 0.03), (0, 0, length * u(0.1, 0.35))))
    return moved(o, scale=0.9), [(math.pi / 2, 0, u(0, 6)), (math.pi / 2, 0, u(0, 6)), FLAT]


def pipe(r):
    u = r.uniform
    at, line = np.zeros(3), []
    for i in range(9):
        line.append(tuple(at))
        at = at + [0.28, u(-0.22, 0.22) if i not in (0, 7) else 0, u(-0.06, 0.06)]
    line = [(x - 1.1, y, z) for x, y, z in line]
    bar = u(0.03, 0.075)
    o = tube(line, bar, around=6)
    for end, way in ((line[0], 1), (line[-1], -1)):
        o = joined(o, moved(rod(bar * 2, bar * 4.5, 6, 0.012), (end[0] + way * bar * 4, end[1], end[2]), (0, math.pi / 2, 0)))
    return o, [FLAT, (u(0, 3), 0, 0)]


def casting(r):
    u = r.uniform
    o = joined(block((u(0.9, 1.3), u(0.5, 0.8), u(0.35, 0.5)), edge=0.08), moved(rod(u(0.3, 0.4), u(0.6, 0.8)), (u(-0.2, 0.2), 0.1, 0.1)),
               moved(block((u(1.5, 1.8), 0.22, 0.16), edge=0.05), (0, -0.2, -0.1)), moved(block((0.14, 0.9, 0.4), edge=0.04), (0.35, 0, 0)))
    ears = [moved(rod(0.15, 0.3), (x, -0.2, -0.08)) for x in (-0.85, 0.85)]
    o = fused(joined(o, *ears), 0.022, 6)
    bores = [moved(rod(0.075, 2), (x, -0.2, 0)) for x in (-0.85, 0.85)] + [moved(rod(0.21, 0.5), (0, 0.1, 0.55))]
    return dented(cut(o, *bores), r, 0.4, 0.012), [FLAT, (math.pi, 0, 0), SIDE]


def folded_sheet(r):
    u = r.uniform
    w, d, h = u(0.7, 1.0), u(0.4, 0.7), u(0.2, 0.45)
    parts = [sheet([(-w, -d), (w, -d), (w, d), (-w, d)], [ring(u(0.08, 0.2), (u(-0.5, 0.5) * w, u(-0.4, 0.4) * d)) for _ in range(2)], 0.035)]
    for side in (1, -1) if r.random() < 0.6 else (1,):
        parts.append(moved(block((2 * w, 0.035, h), edge=0.012), (0, side * (d - 0.017), h / 2)))
        parts.append(moved(block((2 * w, u(0.15, 0.3), 0.035), edge=0.012), (0, side * (d + 0.08), h)))
    return dented(fused(joined(*parts), 0.014, 3), r, 0.7, 0.03), [FLAT, (math.pi, 0, 0), (1.2, 0, 0)]


# Kinds for training


def bracket(r):
    u = r.uniform
    a, b, w = u(0.7, 1.1), u(0.5, 1.0), u(0.3, 0.5)
    foot = sheet([(0, -w), (a, -w * u(0.5, 1)), (a, w * u(0.5, 1)), (0, w)], [ring(u(0.07, 0.14), (a * 0.6, u(-0.1, 0.1)))], 0.06)
    wall = moved(sheet([(0, -w), (b, -w * u(0.4, 1)), (b, w * u(0.4, 1)), (0, w)], [ring(u(0.07, 0.14), (b * 0.6, u(-0.1, 0.1)))], 0.06), turn=(0, -math.pi / 2, 0))
    o = joined(foot, wall)
    if r.random() < 0.5:
        o = joined(o, moved(sheet([(0, 0), (a * 0.6, 0), (0, b * 0.6)], [], 0.05), (0, 0, 0), SIDE))
    return moved(fused(o, 0.016, 3), (-a / 2, 0, 0)), [FLAT, SIDE, (0, -math.pi / 2, 0)]


def gear(r):
    u = r.uniform
    n, deep = int(r.integers(14, 34)), u(0.08, 0.14)
    outline = []
    for i in range(n):
        t = 2 * math.pi * i / n
        for share, rad in ((0.0, 1 - deep), (0.25, 1 - deep), (0.38, 1.0), (0.62, 1.0), (0.75, 1 - deep)):
            a = t + share * 2 * math.pi / n
            outline.append((rad * math.cos(a), rad * math.sin(a)))
    k = int(r.integers(3, 7))
    holes = [ring(u(0.14, 0.22))] + [ring(u(0.1, 0.16), (0.55 * math.cos(t), 0.55 * math.sin(t))) for t in np.arange(k) * 2 * math.pi / k]
    return joined(sheet(outline, holes, u(0.08, 0.2)), moved(lathe([(0.22, -0.2), (0.32, -0.2), (0.32, 0.2), (0.22, 0.2), (0.22, -0.2)]))), [FLAT, (1.3, 0, 0)]


def plate(r):
    u = r.uniform
    outline = ring(1.0, n=7 if r.random() < 0.5 else 60, squash=u(0.5, 0.9))
    holes = [ring(u(0.05, 0.16), (0.55 * math.cos(t), 0.38 * math.sin(t))) for t in np.arange(4) * math.pi / 2 + u(0, 1)]
    return dented(sheet(outline, holes, u(0.05, 0.14)), r, 1.0, 0.02), [FLAT, (1.25, 0, 0)]


def frame(r):
    u = r.uniform
    w, d, bar = u(0.8, 1.1), u(0.4, 0.8), u(0.06, 0.12)
    bars = [moved(block((2 * w, bar * 2, bar * 2), edge=0.03), (0, s * d, 0)) for s in (-1, 1)]
    bars += [moved(block((bar * 2, 2 * d, bar * 2), edge=0.03), (x, 0, 0)) for x in (-w * u(0.6, 0.9), u(-0.1, 0.1), w * u(0.6, 0.9))]
    return fused(joined(*bars), 0.018, 3), [FLAT, FLAT, (1.2, 0, 0)]


def u_bolt(r):
    u = r.uniform
    w, leg, bar = u(0.4, 0.7), u(0.5, 0.9), u(0.06, 0.09)
    arc = [(-w * math.cos(t), 0, w * math.sin(t)) for t in np.linspace(0, math.pi, 14)]
    line = [(-w, 0, -leg), (-w, 0, -leg / 2), *arc, (w, 0, -leg / 2), (w, 0, -leg)]
    nuts = [moved(rod(bar * 2, bar * 1.8, 6, 0.015), (s * w, 0, -leg * u(0.5, 0.9))) for s in (-1, 1)]
    return joined(tube(line, bar), *nuts), [SIDE, SIDE]


def drum(r):
    u = r.uniform
    tall = u(0.3, 0.6)
    o = lathe([(0.25, tall), (0.86, tall), (0.95, tall - 0.08), (0.95, 0.1), (1.0, 0.08), (1.0, 0), (0.88, 0), (0.86, tall - 0.1), (0.25, tall - 0.08)], 128)
    holes = [moved(rod(0.06, 1), (0.45 * math.cos(t), 0.45 * math.sin(t), tall)) for t in np.arange(4) * math.pi / 2]
    return cut(o, joined(*holes)), [FLAT, (math.pi, 0, 0), (1.3, 0, 0)]


def box_section(r):
    u = r.uniform
    o = block((2, u(0.35, 0.6), u(0.3, 0.5)), edge=0.06)
    inner = block((3, 0.27, 0.22), edge=0.02)
    holes = [moved(rod(u(0.06, 0.12), 2), (x, 0, 0)) for x in (-0.6, u(-0.1, 0.2), 0.65)]
    o = cut(o, inner, joined(*holes))
    return dented(o, r, 0.8, 0.02), [FLAT, SIDE]


def hinge(r):
    u = r.uniform
    leaves = [moved(sheet([(0, -0.8), (s * u(0.5, 0.8), -0.7), (s * u(0.5, 0.8), 0.7), (0, 0.8)], [ring(0.08, (s * 0.35, y)) for y in (-0.45, 0, 0.45)], 0.06), turn=(0, a, 0))
              for s, a in ((1, 0.0), (-1, u(0, 0.9)))]
    return joined(*leaves, moved(rod(0.11, 1.7), turn=SIDE)), [FLAT, (math.pi, 0, 0)]


def link(r):
    u = r.uniform
    bar = u(0.05, 0.1)
    o = moved(rod(bar, 1.6), turn=(0, math.pi / 2, 0))
    ends = []
    for s in (-1, 1):
        ends.append(moved(lathe([(0.12, -0.13), (0.24, -0.13), (0.24, 0.13), (0.12, 0.13), (0.12, -0.13)], 48), (s * 0.9, 0, 0), SIDE if r.random() < 0.5 else FLAT))
    return fused(joined(o, *ends), 0.014, 2), [FLAT, SIDE]


def washers(r):
    u = r.uniform
    out = []
    for i in range(int(r.integers(3, 7))):
        big, small = u(0.2, 0.4), u(0.08, 0.16)
        if r.random() < 0.5:
            out.append(moved(rod(big, u(0.15, 0.3), 6, 0.03), (u(-0.9, 0.9), u(-0.6, 0.6), 0.1)))
        else:
            out.append(moved(lathe([(small, 0), (big, 0), (big, 0.05), (small, 0.05), (small, 0)], 48), (u(-0.9, 0.9), u(-0.6, 0.6), 0.0)))
    return joined(*out), [FLAT]


def manifold(r):
    u = r.uniform
    runs = []
    n = int(r.integers(2, 5))
    for i in range(n):
        x = (i - (n - 1) / 2) * 0.5
        runs.append(tube([(x, -0.6, 0), (x, -0.2, 0.1), (x * 0.7, 0.2, 0.25), (x * 0.2, 0.6, 0.2), (0, 0.9, 0.1)], u(0.12, 0.17)))
    runs.append(moved(block((0.5 * n + 0.3, 0.12, 0.4), edge=0.04), (0, -0.62, 0)))
    runs.append(moved(rod(0.3, 0.14), (0, 0.95, 0.1), SIDE))
    return dented(fused(joined(*runs), 0.022, 4), r, 0.5, 0.012), [FLAT, (math.pi, 0, 0), SIDE]


SHAPES = {
    'test': {'arm': arm, 'disc': disc, 'coil-spring': coil_spring, 'bolt': bolt, 'pipe': pipe, 'casting': casting, 'folded-sheet': folded_sheet},
    'train': {'bracket': bracket, 'gear': gear, 'plate': plate, 'frame': frame, 'u-bolt': u_bolt, 'drum': drum, 'box-section': box_section, 'hinge': hinge,
              'link': link, 'washers': washers, 'manifold': manifold},
}
