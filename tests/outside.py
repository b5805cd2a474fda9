"""What the checks in Python share: a count of what held, and an end with words where something did not."""

import sys

passed = 0


def check(holds, words):
    global passed
    if not holds:
        sys.exit(words)
    passed += 1
