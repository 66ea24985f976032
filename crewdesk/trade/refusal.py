"""The one way in which the trade says no; see `crewdesk.errors`."""

from crewdesk.errors import Refusal as Refusal
