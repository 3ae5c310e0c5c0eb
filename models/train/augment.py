"""Augmentation on the GPU, a batch at a time. Pictures are (N, 3, H, W) float in 0 ... 1."""
from __future__ import annotations

import math

import torch
import torch.nn.functional as F


def uniform(n: int, low: float, high: float, g: torch.Generator) -> torch.Tensor:
    return torch.rand(n, generator=g, device=g.device) * (high - low) + low


def chance(n: int, p: float, g: torch.Generator) -> torch.Tensor:
    return torch.rand(n, generator=g, device=g.device) < p


def grids(n: int, size: int, g: torch.Generator, zoom: tuple[float, float] = (0.75, 2.2)) -> torch.Tensor:
    """Sampling grids: turn, flip, zoom, stretch, shear, shift and a little perspective."""
    dev = g.device
    turn = torch.where(chance(n, 0.5, g), uniform(n, -math.pi, math.pi, g), uniform(n, -0.25, 0.25, g))
    z = torch.exp(uniform(n, math.log(zoom[0]), math.log(zoom[1]), g))
    stretch = torch.exp(uniform(n, -0.25, 0.25, g))
    flip = torch.where(chance(n, 0.5, g), 1.0, -1.0)
    c, s = torch.cos(turn), torch.sin(turn)
    sx, sy = flip / z * stretch, 1 / z / stretch
    room = (1.1 - 1 / z).clamp(min=0.1)
    tx, ty = (uniform(n, -1, 1, g) * room for _ in range(2))
    px, py = (uniform(n, -0.2, 0.2, g) for _ in range(2))
    axis = (torch.arange(size, device=dev) + 0.5) / size * 2 - 1
    y, x = torch.meshgrid(axis, axis, indexing='ij')
    x, y = x[None], y[None]
    v = lambda t: t[:, None, None]
    w = 1 + v(px) * x + v(py) * y
    u = (v(c) * x - v(s) * y) * v(sx) / w + v(tx)
    t = (v(s) * x + v(c) * y) * v(sy) / w + v(ty)
    return torch.stack([u, t], -1)


def smooth_field(n: int, size: int, cells: int, g: torch.Generator) -> torch.Tensor:
    """Random smooth field of mean 0 and unit spread, (N, 1, size, size)."""
    low = torch.randn(n, 1, cells, cells, generator=g, device=g.device)
    return F.interpolate(low, size=(size, size), mode='bicubic', align_corners=False)


def blur(x: torch.Tensor, sigma: float) -> torch.Tensor:
    radius = max(1, int(3 * sigma))
    t = torch.arange(-radius, radius + 1, device=x.device, dtype=x.dtype)
    k = torch.exp(-t * t / (2 * sigma * sigma))
    k = k / k.sum()
    c = x.shape[1]
    x = F.conv2d(F.pad(x, (radius, radius, 0, 0), mode='reflect'), k.view(1, 1, 1, -1).expand(c, 1, 1, -1), groups=c)
    return F.conv2d(F.pad(x, (0, 0, radius, radius), mode='reflect'), k.view(1, 1, -1, 1).expand(c, 1, -1, 1), groups=c)


