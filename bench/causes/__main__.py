"""`python -m bench.causes` is `python -m bench.causes.speed`; the other benches stand beside it."""

from bench.causes.speed import main

main()
