"""Posteriors of the hierarchical Gamma-Poisson model by Gauss-Legendre quadrature, and once more by adaptive quadrature.

Model: failures x_b ~ Poisson(rate_b * t_b); rate_b ~ Gamma(shape a, rate a / mu); priors on a and on mu, or on a and on
the rate parameter r = a / mu.  Every Gamma here is (shape, rate).
The integral is taken over (log a, log r), panel by panel, with 12 panels of 40 nodes along each; `check` repeats the
norm and the first mean with scipy's adaptive `quad_vec` and the density written out once more.

Run:  python fleet.py > ../fleet.json        (scipy 1.17.1, numpy 2.4.6)
"""
import json
import numpy as np
from scipy import integrate, optimize, special, stats

CASES = [
    {"name": "ten pumps", "source": "data: Gaver & O'Muircheartaigh 1987, Technometrics 29(1):1-15; priors: George, Makov & Smith 1993, as in the BUGS example 'Pumps'",
     "unit": "thousand hours", "failures": [5, 1, 5, 14, 3, 19, 1, 1, 4, 22],
     "exposure": [94.3, 15.7, 62.9, 126, 5.24, 31.4, 1.05, 1.05, 2.1, 10.5],
     "shape_prior": [1.0, 1.0], "second": "rate", "second_prior": [0.1, 1.0], "box": [[-12, 4.2], [-40, 6]]},
    {"name": "six boats, a few failures", "source": "invented", "unit": "weeks", "failures": [0, 2, 0, 1, 0, 0],
     "exposure": [22, 24, 18, 25, 9, 3], "shape_prior": [1.0, 1.0], "second": "mean", "second_prior": [2.0, 80.0],
     "box": [[-34, 4.5], [-40, 14]]},
    {"name": "five boats without a failure", "source": "invented", "unit": "weeks", "failures": [0, 0, 0, 0, 0],
     "exposure": [22, 24, 18, 25, 9], "shape_prior": [1.0, 1.0], "second": "mean", "second_prior": [1.5, 60.0],
     "box": [[-36, 4.5], [-44, 26]]},
    {"name": "thirty boats, many failures", "source": "invented", "unit": "weeks",
     "failures": [12, 9, 15, 11, 8, 14, 10, 13, 9, 12, 11, 10, 16, 7, 12, 13, 10, 9, 11, 14, 12, 8, 10, 15, 9, 11, 13, 12, 10, 11],
     "exposure": [20 + (7 * i) % 5 for i in range(30)], "shape_prior": [2.0, 0.1], "second": "mean", "second_prior": [4.0, 10.0],
     "box": [[-1.5, 6.8], [-1.5, 8.5]]},
]


def log_density(case, a, r):
    """Log of prior times likelihood over (log a, log r): both Jacobians are in."""
    out = stats.gamma.logpdf(a, case["shape_prior"][0], scale=1 / case["shape_prior"][1]) + np.log(a)
    s, w = case["second_prior"]
    y = r if case["second"] == "rate" else a / r
    out = out + stats.gamma.logpdf(y, s, scale=1 / w) + np.log(y)
    for x, t in zip(case["failures"], case["exposure"]):
        out = out + stats.nbinom.logpmf(x, a, r / (r + t))
    return out


def nodes(low, high, panels, count):
    x, w = special.roots_legendre(count)
    edges = np.linspace(low, high, panels + 1)
    half = np.diff(edges) / 2
    mid = (edges[1:] + edges[:-1]) / 2
    return (mid[:, None] + half[:, None] * x).ravel(), (half[:, None] * w).ravel()


