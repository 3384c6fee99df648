"""The words that the log book keeps."""

from typing import Literal

Effects = Literal["none", "full"]
"""Whether an advice was asked for with what each action gains."""
Verdict = Literal["done", "rejected", "ignored"]
"""What somebody says of an action."""
Outcome = Literal["better", "same", "worse"]
"""What came of it."""
