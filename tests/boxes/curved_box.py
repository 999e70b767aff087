#!/usr/bin/env python3
"""Natural frequencies of a box with two curved sides as a linear-elastic solid: 27-node bricks on an eighth of it, one
run for each way it may be symmetric or antisymmetric about its three middle planes. Prints what box_curved.json carries.

    curved_box.py [fineness] [bulge in mm]      2 by default, 4 for the carried figures; 25

Needs numpy and scipy. Checked with a bulge of 0.01 mm, which is box A (box_A.json, another program) once its
frequencies are scaled by sqrt(E/rho): fineness 3 lies 0.22 to 0.40 % above it in the eight lowest modes.
"""
import itertools
import json
import sys

import numpy as np
import scipy.sparse as sp
import scipy.sparse.linalg as sla

WIDTH, DEPTH, HEIGHT, THICK, BULGE = 240.0, 300.0, 380.0, 18.0, 25.0  # mm
E, NU, RHO = 3.5e9, 0.3, 740.0
GAUSS = np.array([-np.sqrt(0.6), 0, np.sqrt(0.6)]), np.array([5, 8, 5]) / 9


def shape(x):
    """Quadratics and slopes at x, nodes -1, 0, 1."""
    return np.array([x * (x - 1) / 2, 1 - x * x, x * (x + 1) / 2]), np.array([x - 0.5, -2 * x, x + 0.5])


def local_points():
    """Shape functions (27) and their slopes (27, 3) at the 27 Gauss points, with weights."""
    points = []
    for (a, wa), (b, wb), (c, wc) in itertools.product(*[list(zip(*GAUSS))] * 3):
        (na, da), (nb, db), (nc, dc) = shape(a), shape(b), shape(c)
        values = np.einsum("i,j,k->ijk", na, nb, nc).ravel()
        slopes = np.stack([np.einsum("i,j,k->ijk", *f).ravel() for f in
                           ((da, nb, nc), (na, db, nc), (na, nb, dc))], axis=1)
        points.append((wa * wb * wc, values, slopes))
    return points


POINTS = local_points()


def elasticity():
    lam, mu = E * NU / ((1 + NU) * (1 - 2 * NU)), E / (2 * (1 + NU))
    C = np.diag([2 * mu] * 3 + [mu] * 3)
    C[:3, :3] += lam
    return C


def element(X, C):
    K, M = np.zeros((81, 81)), np.zeros((27, 27))
    for weight, values, slopes in POINTS:
        J = slopes.T @ X
        det = np.linalg.det(J)
        assert det > 0
        d = slopes @ np.linalg.inv(J).T
        B = np.zeros((6, 81))
        B[0, 0::3], B[1, 1::3], B[2, 2::3] = d.T
        B[3, 1::3], B[3, 2::3] = d[:, 2], d[:, 1]
        B[4, 0::3], B[4, 2::3] = d[:, 2], d[:, 0]
        B[5, 0::3], B[5, 1::3] = d[:, 1], d[:, 0]
        K += weight * det * B.T @ C @ B
        M += weight * det * RHO * np.outer(values, values)
    return K, np.kron(M, np.eye(3))


def graded(inner, n_wall, n_inner):
    """Element ends from the middle plane (0) to the inner face and the outer face, finer towards the inner edge."""
    s = np.linspace(0, 1, n_inner + 1)
    inside = 1 - (1 - s) ** 1.6
    w = np.linspace(0, 1, n_wall + 1) ** 1.3 if n_wall > 1 else np.linspace(0, 1, 2)
    return np.concatenate([inner * inside, inner + THICK * w[1:]])


def with_middles(ends):
    return np.sort(np.concatenate([ends, (ends[1:] + ends[:-1]) / 2]))


