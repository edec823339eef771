"""A real cluster on this machine, made once for the tests that need it."""

import logging

import pytest


@pytest.fixture(scope="session")
def two_workers():
    """A scheduler and two worker processes on 127.0.0.1; gone afterwards."""
    from distributed import LocalCluster

    logging.getLogger("distributed").setLevel(logging.CRITICAL)  # a killed worker is meant here
    with LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, host="127.0.0.1", dashboard_address=None, silence_logs=50
    ) as cluster:
        yield cluster
