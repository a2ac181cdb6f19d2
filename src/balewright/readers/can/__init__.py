"""Traces of a machine's bus: frames, long messages, codes, signals.

`trace.open_trace(path, reading)` says who spoke, which codes came and went, and gives the signals
of the machine; `trace_bales.trace_batches(path, reading)` the same as bales and events.
"""
