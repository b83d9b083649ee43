#!/usr/bin/python3
"""Photographs' cameras as OpenCV finds them: solvePnP (iterative) and calibrateCamera on the same points.

    tests/external/resect_opencv.py RESECT_DRIVER
"""

import subprocess
import sys

import cv2
import numpy as np

WIDE, TALL, SENSOR = 6000, 4000, 36.0
MIDDLE = np.array([WIDE / 2, TALL / 2])
PX_PER_MM = WIDE / SENSOR


def rotation(turn, tilt, roll):
    """Rows right, down, forward in the set's across, back, up (docs/geometry.md, rule 61)."""
    forward = np.array([np.sin(turn) * np.cos(tilt), np.cos(turn) * np.cos(tilt), -np.sin(tilt)])
    right = np.array([np.cos(turn), -np.sin(turn), 0])
    down = np.cross(forward, right)
    return np.array([np.cos(roll) * right + np.sin(roll) * down, np.cos(roll) * down - np.sin(roll) * right, forward])


def camera_matrix(image_mm):
    return np.array([[image_mm * PX_PER_MM, 0, MIDDLE[0]], [0, image_mm * PX_PER_MM, MIDDLE[1]], [0, 0, 1]])


def project(points, lens, axes, image_mm, k1):
    rvec, _ = cv2.Rodrigues(axes)
    pixels, _ = cv2.projectPoints(points, rvec, -axes @ lens, camera_matrix(image_mm), np.array([k1, 0, 0, 0, 0]))
    return pixels.reshape(-1, 2)


class Ours:
    def __init__(self, line):
        values = [float(word) for word in line.split()]
        self.status, self.used = int(values[0]), int(values[1])
        self.lens = np.array(values[2:5])
        self.axes = np.array(values[5:14]).reshape(3, 3)
        self.image_mm, self.k1, self.rms = values[14:17]
        self.ambiguous = bool(values[17])


def problem_text(points, pixels, focal_mm, free_k1):
    lines = [f"photo {WIDE} {TALL} {SENSOR}", f"focal {focal_mm!r} 0", f"radial {'inf' if free_k1 else 0}", "sigma 2 0"]
    lines += [f"mark {' '.join(map(repr, map(float, point)))} {float(x)!r} {float(y)!r}"
              for point, (x, y) in zip(points, pixels)]
    return "\n".join(lines) + "\nsolve\n"


def ours(driver, problems):
    text = "".join(problem_text(*problem) for problem in problems)
    done = subprocess.run([driver], input=text, text=True, capture_output=True, check=True)
    return [Ours(line) for line in done.stdout.splitlines()]


def opencv_pose(points, pixels, image_mm):
    _, rvec, tvec = cv2.solvePnP(points, pixels, camera_matrix(image_mm), None, flags=cv2.SOLVEPNP_ITERATIVE)
    # its own criteria stop early: on to the minimum
    rvec, tvec = cv2.solvePnPRefineLM(points, pixels, camera_matrix(image_mm), None, rvec, tvec,
                                      (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 200, 1e-14))
    axes, _ = cv2.Rodrigues(rvec)
    return -axes.T @ tvec.ravel(), axes, image_mm, 0.0


def opencv_calibration(points, pixels, guess_mm, free_k1):
    flags = (cv2.CALIB_USE_INTRINSIC_GUESS | cv2.CALIB_FIX_PRINCIPAL_POINT | cv2.CALIB_FIX_ASPECT_RATIO |
             cv2.CALIB_ZERO_TANGENT_DIST | cv2.CALIB_FIX_K2 | cv2.CALIB_FIX_K3)
    flags |= 0 if free_k1 else cv2.CALIB_FIX_K1
    criteria = (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 500, 1e-15)
    _, matrix, bend, rvecs, tvecs = cv2.calibrateCamera([points.astype(np.float32)], [pixels.astype(np.float32)],
                                                        (WIDE, TALL), camera_matrix(guess_mm), np.zeros(5),
                                                        flags=flags, criteria=criteria)
    axes, _ = cv2.Rodrigues(rvecs[0])
    return -axes.T @ tvecs[0].ravel(), axes, matrix[0, 0] / PX_PER_MM, bend.ravel()[0]


def rms(points, pixels, camera):
    return np.sqrt(np.mean(np.sum((project(points, *camera) - pixels) ** 2, axis=1)))


