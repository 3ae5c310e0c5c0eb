"""Renders parts with Blender (3.4, Cycles on the processor): NAME.jpg, NAME.mask.png (rust), NAME.part.png and manifest.json.

    blender -b --factory-startup -P render.py -- --out FOLDER [--world test|train] [--rusty 40] [--clean 40] [--seed 1]

It goes on where it stopped; the same seed gives the same scenes. One picture takes 10 to 20 s on two processor cores.
"""
from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
import time

import bpy
import cv2
import numpy as np

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

from develop import calm, develop  # noqa: E402
from stage import build  # noqa: E402
from surfaces import show  # noqa: E402


def settings(width: int, height: int, samples: int, seed: int, folder: str) -> None:
    scene = bpy.context.scene
    scene.render.engine = 'CYCLES'
    scene.render.resolution_x, scene.render.resolution_y, scene.render.resolution_percentage = width, height, 100
    scene.render.film_transparent = False
    scene.view_settings.view_transform = 'Raw'
    c = scene.cycles
    c.device, c.samples, c.seed, c.use_denoising, c.use_adaptive_sampling = 'CPU', samples, seed, False, False
    c.max_bounces, c.diffuse_bounces, c.glossy_bounces, c.transmission_bounces = 3, 1, 2, 0
    c.sample_clamp_indirect, c.caustics_reflective, c.caustics_refractive = 4, False, False
    view = bpy.context.view_layer
    view.cycles.denoising_store_passes = True
    scene.use_nodes = True
    tree = scene.node_tree
    tree.nodes.clear()
    layers = tree.nodes.new('CompositorNodeRLayers')
    out = tree.nodes.new('CompositorNodeOutputFile')
    out.base_path, out.format.file_format, out.format.color_depth = folder, 'OPEN_EXR', '32'
    out.file_slots.clear()
    for name in ('Image', 'Denoising Albedo', 'Denoising Normal'):
        out.file_slots.new(name)
        tree.links.new(layers.outputs[name], out.inputs[name])


def pixels(folder: str, name: str) -> np.ndarray:
    image = bpy.data.images.load(f'{folder}/{name}0001.exr')
    image.colorspace_settings.name = 'Non-Color'
    w, h = image.size
    flat = np.empty(w * h * 4, np.float32)
    image.pixels.foreach_get(flat)
    bpy.data.images.remove(image)
    return np.ascontiguousarray(flat.reshape(h, w, 4)[::-1, :, :3])


def picture(folder: str) -> np.ndarray:
    """Linear light of the scene as it stands."""
    bpy.ops.render.render()
    return calm(pixels(folder, 'Image'), pixels(folder, 'Denoising Albedo'), pixels(folder, 'Denoising Normal'))


def truth(folder: str) -> tuple[np.ndarray, np.ndarray]:
    """Rust and part, 0 or 255: more than half of the pixel's square, seen through a pinhole and lit by itself."""
    scene, c = bpy.context.scene, bpy.context.scene.cycles
    world, lens, samples, bounces = scene.world, scene.camera.data.dof, c.samples, c.max_bounces

    def turn(which: str) -> None:
        for m in bpy.data.materials:
            if m.node_tree and 'truth' in m.node_tree.nodes:
                show(m, which)
        for o in bpy.data.objects:
            if o.type == 'LIGHT':
                o.hide_render = which == 'truth'

    turn('truth')
    scene.world, lens.use_dof = None, False
    c.samples, c.max_bounces, c.pixel_filter_type, c.filter_width = 16, 0, 'BOX', 1.0
    bpy.ops.render.render()
    share = pixels(folder, 'Image')
    turn('look')
    scene.world, lens.use_dof = world, True
    c.samples, c.max_bounces, c.pixel_filter_type, c.filter_width = samples, bounces, 'BLACKMAN_HARRIS', 1.5
    return tuple(((share[..., i] > 0.5) * 255).astype(np.uint8) for i in (0, 1))


def main() -> None:
    p = argparse.ArgumentParser()
    p.add_argument('--out', required=True)
    p.add_argument('--world', choices=['test', 'train'], default='test')
    p.add_argument('--rusty', type=int, default=40)
    p.add_argument('--clean', type=int, default=40)
    p.add_argument('--seed', type=int, default=1)
    p.add_argument('--size', type=int, nargs=2, default=[512, 384])
    p.add_argument('--samples', type=int, default=20)
    p.add_argument('--quality', type=int, default=88)
    a = p.parse_args(sys.argv[sys.argv.index('--') + 1 :])
    os.makedirs(a.out, exist_ok=True)
    book = f'{a.out}/manifest.json'
    rows = json.load(open(book)) if os.path.exists(book) else []
    have = {row['name'] for row in rows}
    total = a.rusty + a.clean
    wanted = sorted(range(total), key=lambda i: (i % a.rusty, i // a.rusty) if a.rusty else i)  # rusty and clean by turns
    with tempfile.TemporaryDirectory() as folder:
        for i in wanted:
            name = f'{a.world}-blender-{i:04d}'
            if name in have:
                continue
            began = time.time()
            for n in range(9):  # the part must fill some of the frame, and rust some of the part
                r = np.random.default_rng([a.seed, i, n, a.world == 'test'])
                what = build(r, a.world, i < a.rusty, a.size[0] / a.size[1])
                settings(*a.size, a.samples, i, folder)
                rust, part = truth(folder)
                if (part > 0).mean() > 0.04 and (i >= a.rusty or (rust > 0).sum() > 0.003 * (part > 0).sum()):
                    break
            image = develop(picture(folder), r)
            cv2.imwrite(f'{a.out}/{name}.jpg', image[:, :, ::-1], [cv2.IMWRITE_JPEG_QUALITY, a.quality])
            cv2.imwrite(f'{a.out}/{name}.mask.png', rust, [cv2.IMWRITE_PNG_BILEVEL, 1])
            cv2.imwrite(f'{a.out}/{name}.part.png', part, [cv2.IMWRITE_PNG_BILEVEL, 1])
            rows.append({'name': name, 'rusty': i < a.rusty, **what, 'rustOfPart': round(float((rust > 0).sum() / max(1, (part > 0).sum())), 4), 'rustOfFrame': round(float((rust > 0).mean()), 4)})
            with open(book, 'w') as f:
                json.dump(rows, f, indent=1)
            print(name, rows[-1], f'{time.time() - began:.0f} s', flush=True)


if __name__ == '__main__':
    main()
