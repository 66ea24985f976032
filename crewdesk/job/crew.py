"""What the crew works with on every job: its instruments, its saw and its tools."""

from typing import NamedTuple

from crewdesk.job.shop_machine import USUAL_MACHINE, ShopMachine
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS, Instruments


class Crew(NamedTuple):
    """The crew's `instruments` and its `machine`, as far as cut figures depend on them (see
    `Desk.shop_machine`)."""

    instruments: Instruments = USUAL_INSTRUMENTS
    machine: ShopMachine = USUAL_MACHINE
