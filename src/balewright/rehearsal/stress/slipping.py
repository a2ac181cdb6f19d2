"""Film advance that slips: an option that the simulator takes, as layers change with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

_LASTS: Final = 0.8
_WET_JOBS: Final = 0.3
_WET_TIMES: Final = 2.0


@dataclass(frozen=True)
class SlippingAdvance:
    """The bale turns less far for each wrap turn than the machine's design says.

    slip_frac: how much less on average where film is dry, 0 to 0.2 (0: nothing slips). Three jobs
    in ten are wet and slip twice as much; from bale to bale slip scatters by half its size and
    lasts with autocorrelation 0.8.
    """

    slip_frac: float

    def factors(self, job: NDArray[np.int64], chance: np.random.Generator) -> NDArray[np.float64]:
        """What the surface advance of each bale is multiplied by, shape (bales,), 0.5 to 1.

        job: the number of each bale's job, from 0, shape (bales,).
        """
        bales = len(job)
        if self.slip_frac == 0 or bales == 0:
            return np.ones(bales)
        wet = chance.random(int(job.max()) + 1) < _WET_JOBS
        mean = self.slip_frac * np.where(wet[job], _WET_TIMES, 1.0)
        wander = last_from_bale_to_bale(chance.normal(0.0, 1.0, bales), _LASTS)
        return np.clip(1.0 - mean * (1.0 + 0.5 * wander), 0.5, 1.0)


def last_from_bale_to_bale(
    fresh: NDArray[np.float64], autocorrelation_frac: float
) -> NDArray[np.float64]:
    """Noise of unit variance that lasts: x_t = a x_(t-1) + sqrt(1 - a^2) fresh_t, x_0 = fresh_0.

    fresh: independent, mean 0, variance 1, shape (n,); autocorrelation_frac: a, 0 to below 1.
    """
    lasting = np.array(fresh, dtype=np.float64)
    share = float(np.sqrt(1.0 - autocorrelation_frac**2))
    for bale in range(1, len(lasting)):
        lasting[bale] = autocorrelation_frac * lasting[bale - 1] + share * fresh[bale]
    return lasting
