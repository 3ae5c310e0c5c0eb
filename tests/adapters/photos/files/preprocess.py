"""Writes preprocess.json: what the network's input must be for a small picture, reckoned in Python's own doubles.

Run from anywhere: python3 preprocess.py
"""
import json
import pathlib

HEIGHT, WIDTH = 4, 5
SCALE, MEAN, STD = 1 / 255, (0.5, 0.5, 0.5), (0.5, 0.5, 0.5)
data = [(37 * i + 11 * (i // 7)) % 256 for i in range(HEIGHT * WIDTH * 3)]
planes = [
    (data[(row * WIDTH + col) * 3 + c] * SCALE - MEAN[c]) / STD[c]
    for c in range(3)
    for row in range(HEIGHT)
    for col in range(WIDTH)
]
here = pathlib.Path(__file__).with_name('preprocess.json')
here.write_text(json.dumps({'height': HEIGHT, 'width': WIDTH, 'data': data, 'input': [round(v, 9) for v in planes]}) + '\n')
