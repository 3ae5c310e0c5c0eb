"""Writes the five reference pictures with the preprocessed mean and spread and PyTorch's output for each."""
import argparse
import json

import cv2
import numpy as np
import torch

from data import read_rgb
from evaluate import prepare
from export import load_state
from net import Exported

p = argparse.ArgumentParser()
p.add_argument('state')
p.add_argument('pictures', nargs=5)
p.add_argument('--threshold', type=float, default=0.63)
p.add_argument('--out', default='../rust-segmenter/reference')
a = p.parse_args()
model = Exported(load_state(a.state), float(np.log(a.threshold / (1 - a.threshold))))
for i, path in enumerate(a.pictures):
    image = cv2.resize(read_rgb(path), (128, 96), interpolation=cv2.INTER_AREA)
    cv2.imwrite(f'{a.out}/{i + 1}.png', image[:, :, ::-1])
    x = prepare(image, 128)
    with torch.no_grad():
        logits, features = model(torch.from_numpy(x))
    channels = features.mean((2, 3))[0].tolist()
    body = {'height': 96, 'width': 128, 'mean': [float(c.mean(dtype=np.float64)) for c in x[0]], 'std': [float(c.std(dtype=np.float64)) for c in x[0]],
            'logits_height': logits.shape[2], 'logits_width': logits.shape[3], 'rust_logits': [round(v, 6) for v in logits.flatten().tolist()], 'feature_channel_means': channels}
    with open(f'{a.out}/{i + 1}.json', 'w') as f:
        json.dump(body, f)
