"""What `make run` does: the main job on a fresh machine, on two invented engines."""

import argparse
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

from tenths.record.report import write_record
from tenths.services.demo import lay_demo
from tenths.services.shop import open_shop


def main(arguments: list[str] | None = None) -> int:
    """Lays the demo where the shop is empty, prints one fitting report, writes its record and says where."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("--shop", type=Path, required=True, help="folder of the shop")
    parser.add_argument("--no-bench", action="store_true", help="stop there, and serve no pages")
    chosen = parser.parse_args(arguments)
    shop_folder: Path = chosen.shop
    shop = open_shop(shop_folder)
    if not shop.engines():
        lay_demo(shop)
    engine = "marigold" if "marigold" in shop.engines() else shop.engines()[0]
    subprocess.run([sys.executable, "-m", "tenths", "--shop", str(shop_folder), "check", engine], check=True)  # noqa: S603
    record = write_record(shop, engine, shop_folder.parent / f"{engine}.pdf")
    sys.stdout.write(f"\nThe record of {shop.build(engine).name} is written: {record.resolve()}\n"
                     f"The shop's logbook is in {shop_folder.resolve()}. Look around with\n"
                     f"  .venv/bin/tenths --shop {shop_folder} engines\n")
    if not chosen.no_bench:
        sys.stdout.write("The bench is served until you press Ctrl-C:\n")
        sys.stdout.flush()
        with suppress(KeyboardInterrupt):
            return subprocess.run([sys.executable, "-m", "tenths", "--shop", str(shop_folder), "bench"], check=False).returncode  # noqa: S603
    return 0


if __name__ == "__main__":
    sys.exit(main())
