"""What befalls a job book, done to books made for it, and counted.

::

    faults of a file    killed, attaching (killed between file and record), full disk,
                        folder that may only be read, damaged bytes, clock, odd texts
    faults of many      writers at once, on a file and on a server
    faults of a server  a line that breaks at random moments
"""

from kit.measure.torture.rows import Fault
from kit.measure.torture.running import tortured

__all__ = ["Fault", "tortured"]
"""Each fault by itself is a function of its module, with its own counts."""
