"""The setup sheet: its rules, what it says, how two of them differ."""
