"""The one array type of the heat model."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
