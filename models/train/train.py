"""Trains one network from photos, negatives and renders. See README.md for the one command."""
from __future__ import annotations

import argparse
import copy
import json
import math
import os
import time

import numpy as np
import torch
import torch.nn.functional as F

import augment as A
from data import Picture, edge_band, read_negatives, read_photos, read_textures, square
from evaluate import THRESHOLDS, infer, iou, measure, show
from net import Segmenter

PHOTO, NEGATIVE, RENDER, HARD = range(4)


class Bank:
    """Every training picture on the device, as bytes, with its category."""

    def __init__(self, pictures: list[Picture], device: str, band: int, band_weight: float = 0.25, balance: float = 0.0):
        cats, weights = [], []
        for p in pictures:
            rusty = bool((p.mask == 255).any())
            render = p.kind.startswith('render')
            cats.append((RENDER if rusty else HARD) if render else (PHOTO if rusty else NEGATIVE))
            mask = square(p.mask, nearest=True)
            use = (mask != 128).astype(np.uint8) * 255
            if not render and band:
                use[edge_band(mask, band) > 0] = int(255 * band_weight)
            weights.append(use)
        self.image = torch.from_numpy(np.stack([square(p.image) for p in pictures])).to(device).permute(0, 3, 1, 2)
        self.mask = torch.from_numpy(np.stack([(square(p.mask, nearest=True) == 255).astype(np.uint8) for p in pictures])).to(device)
        self.weight = torch.from_numpy(np.stack(weights)).to(device)
        self.cat = np.array(cats)
        # lower for the many photos of one place, raised by hard-example mining
        groups = [p.group if c == PHOTO else '' for p, c in zip(pictures, cats)]
        number = {q: groups.count(q) for q in set(groups)}
        self.chance = np.array([max(number[q], 8) ** -balance if q else 1.0 for q in groups])

    def draw(self, n: int, shares: dict[int, float], rng: np.random.Generator) -> np.ndarray:
        cats = [c for c in shares if (self.cat == c).any() and shares[c] > 0]
        p = np.array([shares[c] for c in cats], float)
        number = rng.multinomial(n, p / p.sum())
        out = []
        for c, k in zip(cats, number):
            where = np.flatnonzero(self.cat == c)
            w = self.chance[where]
            out.append(rng.choice(where, k, p=w / w.sum()))
        return np.concatenate(out)


def texture_collages(root: str, rng: np.random.Generator, number: int) -> list[Picture]:
    """Fresh grids of rust-free material tiles: negatives of surfaces alone."""
    tiles = [t for label, t in read_textures(root) if label == 'no-rust']
    out = []
    for i in range(number):
        k = int(rng.choice([1, 2, 3]))
        rows = [np.concatenate([np.rot90(tiles[rng.integers(len(tiles))], rng.integers(4)) for _ in range(k)], 1) for _ in range(k)]
        image = square(np.ascontiguousarray(np.concatenate(rows, 0)))
        out.append(Picture(f'tiles-{i}', 'train', 'tiles', 'negative-collage', image, np.zeros(image.shape[:2], np.uint8)))
    return out


def batch(bank: Bank, index: np.ndarray, size: int, g: torch.Generator, zoom: tuple[float, float], moved: float) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor]:
    """Augmented input -1 ... 1, soft target and weight at quarter resolution."""
    at = torch.from_numpy(index).to(bank.image.device)
    n = len(index)
    grid = A.grids(n, size, g, zoom)
    x = F.grid_sample(bank.image[at].float() / 255, grid, mode='bilinear', padding_mode='reflection', align_corners=False)
    both = torch.stack([bank.mask[at].float(), bank.weight[at].float() / 255], 1)
    both = F.grid_sample(both, grid, mode='bilinear', padding_mode='reflection', align_corners=False)
    target, weight = both[:, :1], both[:, 1:]
    if moved:
        x, target, weight = A.transplant(x, target, weight, g, moved)
    x = A.colour(x, g)
    x, target = A.paste_cards(x, target, g, 0.3)
    x, target = A.erase(x, target, g, 0.25)
    return x * 2 - 1, F.avg_pool2d(target, 4), F.avg_pool2d(weight, 4)


