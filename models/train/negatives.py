"""Gathers rust-free photographs and cut-outs from unpacked Debian packages.

    for p in gcompris-qt-data tuxpaint-stamps-default gnome-backgrounds mate-backgrounds plasma-workspace-wallpapers lomiri-wallpapers-20.04; do apt-get download $p; dpkg -x ${p}_*.deb packages; done
    python negatives.py --packages packages --out negatives

Every picture was looked at: those with iron that may be rusty are left out. None is among the val or test pictures.
One photograph in five is kept from training (held-*.jpg): the clean photographs on which networks were compared.
"""
from __future__ import annotations

import argparse
import glob
import os
import re

import cv2
import numpy as np

BANKS = ('categorization', 'clickgame', 'explore_farm_animals', 'explore_monuments')
DOUBTFUL = {'categorization-629107'}  # a worn hammer on a stained board
WALLPAPERS = (
    'gnome/wood-d', 'gnome/wood-l', 'gnome/truchet-l', 'gnome/grid-l', 'mate/nature/*', 'Fossa_by_Jasper_Roks', 'Kleiber_by_Lukas_Baubkus',
    *(f'wallpapers/{n}/contents/images/*' for n in (
        'FallenLeaf', 'Opal', 'Path', 'DarkestHour', 'Volna', 'Autumn', 'EveningGlow', 'Grey', 'Kite', 'ColorfulCups',
        'OneStandsOut', 'ColdRipple', 'Honeywave', 'Shell', 'BytheWater', 'summer_1am')),
)
CUTOUTS = ('food/', 'animals/', 'plants/', 'hobbies/music/', 'sports/')
DRAWN = re.compile('cartoon|seasonal|symbols|pixel')
SIDE, CUTOUT_SIDE = 480, 240


def shrink(image: np.ndarray, side: int) -> np.ndarray:
    scale = side / max(image.shape[:2])
    if scale >= 1:
        return image
    return cv2.resize(image, (round(image.shape[1] * scale), round(image.shape[0] * scale)), interpolation=cv2.INTER_AREA)


def pictures_in_bank(path: str) -> list[tuple[str, np.ndarray]]:
    """WebP pictures inside a Qt resource file, found by their headers."""
    with open(path, 'rb') as f:
        data = f.read()
    name, out = os.path.basename(path)[:-4], []
    for m in re.finditer(rb'RIFF....WEBP', data, re.S):
        size = int.from_bytes(data[m.start() + 4 : m.start() + 8], 'little') + 8
        image = cv2.imdecode(np.frombuffer(data[m.start() : m.start() + size], np.uint8), cv2.IMREAD_COLOR)
        if image is not None and min(image.shape[:2]) >= 240 and image.std() > 12:
            out.append((f'{name}-{m.start()}', image))
    return out


def main() -> None:
    p = argparse.ArgumentParser()
    p.add_argument('--packages', required=True, help='folder of unpacked packages')
    p.add_argument('--out', required=True)
    a = p.parse_args()
    os.makedirs(a.out, exist_ok=True)
    share = f'{a.packages}/usr/share'
    photos = [q for bank in BANKS for q in pictures_in_bank(f'{share}/gcompris-qt/rcc/{bank}.rcc')]
    photos = [q for q in photos if q[0] not in DOUBTFUL]
    for pattern in WALLPAPERS:
        found = sorted(q for folder in ('backgrounds', '') for q in glob.glob(f'{share}/{folder}/{pattern}*') if os.path.isfile(q))
        for path in found if 'nature' in pattern else found[:1]:
            photos.append((re.sub(r'\W+', '-', pattern.rstrip('*')).strip('-') + '-' + os.path.basename(path)[:-4], cv2.imread(path, cv2.IMREAD_COLOR)))
    for i, (name, image) in enumerate(photos):
        cv2.imwrite(f"{a.out}/{'held' if i % 5 == 0 else 'photo'}-{name}.jpg", shrink(image, SIDE), [cv2.IMWRITE_JPEG_QUALITY, 90])
    number = 0
    for path in sorted(glob.glob(f'{share}/tuxpaint/stamps/**/*.png', recursive=True)):
        short = path.split('/stamps/')[1]
        if not short.startswith(CUTOUTS) or DRAWN.search(short):
            continue
        image = cv2.imread(path, cv2.IMREAD_UNCHANGED)
        if image is None or image.ndim != 3 or image.shape[2] != 4 or min(image.shape[:2]) < 90:
            continue
        cv2.imwrite(f"{a.out}/cutout-{re.sub(r'[^A-Za-z0-9]+', '-', short[:-4])}.png", shrink(image, CUTOUT_SIDE))
        number += 1
    print(f'{len(photos)} photographs, {number} cut-outs')


if __name__ == '__main__':
    main()
