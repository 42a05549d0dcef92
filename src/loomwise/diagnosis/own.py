"""Each fault's own uncertain value: its resistance within the cell it stands for."""

from collections.abc import Sequence

import numpy as np

from loomwise.edits import AddOhm
from loomwise.faults import Fault
from loomwise.solver.network import Network
from loomwise.solver.respond import Own


def own_values(net: Network, faults: Sequence[Fault]) -> Own:
    """Own values of faults (f,), their share times the spread of its natural logarithm."""
    branch = np.full(len(faults), -1, dtype=np.int64)
    share = np.zeros(len(faults))
    for h, fault in enumerate(faults):
        if fault.spread is not None:
            b = net.branch_index[fault.spread.branch]
            branch[h] = b
            share[h] = _share(net, b, fault) * fault.spread.log_sd
    return Own(branch, share)


def _share(net: Network, b: int, fault: Fault) -> float:
    """How much of the branch's resistance the fault's own is."""
    series = [e for e in fault.edits if isinstance(e, AddOhm)]
    if fault.spread is None or fault.spread.branch not in {e.branch for e in series}:
        return 1.0
    return float(fault.spread.middle_ohm / (1.0 / net.g_on[b] + fault.spread.middle_ohm))
