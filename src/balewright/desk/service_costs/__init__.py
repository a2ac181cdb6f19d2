"""What finding and mending a fault costs here."""
