#!/usr/bin/python3
"""How long a resection takes, and how much longer or shorter OpenCV for the same points, in processor time. Prints, and
judges nothing.

    tests/bench/resect_bench.py RESECT_DRIVER

OpenCV is called from Python: what such a call costs by itself is told beside it (cv2.Rodrigues, which does next to
nothing with a small array; solvePnP takes four arrays apart).
"""

import pathlib
import statistics
import subprocess
import sys
import time

import cv2
import numpy as np

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "external"))
import resect_opencv as checks  # noqa: E402

POINTS, NOISE_PX, SCENES, TIMES = 12, 2, 40, 300


def each_us(call, times):
    start = time.process_time()
    for _ in range(times):
        call()
    return 1e6 * (time.process_time() - start) / times


def scenes(bent):
    rng = np.random.default_rng(5)
    for _ in range(SCENES):
        points, camera = checks.random_scene(rng, POINTS, bent)
        pixels = checks.project(points, *camera) + rng.normal(0, NOISE_PX, (POINTS, 2))
        yield points, pixels, camera


def ours_us(driver, problems):
    text = "".join(checks.problem_text(*problem) for problem in problems)
    done = subprocess.run([driver, str(TIMES)], input=text, text=True, capture_output=True, check=True)
    return [float(line) for line in done.stdout.split()]


def row(name, ours, theirs):
    ours, theirs = statistics.median(ours), statistics.median(theirs)
    print(f"{name:32} {ours:8.1f} us   OpenCV {theirs:8.1f} us   ours takes {ours / theirs:.2f} of that")


def main():
    driver = sys.argv[1]
    cv2.setNumThreads(1)
    rvec = np.array([0.1, 0.2, 0.3])
    print(f"{POINTS} points, {NOISE_PX} px, median of {SCENES} scenes; "
          f"a call into OpenCV alone: {each_us(lambda: cv2.Rodrigues(rvec), 5000):.1f} us")
    known = list(scenes(False))
    row("pose", ours_us(driver, [(points, pixels, camera[2], False) for points, pixels, camera in known]),
        [each_us(lambda: cv2.solvePnP(points, pixels, matrix, None, flags=cv2.SOLVEPNP_ITERATIVE), TIMES)
         for points, pixels, camera in known for matrix in [checks.camera_matrix(camera[2])]])
    flags = (cv2.CALIB_USE_INTRINSIC_GUESS | cv2.CALIB_FIX_PRINCIPAL_POINT | cv2.CALIB_FIX_ASPECT_RATIO |
             cv2.CALIB_ZERO_TANGENT_DIST | cv2.CALIB_FIX_K2 | cv2.CALIB_FIX_K3)
    for name, bent in (("pose and focal length", False), ("pose, focal length and k1", True)):
        these = list(scenes(bent))
        theirs = []
        for points, pixels, camera in these:
            single, seen = [points.astype(np.float32)], [pixels.astype(np.float32)]
            guess, fixed = checks.camera_matrix(camera[2] * 1.05), flags | (0 if bent else cv2.CALIB_FIX_K1)
            theirs.append(each_us(lambda: cv2.calibrateCamera(single, seen, (checks.WIDE, checks.TALL), guess.copy(),
                                                              np.zeros(5), flags=fixed), TIMES // 10))
        row(name, ours_us(driver, [(points, pixels, 0, bent) for points, pixels, _ in these]), theirs)


if __name__ == "__main__":
    main()
