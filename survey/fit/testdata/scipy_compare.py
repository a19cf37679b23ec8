"""Prints scipy.csv: how far two interpolations of SciPy are off three roofs whose
every elevation is known, for the test TestCompare_PublicLibrary. The places, the
noise and the roofs are those of truth_test.go. Run: python3 scipy_compare.py
"""
import math

import numpy as np
import scipy
from scipy.interpolate import LinearNDInterpolator, RBFInterpolator


def franke(x, y):
    return (0.75 * math.exp(-((9 * x - 2) ** 2 + (9 * y - 2) ** 2) / 4)
            + 0.75 * math.exp(-(9 * x + 1) ** 2 / 49 - (9 * y + 1) / 10)
            + 0.5 * math.exp(-((9 * x - 7) ** 2 + (9 * y - 3) ** 2) / 4)
            - 0.2 * math.exp(-(9 * x - 4) ** 2 - (9 * y - 7) ** 2))


def beam(ft, span):
    u = ft / span - math.floor(ft / span)
    return 16 / 5 * (u - 2 * u ** 3 + u ** 4)


def sagging(x, y):
    return y / 8 - 0.75 * beam(y, 40) - 0.375 * beam(x, 30)


def dished(x, y):
    u = y / 50 - 1
    z = 1.5 * (1 - u * u)
    for dx, dy in ((30, 35), (72, 60)):
        r = math.hypot(x - dx, y - dy) / 15
        if r < 1:
            z -= 1 + math.cos(math.pi * r)
    return z


ROOFS = (("Franke", 100, 100, lambda x, y: 12 * franke(x / 100, y / 100)),
         ("sagging beams", 120, 80, sagging), ("dished deck", 100, 100, dished))


def halton(n, base):
    v, f = 0.0, 1.0
    while n:
        f /= base
        v += f * (n % base)
        n //= base
    return v


class Noise:
    def __init__(self, seed):
        self.s = seed

    def normal(self):
        total = -6.0
        for _ in range(12):
            self.s = (self.s * 1664525 + 1013904223) % 2 ** 32
            total += self.s / 4294967296
        return total


def rms(got, want):
    return math.sqrt(np.mean((got - want) ** 2))


print(f"# scipy {scipy.__version__}, numpy {np.__version__}; root mean square off the truth, inches, "
      "at the middles of cells of 2 ft; "
      "linear: LinearNDInterpolator, only inside the hull of the shots; thin_plate: RBFInterpolator, smoothing 0; "
      "thin_plate_smoothed: smoothing 10")
print("roof,shots,noise_in,linear,thin_plate,thin_plate_smoothed")
SMOOTHING = 10.0  # the best on average, on these very roofs, of 1, 10, 100 and 1,000
for name, w, h, f in ROOFS:
    gx, gy = np.meshgrid(np.arange(1, w, 2), np.arange(1, h, 2))
    at = np.column_stack([gx.ravel(), gy.ravel()]).astype(float)
    truth = np.array([f(x, y) for x, y in at])
    for n in (50, 200, 1000):
        for noise in (0.0, 0.12):
            g = Noise(1)
            pts = np.array([(w * halton(i, 2), h * halton(i, 3)) for i in range(1, n + 1)])
            z = np.array([f(x, y) + noise * g.normal() for x, y in pts])
            lin = LinearNDInterpolator(pts, z)(at)
            ok = ~np.isnan(lin)
            row = [rms(lin[ok], truth[ok])]
            for s in (0.0, SMOOTHING):
                row.append(rms(RBFInterpolator(pts, z, kernel="thin_plate_spline", smoothing=s)(at), truth))
            print(f"{name},{n},{noise:g}," + ",".join(f"{v:.6f}" for v in row))