def random_scene(rng, count, bent):
    image_mm = rng.uniform(28, 110)
    distance = image_mm * rng.uniform(20, 45)
    lens = np.array([rng.normal(0, 150), -distance, rng.uniform(100, 900)])
    axes = rotation(rng.normal(0, 0.06), np.arctan2(lens[2] - 150, distance) + rng.normal(0, 0.03),
                    rng.normal(0, 0.03))
    half = 0.42 * distance * SENSOR / image_mm
    points = np.column_stack([rng.uniform(-half, half, count), rng.uniform(-half, 1.5 * half, count),
                              rng.uniform(0, 0.9 * half, count)])
    # calibrateCamera keeps its points in single precision: what it is given, all are given
    points = points.astype(np.float32).astype(float)
    k1 = rng.uniform(-0.3, 0.3) if bent else 0.0
    return points, (lens, axes, image_mm, k1)


def differs(name, found, wanted, tolerance):
    """In shares of the distance, in radians, as a share of the focal length, and of the radial term at the corner."""
    distance = np.linalg.norm(wanted[0])
    corner = (np.hypot(WIDE, TALL) / 2 / PX_PER_MM / wanted[2]) ** 2
    off = {"lens": np.linalg.norm(found[0] - wanted[0]) / distance,
           "axes": np.abs(found[1] - wanted[1]).max(),
           "focal": abs(found[2] / wanted[2] - 1),
           "k1": abs(found[3] - wanted[3]) * corner}
    return [f"{name}: {what} is off by {value:.3g}" for what, value in off.items() if not value < tolerance]


def found_camera(it):
    return it.lens, it.axes, it.image_mm, it.k1


def compare(driver, rng, name, known, bent, noise, scenes, tolerance):
    problems, theirs, truths = [], [], []
    while len(problems) < scenes:
        count = int(rng.integers(9 if bent else 8, 17))
        points, camera = random_scene(rng, count, bent)
        pixels = project(points, *camera) + rng.normal(0, noise, (count, 2)) if noise else project(points, *camera)
        if not known:
            pixels = pixels.astype(np.float32).astype(float)
        if known:
            theirs.append(opencv_pose(points, pixels, camera[2]))
        else:
            theirs.append(opencv_calibration(points, pixels, camera[2] * rng.uniform(0.9, 1.1), bent))
        problems.append((points, pixels, camera[2] if known else 0, bent))
        truths.append(camera)
    faults, worst = [], 0.0
    for problem, their, truth, our in zip(problems, theirs, truths, ours(driver, problems)):
        points, pixels = problem[:2]
        if our.status != 0 or our.used != len(points):
            faults.append(f"{name}: status {our.status}, {our.used} of {len(points)} marks")
            continue
        ours_rms, theirs_rms = rms(points, pixels, found_camera(our)), rms(points, pixels, their)
        worst = max(worst, ours_rms - theirs_rms)
        if ours_rms > theirs_rms * 1.000001 + 1e-3 * (not noise):
            faults.append(f"{name}: {ours_rms} px where OpenCV has {theirs_rms}")
        if not noise:
            faults += differs(name + " (truth)", found_camera(our), truth, tolerance)
        elif theirs_rms < 1.000001 * ours_rms:
            faults += differs(name, found_camera(our), their, tolerance)
        else:
            # OpenCV stopped elsewhere, and higher
            faults.append(f"{name}: OpenCV stopped at {theirs_rms} px, we at {ours_rms}")
    print(f"{name}: {len(problems)} scenes, {len(faults)} faults")
    return faults


def main():
    driver = sys.argv[1]
    rng = np.random.default_rng(20)
    faults = []
    faults += compare(driver, rng, "pose, exact", True, False, 0, 60, 1e-6)
    faults += compare(driver, rng, "pose, 2 px", True, False, 2, 60, 1e-4)
    faults += compare(driver, rng, "pose and focal length, exact", False, False, 0, 40, 2e-6)
    faults += compare(driver, rng, "pose and focal length, 2 px", False, False, 2, 40, 1e-4)
    faults += compare(driver, rng, "pose, focal length and k1, exact", False, True, 0, 40, 1e-5)
    faults += compare(driver, rng, "pose, focal length and k1, 2 px", False, True, 2, 40, 1e-4)
    print("\n".join(faults[:30]) or "OpenCV finds the same cameras")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
