#!/usr/bin/python3
"""The decoder of images against OpenCV, and against pixels that are known because the file was written from them.

    pixels_check.py PIXELS_DRIVER DRAWINGS_FOLDER
"""

import pathlib
import subprocess
import sys
import tempfile

import cv2
import numpy as np

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
import image_files  # noqa: E402

faults = []
checked = 0


def decode(driver, path, most=32768):
    done = subprocess.run([driver, path, str(most)], capture_output=True, check=True)
    head, data = done.stdout.split(b"\n", 1)
    wide, tall = map(int, head.split())
    return np.frombuffer(data, np.uint8).reshape(tall, wide, 3)


def by_opencv(path):
    """8 bits over white, as red, green, blue."""
    image = cv2.imread(str(path), cv2.IMREAD_UNCHANGED)
    if image.dtype == np.uint16:
        image = np.rint(image / 257)
    if image.ndim == 2:
        image = image[:, :, None]
    if image.shape[2] == 1:
        image = np.repeat(image, 3, axis=2)
    if image.shape[2] == 4:
        image = image_files.over_white(image[:, :, :3].astype(float), image[:, :, 3:].astype(float), 255)
    return image[:, :, ::-1]


def compare(what, got, wanted, most):
    global checked
    checked += 1
    if got.shape != wanted.shape:
        faults.append(f"{what}: {got.shape} where {wanted.shape} is wanted")
        return
    apart = np.abs(got.astype(float) - wanted.astype(float)).max()
    if apart > most:
        faults.append(f"{what}: up to {apart:g} levels apart")


def check_pngs(driver, folder):
    for wide, tall in ((1, 1), (3, 2), (9, 7), (37, 23)):
        for name, data, pixels in image_files.pngs(wide, tall, wide):
            path = folder / name
            path.write_bytes(data)
            got = decode(driver, path)
            compare(f"{name} as written", got, pixels, 1 if "kind4" in name or "kind6" in name else 0)
            compare(f"{name} by OpenCV", got, by_opencv(path), 1)


def check_jpegs(driver, folder):
    for wide, tall in ((1, 1), (24, 17), (333, 211)):
        for name, data in [*image_files.jpegs(wide, tall), *image_files.oriented(wide, tall)]:
            path = folder / name
            path.write_bytes(data)
            image = cv2.imread(str(path), cv2.IMREAD_COLOR)  # turns by the Exif tag
            compare(f"{name} by OpenCV", decode(driver, path), image[:, :, ::-1], 0)


def check_turned_pngs(driver, folder):
    """OpenCV turns JPEGs only: the turned PNG is what the turned JPEG's tag makes of the same pixels."""
    image = image_files.scenery(17, 9)[:, :, ::-1]
    turned = {1: image, 2: image[:, ::-1], 3: image[::-1, ::-1], 4: image[::-1], 5: image.swapaxes(0, 1),
              6: np.rot90(image, -1), 7: image[::-1, ::-1].swapaxes(0, 1), 8: np.rot90(image)}
    for orientation, wanted in turned.items():
        path = folder / f"turned{orientation}.png"
        path.write_bytes(image_files.png_bytes(image, image_files.RGB, 8, exif=image_files.exif_of(orientation)))
        compare(path.name, decode(driver, path), wanted, 0)


def check_shrunk(driver, folder):
    """PNGs by OpenCV's own mean of areas; JPEGs, which are made smaller in steps of two before, by where things are: the red of
    the scenery says how far across a pixel is, the green how far down, so a pixel beside its place shows."""
    image = image_files.scenery(5003, 1201)
    path = folder / "large.png"
    path.write_bytes(image_files.png_bytes(image[:, :, ::-1], image_files.RGB, 8))
    for most in (2400, 1000, 333):
        size = (most, round(1201 * most / 5003))
        wanted = cv2.resize(image, size, interpolation=cv2.INTER_AREA)[:, :, ::-1]
        compare(f"large.png to {most} px", decode(driver, path, most), wanted, 1)
        path.with_suffix(".jpg").write_bytes(cv2.imencode(".jpg", image, [cv2.IMWRITE_JPEG_QUALITY, 98])[1].tobytes())
        got = decode(driver, path.with_suffix(".jpg"), most)
        compare(f"large.jpg to {most} px", got[:, :, :2], wanted[:, :, :2], 4)


def main():
    driver, drawings = sys.argv[1], pathlib.Path(sys.argv[2])
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        for check in (check_pngs, check_jpegs, check_turned_pngs, check_shrunk):
            check(driver, folder)
    pictures = sorted(drawings.glob("*.png"))
    for path in pictures:
        compare(f"{path.name} by OpenCV", decode(driver, path), by_opencv(path), 0)
    if len(pictures) < 12:
        faults.append(f"only {len(pictures)} drawings in {drawings}")
    print("\n".join(faults) or f"{checked} images agree with OpenCV and with what they were written from")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
