"""The most memory that a process itself has taken."""

import resource
from pathlib import Path

STATUS = Path("/proc/self/status")


def peak_kilobytes() -> int:
    """kB. Where the kernel tells it, since this program began; else with what the process was before it."""
    if STATUS.exists():
        for line in STATUS.read_text().splitlines():
            if line.startswith("VmHWM:"):
                return int(line.split()[1])
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