def grid(case, panels, count):
    u, wu = nodes(*case["box"][0], panels, count)
    v, wv = nodes(*case["box"][1], panels, count)
    U, V = np.meshgrid(u, v, indexing="ij")
    a, r = np.exp(U), np.exp(V)
    z = log_density(case, a, r)
    top = z.max()
    w = np.exp(z - top) * wu[:, None] * wv[None, :]
    norm = w.sum()
    edge = max(np.exp(z - top)[[0, -1], :].max(), np.exp(z - top)[:, [0, -1]].max())
    keep = w > w.max() * 1e-17
    return a[keep], r[keep], w[keep] / norm, np.log(norm) + top, edge


def quantile(shape, rate, w, p):
    f = lambda y: float((w * special.gammainc(shape, rate * np.exp(y))).sum() - p)
    return float(np.exp(optimize.brentq(f, -60, 12, xtol=1e-13, rtol=1e-14)))


def solve(case, panels, count):
    a, r, w, log_norm, edge = grid(case, panels, count)
    out = {"log_evidence": log_norm, "edge": edge, "shape_mean": float((w * a).sum()), 
           # With a weak prior on the rate parameter the mean of mu is infinite: r comes too close to zero.
           "mu_mean": float((w * a / r).sum()) if case["second"] == "mean" else None,
           "rate_parameter_mean": float((w * r).sum()), "boats": []}
    for x, t in zip(case["failures"], case["exposure"]):
        out["boats"].append({"mean": float((w * (a + x) / (r + t)).sum()),
                             "p05": quantile(a + x, r + t, w, 0.05), "p95": quantile(a + x, r + t, w, 0.95)})
    out["new_boat"] = {"mean": out["mu_mean"], "p05": quantile(a, r, w, 0.05), "p50": quantile(a, r, w, 0.5),
                       "p95": quantile(a, r, w, 0.95)}
    return out


def check(case, top):
    """The norm and the first boat's mean by adaptive quadrature over (log a, log r), the density written out by hand."""
    t, x = np.array(case["exposure"], float), np.array(case["failures"], float)
    (k, w), (s, v) = case["shape_prior"], case["second_prior"]
    fixed = float((x * np.log(t) - special.gammaln(x + 1)).sum() + k * np.log(w) - special.gammaln(k) + s * np.log(v) - special.gammaln(s))

    def density(u, z):
        a, r = np.exp(u), np.exp(z)
        log_y = z if case["second"] == "rate" else u - z
        one = special.gammaln(a + x).sum() - len(x) * special.gammaln(a) + len(x) * a * z - ((a + x) * np.log(r + t)).sum()
        d = np.exp(one + k * u - w * a + s * log_y - v * np.exp(log_y) + fixed - top)
        return np.array([d, d * (a + x[0]) / (r + t[0])])

    across = lambda u: integrate.quad_vec(lambda z: density(u, z), *case["box"][1], epsrel=1e-11, epsabs=1e-14, limit=400)[0]
    norm, first = integrate.quad_vec(across, *case["box"][0], epsrel=1e-10, epsabs=1e-13, limit=400)[0]
    return {"log_evidence": float(np.log(norm) + top), "first_boat_mean": float(first / norm)}


def difference(one, other):
    pairs = [(one["new_boat"]["p95"], other["new_boat"]["p95"]), (one["shape_mean"], other["shape_mean"])]
    if one["mu_mean"] is not None:
        pairs.append((one["mu_mean"], other["mu_mean"]))
    for x, y in zip(one["boats"], other["boats"]):
        pairs += [(x[k], y[k]) for k in x]
    return float(max(abs(x / y - 1) for x, y in pairs))


done = []
for case in CASES:
    fine = solve(case, 12, 40)
    coarse = solve(case, 10, 34)
    case["computed"] = fine
    case["largest_change_on_a_coarser_grid"] = difference(coarse, fine)
    if case["name"] in ("ten pumps", "six boats, a few failures"):
        case["adaptive"] = check(case, fine["log_evidence"])
    done.append(case)
print(json.dumps({"note": "Gammas are (shape, rate); made by scripts/fleet.py; `edge` is the density at the edge of the box, as a part of the highest", "cases": done}, indent=1))
