"""How long a plan may take, and who may stop it."""

import time
from collections.abc import Callable
from dataclasses import dataclass, field


@dataclass
class Patience:
    """`seconds` from now (a stopwatch, not a calendar clock), or until `stop()` is true."""

    seconds: float = 30.0
    stop: Callable[[], bool] = lambda: False
    _began: float = field(default_factory=time.monotonic)

    def left(self) -> float:
        return max(0.0, self._began + self.seconds - time.monotonic())

    def over(self) -> bool:
        return self.left() <= 0 or self.stop()
