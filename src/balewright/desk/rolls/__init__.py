"""Which bales have film or net of a batch, over all machines."""
