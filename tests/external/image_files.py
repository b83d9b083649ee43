#!/usr/bin/python3
"""Small images of every kind that a decoder has to know: PNGs written here from the specification (W3C PNG, 3rd edition),
JPEGs by OpenCV, and Exif's orientation put into both (CIPA DC-008, 4.6.5.1). `python3 image_files.py FOLDER` writes them, as
seeds for tests/fuzz.sh."""

import pathlib
import struct
import sys
import zlib

import cv2
import numpy as np

GREY, RGB, PALETTE, GREY_ALPHA, RGBA = 0, 2, 3, 4, 6
DEPTHS = {GREY: (1, 2, 4, 8, 16), RGB: (8, 16), PALETTE: (1, 2, 4, 8), GREY_ALPHA: (8, 16), RGBA: (8, 16)}
CHANNELS = {GREY: 1, RGB: 3, PALETTE: 1, GREY_ALPHA: 2, RGBA: 4}
# Adam7: first column and row of each pass, and the steps (PNG, 8.2).
PASSES = ((0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2))


def chunk(kind, data):
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def rows_of(samples, depth):
    """Scan lines with filter type 0, samples packed from the high bits (PNG, 7.2)."""
    tall = samples.shape[0]
    flat = samples.reshape(tall, -1)
    if depth == 16:
        packed = flat.astype(">u2").view(np.uint8).reshape(tall, -1)
    elif depth == 8:
        packed = flat.astype(np.uint8)
    else:
        bits = (flat[:, :, None].astype(np.uint8) >> np.arange(depth - 1, -1, -1, dtype=np.uint8)) & 1
        packed = np.packbits(bits.reshape(tall, -1), axis=1)
    return b"".join(b"\0" + row.tobytes() for row in packed)


def png_bytes(samples, kind, depth, interlaced=False, palette=None, transparent=None, exif=None):
    tall, wide = samples.shape[:2]
    if interlaced:
        parts = (samples[y::dy, x::dx] for x, y, dx, dy in PASSES)
        data = b"".join(rows_of(part, depth) for part in parts if part.size)
    else:
        data = rows_of(samples, depth)
    out = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", wide, tall, depth, kind, 0, 0, interlaced))
    if exif:
        out += chunk(b"eXIf", exif)
    if palette is not None:
        out += chunk(b"PLTE", palette.astype(np.uint8).tobytes())
    if transparent is not None:
        out += chunk(b"tRNS", transparent)
    return out + chunk(b"IDAT", zlib.compress(data)) + chunk(b"IEND", b"")


def exif_of(orientation, little=False):
    order = "<" if little else ">"
    return (b"II" if little else b"MM") + struct.pack(order + "HIHHHIHHI", 42, 8, 1, 0x0112, 3, 1, orientation, 0, 0)


def oriented_jpeg(jpeg, orientation, little):
    data = b"Exif\0\0" + exif_of(orientation, little)
    return jpeg[:2] + b"\xff\xe1" + struct.pack(">H", len(data) + 2) + data + jpeg[2:]


def over_white(rgb, alpha, most):
    return np.rint((rgb * alpha + most * (most - alpha)) / most)


def truth(samples, kind, depth, palette, alphas):
    """8 bits of red, green and blue, over white, worked out here."""
    if kind == PALETTE:
        return over_white(palette[samples[:, :, 0]], alphas[samples[:, :, 0]][:, :, None], 255)
    most = 2**depth - 1
    eight = np.rint(samples * (255 / most))
    color = eight[:, :, :3] if kind in (RGB, RGBA) else np.repeat(eight[:, :, :1], 3, axis=2)
    return over_white(color, eight[:, :, -1:], 255) if kind in (GREY_ALPHA, RGBA) else color


def pngs(wide, tall, seed):
    """Name, bytes of the file, the pixels it means."""
    random = np.random.default_rng(seed)
    for kind, depths in DEPTHS.items():
        for depth in depths:
            samples = random.integers(0, 2**depth, (tall, wide, CHANNELS[kind]))
            palette = random.integers(0, 256, (2**depth, 3)) if kind == PALETTE else None
            alphas = random.integers(0, 256, 2**depth)
            transparent = alphas.astype(np.uint8).tobytes() if kind == PALETTE else None
            pixels = truth(samples, kind, depth, palette, alphas)
            for interlaced in (False, True):
                name = f"{wide}x{tall}-kind{kind}-{depth}bit{'-interlaced' if interlaced else ''}.png"
                yield name, png_bytes(samples, kind, depth, interlaced, palette, transparent), pixels


def scenery(wide, tall):
    """Smooth and sharp parts, in colours: red says how far across, green how far down."""
    y, x = np.mgrid[0:tall, 0:wide]
    blue = np.where((x // 16 + y // 16) % 2 == 0, 60, 190)
    return np.dstack([blue, 255 * y / max(tall - 1, 1), 255 * x / max(wide - 1, 1)]).astype(np.uint8)


def jpegs(wide, tall):
    image = scenery(wide, tall)
    kinds = {"baseline": [], "progressive": [cv2.IMWRITE_JPEG_PROGRESSIVE, 1], "coarse": [cv2.IMWRITE_JPEG_QUALITY, 20],
             "restarts": [cv2.IMWRITE_JPEG_RST_INTERVAL, 2], "optimised": [cv2.IMWRITE_JPEG_OPTIMIZE, 1]}
    for name, options in kinds.items():
        yield f"{wide}x{tall}-{name}.jpg", cv2.imencode(".jpg", image, options)[1].tobytes()
    yield f"{wide}x{tall}-grey.jpg", cv2.imencode(".jpg", image[:, :, 2])[1].tobytes()


def oriented(wide, tall):
    jpeg = cv2.imencode(".jpg", scenery(wide, tall))[1].tobytes()
    for orientation in range(1, 9):
        yield f"{wide}x{tall}-turned{orientation}.jpg", oriented_jpeg(jpeg, orientation, orientation % 2 == 0)


def main():
    folder = pathlib.Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    for name, data, _ in pngs(9, 7, 1):
        (folder / name).write_bytes(data)
    for name, data in [*jpegs(24, 17), *oriented(17, 9)]:
        (folder / name).write_bytes(data)


if __name__ == "__main__":
    main()
