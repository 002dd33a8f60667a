"""Times what one would otherwise write, in NumPy and SciPy, beside the notebook's own model, in one run.

    cargo build --release && cargo bench --no-run
    python3 benches/reference.py [--seconds 30]

Needs Python 3 with NumPy and SciPy. Two curves of voltage against flux of a loop with equal junctions and arms at beta_L = 1:

- without noise at a bias of 2.2 I0: solve_ivp at each flux, the mean over a fixed number of slips;
- with noise (Gamma = 0.05, bias 1.6 I0): many random paths at many fluxes at once, stochastic Heun. Its standard error falls as one over
  the root of the time, so that the time for a smaller error is extrapolated by the square of the ratio.

Voltages are in I0 R, times in Phi0/(2 pi I0 R), fluxes in Phi0.
"""

import argparse
import csv
import io
import os
import pathlib
import re
import subprocess
import time

# One thread on both sides; set before NumPy is loaded.
for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import numpy as np  # noqa: E402
from scipy import integrate  # noqa: E402

ROOT = pathlib.Path(__file__).resolve().parent.parent
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
VOLTS = 5e-6 * 6  # I0 R of the device below
SPRING = 1 / np.pi  # 1/(pi beta_L) for beta_L = 1

# beta_L = 1 and, at 5.956 K, Gamma = 0.05.
DEVICE = [
    "--set", "critical-current-left=5 uA", "--set", "critical-current-right=5 uA", "--set", "loop-inductance=206.78 pH",
    "--set", "shunt-resistance=6 ohm",
]  # fmt: skip


def ours(fluxes, bias, temperature):
    """Voltages of the notebook's command."""
    run = subprocess.run(
        [
            TARGET / "release" / "coldfringe", "curve", "voltage-flux", *DEVICE, "--set", f"temperature={temperature} K",
            "--set", f"bias-current={5 * bias} uA", "--at", ",".join(f"{flux:.17g}" for flux in fluxes), "--format", "csv",
        ],
        check=True, capture_output=True, text=True,
    )  # fmt: skip
    rows = list(csv.reader(io.StringIO(run.stdout)))
    column = next(place for place, name in enumerate(rows[0]) if name.startswith("voltage"))
    return np.array([float(row[column]) for row in rows[1:]]) / VOLTS


def our_times():
    """Fastest run of each kernel in seconds, from the benchmark's own table."""
    run = subprocess.run(
        ["cargo", "bench", "--quiet", "--bench", "kernels"], check=True, capture_output=True, text=True, cwd=ROOT
    )
    units = {"ns": 1e-9, "µs": 1e-6, "ms": 1e-3, "s": 1}
    found = re.findall(r"([a-z-]+)\s+([\d.]+) (ns|µs|ms|s)\s+│", run.stdout)
    return {name: float(number) * units[unit] for name, number, unit in found}


def rates(flux, bias):
    def of(_, phases):
        turning = (phases[0] - phases[1] - 2 * np.pi * flux) * SPRING
        return [bias / 2 - turning - np.sin(phases[0]), bias / 2 + turning - np.sin(phases[1])]

    return of


def solved(flux, bias, method, skipped=5, slips=20):
    """Mean voltage over `slips` slips after `skipped`."""
    goal = 2 * np.pi

    def turned(_, phases):
        return (phases[0] + phases[1]) / 2 - goal * (skipped + slips)

    def begun(_, phases):
        return (phases[0] + phases[1]) / 2 - goal * skipped

    turned.terminal = True
    run = integrate.solve_ivp(
        rates(flux, bias), (0, 1e4), [np.pi * flux, -np.pi * flux], method=method, rtol=1e-8, atol=1e-10, events=[begun, turned]
    )
    return goal * slips / (run.t_events[1][0] - run.t_events[0][0])


