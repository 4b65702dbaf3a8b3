"""What the kinds of aids are called, without the kernel, so that a shell can complete them in a blink."""

SAMPLE = "sample"
"""The kind of aid that is made only where it is asked for."""

KIND_NAMES = (
    "marking-template",
    "saw-guides",
    "paring-blocks",
    "mitre-block",
    "transfer-rest",
    "cauls",
    "cnc-jig",
    "coupon",
)
