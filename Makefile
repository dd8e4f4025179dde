# One-line aliases for do.py: `make demo TODAY=2026-07-01`. Variables given to make reach it by the environment.
# Machines without make: `python3 do.py demo TODAY=2026-07-01`.
.PHONY: demo serve test check bench pictures lock
demo: ; @python3 do.py demo
serve: ; @python3 do.py serve
test: ; @python3 do.py test $(ARGS)
check: ; @python3 do.py check
bench: ; @python3 do.py bench $(ARGS)
pictures: ; @python3 do.py pictures
lock: ; @python3 do.py lock
