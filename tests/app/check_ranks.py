"""Runs `vary` by two ranks of mpirun and by plain processes: the same lines but for the seconds."""

import csv
import os
import subprocess
import sys
import tempfile
from pathlib import Path


def lines(file):
    rows = list(csv.DictReader(open(file, newline="", encoding="utf-8")))
    for row in rows:
        del row["seconds"]
    return sorted(tuple(row.items()) for row in rows)


def main():
    program, mpirun, cabinet = sys.argv[1:4]
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder)
        # Threads busy-waiting for each other starve two ranks on two cores; as root (containers) mpirun wants to be told.
        environment = os.environ | {"OMPI_ALLOW_RUN_AS_ROOT": "1", "OMPI_ALLOW_RUN_AS_ROOT_CONFIRM": "1", "OMPI_MCA_rmaps_base_oversubscribe": "1"}
        command = [program, "vary", cabinet, "--change", "boards.all.thickness", "--over", "15 to 20 by 1", "--upper", "700", "--no-plots", "--csv"]
        subprocess.run(command + [str(out / "plain.csv")], check=True)
        done = subprocess.run([mpirun, "-n", "2", *command, str(out / "ranks.csv")], check=True, env=environment, capture_output=True, text=True)
        assert done.stdout.count("6 of 6 variants") == 1, done.stdout  # one speaks for all
        assert lines(out / "plain.csv") == lines(out / "ranks.csv")
        assert len(lines(out / "ranks.csv")) == 6
        # A wrong file is told once, by the first.
        wrong = subprocess.run([mpirun, "-n", "2", program, "vary", "no-such.yaml", "--change", "a.b", "--over", "1"], env=environment, capture_output=True, text=True, check=False)
        assert wrong.returncode != 0 and wrong.stderr.count("no-such.yaml:") == 1, wrong.stderr
    print("ok: 6 variants, 2 ranks")


main()