def colour(x: torch.Tensor, g: torch.Generator, strength: float = 1.0) -> torch.Tensor:
    """Casts, exposure, contrast, saturation, a slight hue turn, shade, local contrast, blur, noise, blocks."""
    n, _, size, _ = x.shape
    v = lambda t: t[:, None, None, None]
    # local contrast, up as adaptive equalisation does or down as haze does
    local = F.interpolate(blur(F.avg_pool2d(x, 8), 1.5), size=(size, size), mode='bilinear', align_corners=False)
    x = x + v(torch.where(chance(n, 0.5, g), uniform(n, -0.35, 0.9, g), 0.0)) * (x - local)
    # hue turn within +-8 degrees and saturation, in a luma-chroma space
    luma = (x * x.new_tensor([0.299, 0.587, 0.114]).view(1, 3, 1, 1)).sum(1, keepdim=True)
    cb, cr = (x[:, 2:3] - luma), (x[:, 0:1] - luma)
    a = v(uniform(n, -0.14, 0.14, g) * strength)
    sat = v(torch.exp(uniform(n, -0.6, 0.5, g) * strength))
    cb, cr = sat * (torch.cos(a) * cb - torch.sin(a) * cr), sat * (torch.sin(a) * cb + torch.cos(a) * cr)
    red, blue = luma + cr, luma + cb
    green = (luma - 0.299 * red - 0.114 * blue) / 0.587
    x = torch.cat([red, green, blue], 1).clamp(0, 1)
    # exposure, gamma, contrast
    x = x.clamp(1e-4, 1) ** v(torch.exp(uniform(n, -0.45, 0.45, g) * strength))
    x = (x - 0.5) * v(torch.exp(uniform(n, -0.35, 0.35, g) * strength)) + 0.5 + v(uniform(n, -0.12, 0.12, g) * strength)
    # warm, cool and green casts
    cast = torch.exp(torch.randn(n, 3, generator=g, device=g.device) * 0.10 * strength)
    warm = uniform(n, -0.22, 0.22, g) * strength * chance(n, 0.5, g)
    cast = cast * torch.exp(torch.stack([warm, torch.zeros_like(warm), -warm], 1))
    x = x * cast[:, :, None, None]
    # soft or hard shade
    shade = smooth_field(n, size, 4, g)
    hard = torch.sigmoid(shade * 12)
    shade = torch.where(v(chance(n, 0.5, g)), hard, torch.sigmoid(shade * 1.5))
    x = x * (1 - v(uniform(n, 0.0, 0.6, g) * chance(n, 0.4, g)) * shade)
    # blur and coarse sampling
    which = chance(n, 0.3, g)
    x = torch.where(v(which), blur(x, 1.2), x)
    which = chance(n, 0.12, g)
    x = torch.where(v(which), blur(x, 2.5), x)
    which = chance(n, 0.2, g)
    small = F.interpolate(x, scale_factor=0.5, mode='area')
    x = torch.where(v(which), F.interpolate(small, size=(size, size), mode='bilinear', align_corners=False), x)
    # noise: fine and blotched
    x = x + torch.randn(x.shape, generator=g, device=x.device) * v(uniform(n, 0.0, 0.05, g) * chance(n, 0.5, g))
    coarse = F.interpolate(torch.randn(n, 3, size // 4, size // 4, generator=g, device=x.device), size=(size, size))
    x = x + coarse * v(uniform(n, 0.0, 0.03, g) * chance(n, 0.3, g))
    return x.clamp(0, 1)


def boxes(n: int, size: int, low: float, high: float, g: torch.Generator) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor]:
    """A turned rectangle a picture: local coordinates u, v in -1 ... 1 inside, and the inside mask (N, 1, H, W)."""
    dev = g.device
    half = uniform(n, low, high, g)
    ratio = torch.exp(uniform(n, -0.5, 0.5, g))
    cx, cy, a = uniform(n, -0.9, 0.9, g), uniform(n, -0.9, 0.9, g), uniform(n, -math.pi, math.pi, g)
    axis = (torch.arange(size, device=dev) + 0.5) / size * 2 - 1
    y, x = torch.meshgrid(axis, axis, indexing='ij')
    w = lambda t: t[:, None, None]
    dx, dy = x[None] - w(cx), y[None] - w(cy)
    u = (w(torch.cos(a)) * dx + w(torch.sin(a)) * dy) / w(half * ratio)
    v = (-w(torch.sin(a)) * dx + w(torch.cos(a)) * dy) / w(half / ratio)
    inside = ((u.abs() < 1) & (v.abs() < 1))[:, None]
    return u, v, inside


def paste_cards(x: torch.Tensor, target: torch.Tensor, g: torch.Generator, p: float) -> tuple[torch.Tensor, torch.Tensor]:
    """Paste a black-and-white chequered card, so that a card says nothing about rust."""
    n, _, size, _ = x.shape
    u, v, inside = boxes(n, size, 0.05, 0.16, g)
    inside = inside & chance(n, p, g)[:, None, None, None]
    bits = (torch.rand(n, 6, 6, generator=g, device=g.device) > 0.5).float()
    bits[:, 0, :] = 0
    bits[:, -1, :] = 0
    bits[:, :, 0] = 0
    bits[:, :, -1] = 0
    iu = ((u.clamp(-0.999, 0.999) + 1) * 3).long()
    iv = ((v.clamp(-0.999, 0.999) + 1) * 3).long()
    at = torch.arange(n, device=g.device)[:, None, None]
    card = bits[at, iv, iu][:, None] * 0.8 + 0.08
    return torch.where(inside, card, x), torch.where(inside, torch.zeros_like(target), target)


def erase(x: torch.Tensor, target: torch.Tensor, g: torch.Generator, p: float) -> tuple[torch.Tensor, torch.Tensor]:
    """Paint out a rectangle in one random colour."""
    n, _, size, _ = x.shape
    _, _, inside = boxes(n, size, 0.05, 0.3, g)
    inside = inside & chance(n, p, g)[:, None, None, None]
    fill = torch.rand(n, 3, 1, 1, generator=g, device=g.device)
    return torch.where(inside, fill, x), torch.where(inside, torch.zeros_like(target), target)


def transplant(x: torch.Tensor, target: torch.Tensor, weight: torch.Tensor, g: torch.Generator, p: float) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor]:
    """Lay the rust of one picture over another, with a soft edge, so that its surroundings say less about it."""
    n = x.shape[0]
    other = torch.randperm(n, generator=g, device=x.device)
    use = chance(n, p, g)[:, None, None, None]
    rust = blur(F.max_pool2d(target[other], 5, 1, 2), 1.5) * use
    solid = (rust > 0.5).float()
    x = x * (1 - rust) + x[other] * rust
    return x, torch.maximum(target, solid * target[other]), torch.where(solid > 0, weight[other], weight)
