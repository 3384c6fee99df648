"""The words that the log book keeps."""

from typing import Literal

FeedbackVerdict = Literal["done", "rejected", "ignored"]
"""What somebody says of an action."""
Outcome = Literal["better", "same", "worse"]
"""What came of it."""
