"""Cases that ended, made by hand."""

from dataclasses import replace

from loomwise.study.play import Ended

RIGHT = Ended(
    circuit="horn", fault="K1 contact open", truth="K1", kind="proven", unit="K1", leader="K1",
    share=0.995, minutes=10.0, readings=4, named=("K1",),
)  # fmt: skip
WRONG = replace(RIGHT, unit="F4", leader="F4", named=("F4",), minutes=20.0)
BET = replace(RIGHT, kind="best bet", share=0.7, named=(), minutes=30.0, regret=0.0)
WRONG_BET = replace(BET, unit="F4", leader="F4", regret=80.0)
OUTSIDE = replace(WRONG, truth="", outside=True)
