"""``python -m tests.bench.dry_fit [--rooms N] [--seed N] [--job N [--room N]] [--faults]``."""

import argparse
import sys

from tests.bench.dry_fit.catching import catching
from tests.bench.dry_fit.rooms import again, every_room


def main() -> bool:
    """Whether all is as it must be."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.dry_fit", description=__doc__)
    parser.add_argument("--rooms", type=int, default=None, help="20000, or 150 with --faults")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--job", type=int, help="one job's rooms once more, measure by measure")
    parser.add_argument("--room", type=int, help="one room of that job alone")
    parser.add_argument("--faults", action="store_true", help="put faults in and count them")
    parser.add_argument("--drawn", type=int, default=40, help="faults drawn at random besides")
    args = parser.parse_args()
    if args.job is not None:
        return again(args.seed, args.job, args.room)
    if args.faults:
        return catching(args.rooms or 150, args.seed, args.drawn, args.workers)
    return every_room(args.rooms or 20_000, args.seed, args.workers)


if __name__ == "__main__":
    sys.exit(not main())
