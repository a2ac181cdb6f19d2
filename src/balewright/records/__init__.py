"""What a machine did: shapes only. Bytes are read in `readers`, judged in `findings`."""
