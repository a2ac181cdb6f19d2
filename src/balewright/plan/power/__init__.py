"""What the tractor must give: shaft power, oil, pull."""
