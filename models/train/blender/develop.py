"""Linear light to a phone's photograph: noise of the renderer taken out, then exposure, white balance, tone, blur, grain."""
from __future__ import annotations

import cv2
import numpy as np


def calm(light: np.ndarray, albedo: np.ndarray, normal: np.ndarray, rounds: int = 4) -> np.ndarray:
    """Edge-stopping wavelet filter of what falls on the surfaces (Dammertz and others 2010); their own colour stays untouched."""
    albedo = np.maximum(albedo, 0.04)
    fall = np.minimum(light / albedo, 60)
    kernel = np.array([1, 4, 6, 4, 1]) / 16
    pad = lambda a, k: cv2.copyMakeBorder(a, 2 * k, 2 * k, 2 * k, 2 * k, cv2.BORDER_REPLICATE)
    h, w = light.shape[:2]
    for i in range(rounds):
        step = 2**i
        wide, sides, tints = pad(fall, step), pad(normal, step), pad(albedo, step)
        guide = np.log(cv2.GaussianBlur(fall, (0, 0), 1.2) + 0.05).mean(axis=2)
        guides = pad(guide, step)
        total, weight = np.zeros_like(fall), np.zeros((h, w, 1), np.float32)
        for y in range(5):
            for x in range(5):
                view = np.s_[y * step : y * step + h, x * step : x * step + w]
                d = ((sides[view] - normal) ** 2).sum(axis=2) / 0.06 + ((tints[view] - albedo) ** 2).sum(axis=2) / 0.05 + (guides[view] - guide) ** 2 / (0.09 * 0.5**i)
                k = (kernel[y] * kernel[x] * np.exp(-d))[..., None].astype(np.float32)
                total += k * wide[view]
                weight += k
        fall = total / weight
    return fall * albedo


def develop(linear: np.ndarray, r: np.random.Generator) -> np.ndarray:
    """(height, width, 3) of linear light to sRGB bytes."""
    h, w = linear.shape[:2]
    u = r.uniform
    luma = linear @ np.array([0.21, 0.72, 0.07], np.float32)
    inner = luma[h // 5 : -h // 5, w // 5 : -w // 5]
    x = linear * (u(0.13, 0.3) / max(float(np.exp(np.mean(np.log(inner + 0.01)))), 1e-3))
    # The camera takes out most of the lamp's colour, never all.
    mean = np.maximum(x.reshape(-1, 3).mean(axis=0), 1e-4)
    x = x * (mean.mean() / mean) ** u(0.3, 0.75)
    warm = r.normal(0, 0.08)
    x = x * np.exp(np.array([warm, r.normal(0, 0.03), -warm]))
    yy, xx = np.mgrid[0:h, 0:w]
    x = x * (1 - u(0, 0.6) * ((xx / w - 0.5) ** 2 + (yy / h - 0.5) ** 2))[..., None]
    x = x.astype(np.float32)
    x = 0.95 * x + 0.05 * cv2.GaussianBlur(np.minimum(x, 4), (0, 0), w / 50)
    x = np.clip(1.22 * x * (1 + x / 12) / (1 + x), 0, 1) ** (1 / 2.2)
    x = x + u(0.05, 0.2) * (x - 0.5) * (1 - np.abs(2 * x - 1))
    if r.random() < 0.35:
        x = cv2.GaussianBlur(x, (0, 0), u(0.4, 1.1))
    grain = r.normal(0, u(0.002, 0.018), x.shape).astype(np.float32)
    x = x + 0.5 * grain + 0.8 * cv2.GaussianBlur(grain, (0, 0), 0.9)
    x = x + u(0, 0.5) * (x - cv2.GaussianBlur(x, (0, 0), 1.4))
    return (np.clip(x, 0, 1) * 255 + 0.5).astype(np.uint8)
