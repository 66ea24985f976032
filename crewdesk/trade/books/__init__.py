"""Hours and money: what a bookkeeper would reckon by hand."""
