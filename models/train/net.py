"""The network: MobileNetV2 (output stride 16) with a light decoder that ends at quarter resolution.

Input  (N, 3, H, W) float32, RGB, sRGB bytes scaled to -1 ... 1; H and W multiples of 32.
Output rust_logits (N, 1, H/4, W/4) and features (N, F, H/4, W/4), F = 32 by default.
"""
from __future__ import annotations

import numpy as np
import torch
import torch.nn as nn
import torch.nn.functional as F

# expand factor, channels out, stride, dilation of each inverted-residual block of the published encoder
BLOCKS = (
    (1, 16, 1, 1),
    (6, 24, 2, 1), (6, 24, 1, 1),
    (6, 32, 2, 1), (6, 32, 1, 1), (6, 32, 1, 1),
    (6, 64, 2, 1), (6, 64, 1, 1), (6, 64, 1, 1), (6, 64, 1, 1),
    (6, 96, 1, 1), (6, 96, 1, 1), (6, 96, 1, 1),
    (6, 160, 1, 1), (6, 160, 1, 2), (6, 160, 1, 2), (6, 320, 1, 2),
)


def conv(inp: int, out: int, kernel: int, stride: int = 1, dilation: int = 1, groups: int = 1) -> nn.Conv2d:
    return nn.Conv2d(inp, out, kernel, stride, dilation * (kernel // 2), dilation, groups)


class Inverted(nn.Module):
    """Inverted residual block; batch normalisation is already folded into the published weights."""

    def __init__(self, inp: int, expand: int, out: int, stride: int, dilation: int):
        super().__init__()
        mid = inp * expand
        self.expand = conv(inp, mid, 1) if expand != 1 else None
        self.depthwise = conv(mid, mid, 3, stride, dilation, mid)
        self.project = conv(mid, out, 1)
        self.residual = stride == 1 and inp == out

    def forward(self, x: torch.Tensor) -> torch.Tensor:
        y = F.relu6(self.expand(x)) if self.expand is not None else x
        y = self.project(F.relu6(self.depthwise(y)))
        return x + y if self.residual else y


class Encoder(nn.Module):
    def __init__(self, depth: int = 17):
        super().__init__()
        self.stem = conv(3, 32, 3, 2)
        blocks, inp = [], 32
        for expand, out, stride, dilation in BLOCKS[:depth]:
            blocks.append(Inverted(inp, expand, out, stride, dilation))
            inp = out
        self.blocks = nn.ModuleList(blocks)
        self.channels = inp

    def forward(self, x: torch.Tensor) -> dict[int, torch.Tensor]:
        x = F.relu6(self.stem(x))
        seen = {}
        for i, block in enumerate(self.blocks):
            x = block(x)
            if i in (0, 2, 5, 12):
                seen[i] = x
        seen[-1] = x
        return seen

    def load(self, path: str) -> None:
        """Fill from the npz of published weights (float16, O I H W)."""
        data = np.load(path)
        own = self.state_dict()
        for name in own:
            key = name.replace('blocks.', 'block')
            value = torch.from_numpy(np.asarray(data[key]).astype(np.float32))
            if value.shape != own[name].shape:
                raise ValueError(f'Cannot load {key}: wanted {tuple(own[name].shape)}, found {tuple(value.shape)}')
            own[name] = value
        self.load_state_dict(own)


class ConvBn(nn.Sequential):
    def __init__(self, inp: int, out: int, kernel: int = 3, dilation: int = 1, groups: int = 1):
        super().__init__(
            nn.Conv2d(inp, out, kernel, 1, dilation * (kernel // 2), dilation, groups, bias=False),
            nn.BatchNorm2d(out),
            nn.ReLU(inplace=True),
        )


class Separable(nn.Sequential):
    def __init__(self, inp: int, out: int, dilation: int = 1):
        super().__init__(ConvBn(inp, inp, 3, dilation, inp), ConvBn(inp, out, 1))


class Segmenter(nn.Module):
    def __init__(self, depth: int = 17, width: int = 96, features: int = 32):
        super().__init__()
        self.encoder = Encoder(depth)
        c = self.encoder.channels
        self.reduce = ConvBn(c, width, 1)
        self.context = nn.ModuleList([Separable(width, width, d) for d in (2, 4, 8)])
        self.pooled = nn.Sequential(nn.Conv2d(c, width, 1), nn.ReLU(inplace=True))
        self.mix = ConvBn(width * 5, width, 1)
        self.skip8 = ConvBn(32, 48, 1)
        self.up8 = nn.Sequential(ConvBn(width + 48, width, 1), Separable(width, width), Separable(width, width))
        self.skip4 = ConvBn(24, 32, 1)
        self.skip2 = nn.Sequential(nn.Conv2d(16, 24, 3, 2, 1, bias=False), nn.BatchNorm2d(24), nn.ReLU(inplace=True))
        self.up4 = nn.Sequential(ConvBn(width + 32 + 24, 64, 1), ConvBn(64, 64, 3), ConvBn(64, features, 3))
        self.presence = nn.Linear(width * 2, 1)
        self.head = nn.Conv2d(features, 1, 1)
        nn.init.constant_(self.head.bias, -2.0)

    def forward(self, x: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor]:
        """Logits, features, and the picture-wide presence logit that is already added into the logits."""
        seen = self.encoder(x)
        top = seen[-1]
        y = self.reduce(top)
        glob = self.pooled(top.mean((2, 3), keepdim=True))
        y = self.mix(torch.cat([y, *[m(y) for m in self.context], glob.expand(-1, -1, y.shape[2], y.shape[3])], 1))
        presence = self.presence(torch.cat([y.mean((2, 3)), y.amax((2, 3))], 1))
        y = F.interpolate(y, scale_factor=2.0, mode='bilinear', align_corners=False)
        y = self.up8(torch.cat([y, self.skip8(seen[5])], 1))
        y = F.interpolate(y, scale_factor=2.0, mode='bilinear', align_corners=False)
        y = self.up4(torch.cat([y, self.skip4(seen[2]), self.skip2(seen[0])], 1))
        return self.head(y) + presence[:, :, None, None], y, presence


class Exported(nn.Module):
    """What the ONNX file holds: two outputs, the threshold moved to probability 0.5, logits tempered."""

    def __init__(self, model: Segmenter, shift: float = 0.0, scale: float = 1.0):
        super().__init__()
        self.model, self.shift, self.scale = model, shift, scale

    def forward(self, image: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
        logits, features, _ = self.model(image)
        return (logits - self.shift) * self.scale, features
