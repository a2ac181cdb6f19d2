"""Where a machine's bales differ from plan, and how surely. Physics first."""
