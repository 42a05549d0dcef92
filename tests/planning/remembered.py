"""An example of test sequencing from the literature.

Pattipati and Alexandridis, IEEE Trans. SMC 20(4), 1990, 872-887. Its priors, 0/1 matrix and optimum
are from memory (the paper was not found); the problem form is published in Raghavan, Shakeri and
Pattipati, IEEE Trans. SMC-A 29(2), 1999, 153. The other figures were computed from the remembered
table by enumeration; that dynamic programming gives the remembered 2.18 is a strong sign that the
table is right.
"""

import numpy as np

from tests.planning.samples import pass_or_fail

PRIORS = np.array([0.70, 0.01, 0.02, 0.10, 0.05, 0.12])  # from memory
FAILS = np.array(  # from memory: rows s0 (no fault) to s5, columns t1 to t5
    [
        [0, 0, 0, 0, 0],
        [0, 1, 0, 0, 1],
        [0, 0, 1, 1, 0],
        [1, 0, 0, 1, 1],
        [1, 1, 0, 0, 0],
        [1, 1, 1, 1, 0],
    ]
)
T1, T2, T3, T4, T5 = range(5)


EXAMPLE = pass_or_fail(PRIORS, FAILS)
FIRSTS = ((T1, 2.86), (T2, 2.18), (T3, 2.82), (T4, 2.18), (T5, 2.89))
"""What a first test costs in the end, if all later ones are chosen as well as can be; computed."""
