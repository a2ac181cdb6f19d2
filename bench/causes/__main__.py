"""`python -m bench.causes` is `python -m bench.causes.speed`; `truth` and the others stand beside."""

from bench.causes.speed import main

main()
