"""Hypothesis profiles: ``quick`` for test-quick, ``default`` for the suite, ``soak`` for hours.

No deadline anywhere: on a shared machine a slow example says nothing about the code, and the gates
on speed stand in bench/.
"""

from hypothesis import HealthCheck, settings

_SLOW_MACHINES = [HealthCheck.too_slow]

settings.register_profile(
    "quick", max_examples=25, deadline=None, suppress_health_check=_SLOW_MACHINES
)
settings.register_profile(
    "default", max_examples=100, deadline=None, suppress_health_check=_SLOW_MACHINES
)
settings.register_profile(
    "soak", max_examples=5000, deadline=None, suppress_health_check=_SLOW_MACHINES
)
settings.load_profile("default")