def loss_of(logits: torch.Tensor, presence: torch.Tensor, target: torch.Tensor, weight: torch.Tensor, area_share: float = 0.0, single: bool = False) -> torch.Tensor:
    """Cross-entropy, soft Jaccard over pictures with rust, the worst pixels of clean pictures, area as a factor, presence."""
    logits = logits.float()
    bce = F.binary_cross_entropy_with_logits(logits, target, reduction='none') * weight
    has = (target.flatten(1).amax(1) > 0.5).float()
    p = torch.sigmoid(logits)
    w = weight * has[:, None, None, None]
    over = (1, 2, 3) if single else (0, 1, 2, 3)
    inter = (p * target * w).sum(over)
    union = ((p + target - p * target) * w).sum(over)
    jaccard = 1 - (inter + 1) / (union + 1)
    jaccard = (jaccard * has).sum() / has.sum().clamp(min=1) if single else jaccard
    clean = 1 - has
    flat = bce.flatten(1)
    worst = flat.topk(flat.shape[1] // 100, dim=1).values.mean(1)
    worst = (worst * clean).sum() / clean.sum().clamp(min=1)
    area = (target.flatten(1).mean(1) > 0.002).float()
    seen = F.binary_cross_entropy_with_logits(presence[:, 0].float(), area)
    total = bce.mean() * 2 + jaccard + 0.15 * worst + 0.02 * seen
    if area_share:
        log_area = lambda t: torch.log((t * weight).mean((1, 2, 3)) + 0.003)
        total = total + area_share * F.smooth_l1_loss(log_area(p), log_area(target), beta=0.5)
    return total


def run(args: argparse.Namespace) -> None:
    device = 'cuda' if torch.cuda.is_available() else 'cpu'
    torch.manual_seed(args.seed)
    torch.backends.cudnn.benchmark = True
    rng = np.random.default_rng(args.seed)
    g = torch.Generator(device).manual_seed(args.seed)
    photos = read_photos(args.photos, ('train', 'val'))
    train = [p for p in photos if p.split == 'train' and p.group not in args.leave_out]
    held = [p for p in photos if p.split == 'train' and p.group in args.leave_out]
    val = [p for p in photos if p.split == 'val']
    renders = []
    if args.renders:
        from renders import read_renders
        renders = read_renders(args.renders, 'train', args.render_limit)
        train += renders
        val_renders = read_renders(args.renders, 'val')
    train += texture_collages(args.photos, rng, 60)
    everyday = []
    if args.negatives:
        more, everyday = read_negatives(args.negatives, rng)
        train += more
    if args.all:
        train += val
    bank = Bank(train, device, args.band, args.band_weight, args.balance)
    print(f'{args.name}: {len(train)} training pictures, by category {np.bincount(bank.cat, minlength=4).tolist()}', flush=True)

    model = Segmenter(args.depth, args.width, args.features)
    if args.encoder:
        model.encoder.load(args.encoder)
    model = model.to(device, memory_format=torch.channels_last)
    average = copy.deepcopy(model).eval()
    own, enc = [], []
    for name, p in model.named_parameters():
        (enc if name.startswith('encoder.') else own).append(p)
    optimiser = torch.optim.AdamW([{'params': enc, 'lr': args.lr * 0.2}, {'params': own, 'lr': args.lr}], weight_decay=args.decay, fused=device == 'cuda')
    base = [group['lr'] for group in optimiser.param_groups]
    shares = dict(zip((PHOTO, NEGATIVE, RENDER, HARD), args.shares))
    steps, begun, step = args.steps, time.time(), 0
    while step < steps:
        done = step / steps
        for group, lr in zip(optimiser.param_groups, base):
            group['lr'] = lr * min(1, (step + 1) / 100) * (0.5 + 0.5 * math.cos(math.pi * done)) + 1e-7
        x, target, weight = batch(bank, bank.draw(args.batch, shares, rng), args.size, g, args.zoom, args.moved)
        x = x.contiguous(memory_format=torch.channels_last)
        model.train()
        with torch.autocast(device, torch.bfloat16):
            logits, _, presence = model(x)
        loss = loss_of(logits, presence, target, weight, args.area, args.single)
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(model.parameters(), 2.0)
        optimiser.step()
        with torch.no_grad():
            k = min(0.998, (step + 1) / (step + 20))
            mine, avg = list(model.state_dict().values()), list(average.state_dict().values())
            floats = [(a, b) for a, b in zip(avg, mine) if a.dtype.is_floating_point]
            torch._foreach_lerp_([a for a, _ in floats], [b for _, b in floats], 1 - k)
        step += 1
        if step == 60 and args.seconds:
            torch.cuda.synchronize()
            mark = time.time()
        if step == 160 and args.seconds:
            torch.cuda.synchronize()
            rate = 100 / (time.time() - mark)
            steps = min(steps, int(rate * (args.seconds - (time.time() - begun))) + step)
            print(f'{args.name}: {rate:.1f} steps/s, {steps} steps', flush=True)
        if step % args.every == 0 or step == steps:
            records = measure(val, infer(average, val, args.long_side, device))
            best = THRESHOLDS[int(np.argmax(iou(records)))]
            print(f'{args.name} step {step} {time.time() - begun:.0f} s loss {loss.item():.3f} val at {best:.2f}: {show(records, best)}', flush=True)
            if args.mine and step < steps:
                clean = [i for i in range(len(train)) if bank.cat[i] in (NEGATIVE, HARD)]
                some = list(rng.permutation(clean)[:400])
                maps = infer(average, [train[i] for i in some], args.long_side, device)
                for i, m in zip(some, maps):
                    bank.chance[i] = 1 + min(9.0, 300 * float((m > 0).mean()))
    os.makedirs(args.out, exist_ok=True)
    state = {k: v.half() if v.dtype.is_floating_point else v for k, v in average.state_dict().items()}
    torch.save({'state': state, 'args': vars(args), 'steps': steps}, f'{args.out}/{args.name}.pt')
    final = average
    by_group = [(f'val {q}', [p for p in val if p.group == q and (p.mask == 255).any()]) for q in ('footbridge-b', 'street-3', 'walk-4')]
    for name, some in (('val', val), *by_group, ('everyday', everyday), ('held', held), *((('val renders', val_renders),) if args.renders else ())):
        if not some:
            continue
        for side in args.sides:
            records = measure(some, infer(final, some, side, device))
            if not any(r['true'] > 0 for r in records):
                print(f'{args.name} {name} long side {side}: ' + ', '.join(f'at {t:.2f} {show(records, t)}' for t in (0.5, 0.6, 0.7)), flush=True)
                continue
            k = int(np.argmax(iou(records)))
            print(f'{args.name} {name} long side {side} best at {THRESHOLDS[k]:.2f}: {show(records, THRESHOLDS[k])}', flush=True)
            print(f'{args.name} {name} long side {side} at 0.50: {show(records, 0.5)}', flush=True)


def parser() -> argparse.ArgumentParser:
    p = argparse.ArgumentParser()
    p.add_argument('--photos', required=True)
    p.add_argument('--encoder')
    p.add_argument('--renders')
    p.add_argument('--render-limit', type=int, default=0)
    p.add_argument('--out', required=True)
    p.add_argument('--name', default='model')
    p.add_argument('--seed', type=int, default=1)
    p.add_argument('--steps', type=int, default=4000)
    p.add_argument('--seconds', type=float, default=0, help='shorten the schedule to about this long')
    p.add_argument('--every', type=int, default=500)
    p.add_argument('--batch', type=int, default=24)
    p.add_argument('--size', type=int, default=416)
    p.add_argument('--lr', type=float, default=1.5e-3)
    p.add_argument('--decay', type=float, default=0.02)
    p.add_argument('--band', type=int, default=2)
    p.add_argument('--band-weight', type=float, default=0.25)
    p.add_argument('--balance', type=float, default=0.0, help='0: every photo alike, 1: every place alike')
    p.add_argument('--zoom', type=float, nargs=2, default=[0.75, 2.2])
    p.add_argument('--moved', type=float, default=0.0, help='share of pictures that get the rust of another')
    p.add_argument('--area', type=float, default=0.0, help='weight of the area loss')
    p.add_argument('--single', action='store_true', help='Jaccard by picture, not pooled over the batch')
    p.add_argument('--negatives', help='folder written by negatives.py')
    p.add_argument('--depth', type=int, default=17)
    p.add_argument('--width', type=int, default=96)
    p.add_argument('--features', type=int, default=32)
    p.add_argument('--long-side', type=int, default=512)
    p.add_argument('--sides', type=int, nargs='*', default=[448, 512, 640])
    p.add_argument('--shares', type=float, nargs=4, default=[0.5, 0.15, 0.2, 0.15], help='photo, negative, render, hard render')
    p.add_argument('--leave-out', nargs='*', default=[])
    p.add_argument('--mine', action='store_true')
    p.add_argument('--all', action='store_true', help='train on val too')
    return p


if __name__ == '__main__':
    run(parser().parse_args())
