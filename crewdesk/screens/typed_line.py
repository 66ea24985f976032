"""Where text is typed: every sign in it is seen."""

from rich.cells import cell_len
from rich.text import Text
from textual.widgets import Input, TextArea

from crewdesk.paper.plain import plain


class TypedLine(Input):
    """An input that shows signs which can't be seen, or could drive the terminal, as question
    marks. They stay in its value, so that what was in the record is not changed by looking
    at it, and what was pasted is refused or taken as it is."""

    @property
    def _value(self) -> Text:
        return Text(plain(self.value), no_wrap=True, overflow="ignore", end="")

    def _position_to_cell(self, position: int) -> int:
        return cell_len(plain(self.value[:position]))


class TypedText(TextArea):
    """The same for text of more lines than one."""

    def get_line(self, line_index: int) -> Text:
        """A line as it is drawn; tabs stay, which the cursor counts."""
        parts = self.document.get_line(line_index).split("\t")
        return Text("\t".join(map(plain, parts)), end="", no_wrap=True)
