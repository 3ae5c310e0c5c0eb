"""Writes model.onnx (weights stored as float16, computed in float32) from a trained state."""
from __future__ import annotations

import argparse
import hashlib

import numpy as np
import onnx
import torch
from torch.nn.utils.fusion import fuse_conv_bn_eval
from onnx import TensorProto, helper, numpy_helper

from net import Exported, Segmenter


def load_state(path: str) -> Segmenter:
    saved = torch.load(path, map_location='cpu', weights_only=False)
    a = saved['args']
    model = Segmenter(a['depth'], a['width'], a['features'])
    model.load_state_dict({k: v.float() if v.dtype.is_floating_point else v for k, v in saved['state'].items()})
    model.eval()
    fold(model)
    round_weights(model)
    return model


def fold(module: torch.nn.Module) -> None:
    """Fold each batch normalisation into the convolution before it and round weights as the file stores them."""
    for child in module.children():
        fold(child)
    if isinstance(module, torch.nn.Sequential):
        for i in range(len(module) - 1):
            if isinstance(module[i], torch.nn.Conv2d) and isinstance(module[i + 1], torch.nn.BatchNorm2d):
                module[i] = fuse_conv_bn_eval(module[i], module[i + 1])
                module[i + 1] = torch.nn.Identity()


def round_weights(model: torch.nn.Module) -> None:
    for p in model.parameters():
        if p.numel() >= 64:
            p.data = p.data.half().float()


def halve_weights(graph: onnx.GraphProto) -> None:
    """Store large float32 initialisers as float16 with a Cast in front; onnxruntime folds the Cast when loading."""
    casts, kept = [], []
    for t in graph.initializer:
        if t.data_type == TensorProto.FLOAT and int(np.prod(t.dims)) >= 64:
            half = numpy_helper.from_array(numpy_helper.to_array(t).astype(np.float16), t.name + '_half')
            kept.append(half)
            casts.append(helper.make_node('Cast', [half.name], [t.name], to=TensorProto.FLOAT, name=t.name + '_cast'))
        else:
            kept.append(t)
    nodes = list(graph.node)
    del graph.initializer[:]
    graph.initializer.extend(kept)
    del graph.node[:]
    graph.node.extend(casts + nodes)


def export(model: torch.nn.Module, path: str) -> str:
    """Write the file and return its sha256."""
    torch.onnx.export(
        model, (torch.zeros(1, 3, 256, 320),), path, dynamo=False, opset_version=17, do_constant_folding=True,
        input_names=['image'], output_names=['rust_logits', 'features'],
        dynamic_axes={'image': {2: 'height', 3: 'width'}, 'rust_logits': {2: 'height4', 3: 'width4'}, 'features': {2: 'height4', 3: 'width4'}},
    )
    proto = onnx.load(path)
    halve_weights(proto.graph)
    onnx.checker.check_model(proto)
    onnx.save(proto, path)
    with open(path, 'rb') as f:
        return hashlib.sha256(f.read()).hexdigest()


if __name__ == '__main__':
    p = argparse.ArgumentParser()
    p.add_argument('state')
    p.add_argument('out')
    p.add_argument('--threshold', type=float, default=0.5)
    a = p.parse_args()
    shift = float(np.log(a.threshold / (1 - a.threshold)))
    print(export(Exported(load_state(a.state), shift), a.out))
