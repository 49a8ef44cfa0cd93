"""What a check on the bench needs must load fast."""

import subprocess
import sys


def test_arithmetic_of_clearances_loads_no_numpy():
    code = (
        "import sys\n"
        "from tenths.calc import balance, fits, joints, motion, rodbolt, threads, tightening, volumes\n"
        "motion.peak_piston_speed(stroke=0.09, rod_length=0.15, speed=600.0)\n"
        "sys.exit('numpy' in sys.modules)\n"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
