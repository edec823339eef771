"""Settings that every test shares."""

from hypothesis import settings

# The first call of a kernel compiles it, so no deadline; the same examples every run, so that CI is repeatable.
settings.register_profile("kernels", deadline=None, derandomize=True, max_examples=60)
settings.load_profile("kernels")