def without_noise(kernels):
    fluxes, bias = np.linspace(0, 1, 21), 2.2
    exact = ours(fluxes, bias, 0)
    mine = kernels["quiet-period"] / 1000
    print(f"\nWithout noise, bias {bias} I0. Ours: {1e6 * mine:.2f} us a point (1000 points with slopes and readings)")
    for method in ("RK45", "DOP853", "LSODA"):
        took = np.inf
        for _ in range(3):
            began = time.perf_counter()
            found = np.array([solved(flux, bias, method) for flux in fluxes])
            took = min(took, (time.perf_counter() - began) / len(fluxes))
        off = np.max(np.abs(found - exact))
        print(
            f"  solve_ivp {method}, rtol 1e-8, 5 slips skipped, 20 averaged: {1e3 * took:.2f} ms a point, differs from ours by up to "
            f"{off:.1e} I0 R: ratio {took / mine:,.0f}"
        )


def paths(fluxes, bias, gamma, count, step, duration, generator):
    """Turns of the mean phase of `count` paths at each flux during `duration`, after settling for 50."""
    flux = np.repeat(fluxes, count)
    one, two = np.pi * flux, -np.pi * flux
    size = np.sqrt(2 * gamma * step)
    offset = 2 * np.pi * flux

    def push(one, two):
        turning = (one - two - offset) * SPRING
        return bias / 2 - turning - np.sin(one), bias / 2 + turning - np.sin(two)

    settling, steps = int(50 / step), int(duration / step)
    for k in range(settling + steps):
        if k == settling:
            before = (one + two) / 2
        kick = size * generator.standard_normal((2, len(flux)))
        here = push(one, two)
        there = push(one + here[0] * step + kick[0], two + here[1] * step + kick[1])
        one = one + (here[0] + there[0]) * (step / 2) + kick[0]
        two = two + (here[1] + there[1]) * (step / 2) + kick[1]
    return ((one + two) / 2 - before).reshape(len(fluxes), count) / (steps * step)


def with_noise(kernels, seconds):
    fluxes, bias, gamma, step, duration = np.linspace(0, 0.5, 11), 1.6, 0.05, 0.05, 200
    exact = ours(fluxes, bias, 5.956)
    mine = kernels["noisy-period"]
    print(
        f"\nWith noise, Gamma {gamma}, bias {bias} I0. Ours: {1e3 * mine:.2f} ms for the whole period (241 points, with slopes, noise and "
        "readings), error 1e-6 I0 R by its own estimate"
    )
    best = None
    for count in (100, 1000):
        generator = np.random.default_rng(1)
        runs, began = [], time.perf_counter()
        while not runs or time.perf_counter() - began < seconds / 2:
            runs.append(paths(fluxes, bias, gamma, count, step, duration, generator))
        took = time.perf_counter() - began
        voltages = np.concatenate(runs, axis=1)
        error = np.max(np.std(voltages, axis=1, ddof=1) / np.sqrt(voltages.shape[1]))
        off = np.abs(np.mean(voltages, axis=1) - exact)
        done = len(runs) * (duration + 50) / step * count * len(fluxes)
        print(
            f"  Heun in NumPy, {count} paths at each of {len(fluxes)} fluxes of half a period, step {step}: {took:.1f} s "
            f"({1e9 * took / done:.0f} ns a step of a path) for a standard error of {error:.1e} I0 R at worst; differs from ours by up to "
            f"{np.max(off):.1e} I0 R, on average {np.mean(off):.1e}"
        )
        work = took * error**2
        best = work if best is None else min(best, work)
    for wanted in (1e-2, 1e-3, 1e-4, 1e-6):
        needed = best / wanted**2
        print(
            f"  extrapolated to a standard error of {wanted:g} I0 R: {needed:,.3g} s, ratio {needed / mine:,.3g}"
            + (" (equal error)" if wanted == 1e-6 else "")
        )


def main():
    arguments = argparse.ArgumentParser(description="Times NumPy and SciPy beside the notebook's own model.")
    arguments.add_argument("--seconds", type=float, default=30, help="time for the random paths")
    arguments = arguments.parse_args()
    kernels = our_times()
    without_noise(kernels)
    with_noise(kernels, arguments.seconds)


if __name__ == "__main__":
    main()
