"""What was seen and read on the vehicle: immutable, withdrawn rather than edited."""

from loomwise.evidence.items import Evidence, Reading, Sign, checked_reading, checked_sign

__all__ = ["Evidence", "Reading", "Sign", "checked_reading", "checked_sign"]
