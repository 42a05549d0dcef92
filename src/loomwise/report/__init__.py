"""What a report, a test sheet or a test plan says, as plain data: no page, no file, no clock.

A document is a title, a workshop's heading, and sections made of a few kinds of blocks; ``paper``
sets it as PDF or HTML. All text is plain: markup in it is shown as it was written.
"""
