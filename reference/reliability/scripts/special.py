"""Incomplete gamma and beta integrals and their inverses with 40 digits.
Run:  python special.py > ../special.json      (mpmath 1.4.1)
"""
import json
from mpmath import mp, mpf, gammainc, betainc, findroot, log, exp

mp.dps = 40
out = {"note": "regularised: gamma rows [a, x, P(a,x)], beta rows [a, b, x, I_x(a,b)], gamma_quantile rows [a, p, x] at rate 1, beta_quantile rows [a, b, p, x]; made by scripts/special.py",
       "gamma": [], "beta": [], "gamma_quantile": [], "beta_quantile": []}
P = lambda a, x: gammainc(a, 0, x, regularized=True) if x < a + 1 else 1 - gammainc(a, x, mp.inf, regularized=True)
I = lambda a, b, x: betainc(a, b, 0, x, regularized=True)
for a in ("0.01", "0.3", "1", "1.6", "8.6", "14.5", "15.5", "60", "400", "25000"):
    for f in ("0.001", "0.2", "0.9", "1", "1.1", "1.5", "4"):
        x = mpf(a) * mpf(f)
        out["gamma"].append([float(a), float(x), float(P(mpf(a), mpf(float(x))))])
for a, b in (("0.5", "0.5"), ("1.24", "189075"), ("3.24", "189358"), ("2", "3"), ("40", "60"), ("0.1", "7"), ("700", "2")):
    m = mpf(a) / (mpf(a) + mpf(b))
    for f in ("0.05", "0.7", "1", "1.3"):
        x = float(m * mpf(f))
        if x < 1:
            out["beta"].append([float(a), float(b), x, float(I(mpf(a), mpf(b), mpf(x)))])


def root(cdf, p, guess_low, guess_high):
    """Bisection on a logarithm, then a secant: no density needed."""
    lo, hi = mpf(guess_low), mpf(guess_high)
    for _ in range(140):
        mid = (lo + hi) / 2
        lo, hi = (mid, hi) if cdf(exp(mid)) < p else (lo, mid)
    return exp((lo + hi) / 2)


for a in ("0.05", "0.3", "1.6", "8.6", "60", "400"):
    for p in ("0.001", "0.05", "0.5", "0.95", "0.999"):
        out["gamma_quantile"].append([float(a), float(p), float(root(lambda x: P(mpf(a), x), mpf(p), -200, 10))])
for a, b in (("1.24", "189075"), ("2", "3"), ("0.5", "0.5"), ("40", "60")):
    for p in ("0.05", "0.5", "0.95"):
        out["beta_quantile"].append([float(a), float(b), float(p), float(root(lambda x: I(mpf(a), mpf(b), min(x, mpf(1))), mpf(p), -60, 0))])
print(json.dumps(out, indent=0))