def build(fineness, bulge):
    radius = (DEPTH ** 2 / 4 + bulge ** 2) / (2 * bulge)
    centre = WIDTH / 2 + bulge - radius  # of the right side's arcs, from the middle plane

    def half_width(y, off):
        return centre + np.sqrt((radius - off) ** 2 - y ** 2)

    n_wall = fineness - 1
    ends = [graded(1.0, n_wall, 3 * fineness), graded(DEPTH / 2 - THICK, n_wall, 4 * fineness),
            graded(HEIGHT / 2 - THICK, n_wall, 5 * fineness)]
    # x: a share of the half width inside, of the side's thickness outside.
    ends[0] = np.where(ends[0] > 1, 1 + (ends[0] - 1) / THICK, ends[0])
    grid = [with_middles(e) for e in ends]
    n = [len(g) for g in grid]
    number = -np.ones(n, dtype=int)
    cells = []
    n_inside = [3 * fineness, 4 * fineness, 5 * fineness]
    for cell in itertools.product(*[range(len(e) - 1) for e in ends]):
        if all(c < k for c, k in zip(cell, n_inside)):
            continue  # air
        cells.append(cell)
        number[tuple(slice(2 * c, 2 * c + 3) for c in cell)] = 0
    used = np.argwhere(number == 0)
    number[tuple(used.T)] = np.arange(len(used))
    x = np.empty((len(used), 3))
    for k, (i, j, l) in enumerate(used):
        y, s = grid[1][j], grid[0][i]
        inner, outer = half_width(y, THICK), half_width(y, 0)
        x[k] = (s * inner if s <= 1 else inner + (s - 1) * (outer - inner)), y, grid[2][l]
    x *= 1e-3
    rows, cols, k_data, m_data = [], [], [], []
    C = elasticity()
    volume = 0
    for cell in cells:
        nodes = number[tuple(slice(2 * c, 2 * c + 3) for c in cell)].ravel()
        K, M = element(x[nodes], C)
        volume += M[0::3, 0::3].sum() / RHO
        dofs = (3 * nodes[:, None] + np.arange(3)).ravel()
        rows.append(np.repeat(dofs, 81))
        cols.append(np.tile(dofs, 81))
        k_data.append(K.ravel())
        m_data.append(M.ravel())
    rows, cols = np.concatenate(rows), np.concatenate(cols)
    size = 3 * len(x)
    matrix = lambda data: sp.csc_matrix((np.concatenate(data), (rows, cols)), shape=(size, size))
    return x, matrix(k_data), matrix(m_data), 8 * volume


def solve(x, K, M, parity, n_modes):
    """parity[a] = +1: symmetric about the plane across axis a."""
    held = np.zeros(x.shape, dtype=bool)
    for axis in range(3):
        on_plane = np.abs(x[:, axis]) < 1e-9
        for component in range(3):
            if (component == axis) == (parity[axis] > 0):
                held[on_plane, component] = True
    free = np.flatnonzero(~held.ravel())
    K, M = K[free][:, free], M[free][:, free]
    shift = -(2 * np.pi * 300) ** 2
    factor = sla.splu((K - shift * M).tocsc(), permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0,
                      options={"SymmetricMode": True})
    inverse = sla.LinearOperator(K.shape, matvec=factor.solve)
    values = sla.eigsh(K, n_modes, M, sigma=shift, which="LM", OPinv=inverse, return_eigenvectors=False, tol=1e-9)
    return np.sqrt(np.maximum(np.sort(values), 0)) / (2 * np.pi)


def main():
    fineness = int(sys.argv[1]) if len(sys.argv) > 1 else 2
    x, K, M, volume = build(fineness, float(sys.argv[2]) if len(sys.argv) > 2 else BULGE)
    print(f"{len(x)} nodes on an eighth, {volume * RHO:.4f} kg", file=sys.stderr)
    result = {}
    for parity in itertools.product((1, -1), repeat=3):
        f = solve(x, K, M, parity, 6)
        name = "".join("+" if p > 0 else "-" for p in parity)
        result[name] = [round(v, 2) for v in f if v > 5][:4]
        print(name, result[name], file=sys.stderr)
    print(json.dumps({"fineness": fineness, "mass": volume * RHO, "f": result}))


main()
