"""Schedule, references and readings of a large job, always the same. Invented numbers: for speed only."""

import pathlib
import random
import sys

folder, readings = pathlib.Path(sys.argv[1]), int(sys.argv[2])
wavelengths = (1310, 1383, 1490, 1550)
strands = max(1, readings // 8)
random.seed(7)
folder.mkdir(parents=True, exist_ok=True)

lengths = {}
with open(folder / "schedule.csv", "w") as out:
    out.write("link,strand,fibre,length_m,connections,splices\n")
    for i in range(strands):
        link = f"C{i // 48:05d}"
        length = lengths.setdefault(link, random.randrange(50, 3000))
        out.write(f"{link},{i % 48 + 1:02d},OS2,{length},{2 + i // 48 % 3},{i // 48 % 5}\n")
with open(folder / "references.csv", "w") as out:
    out.write("reference,wavelength_nm,power_dbm,method,time\n")
    for nm in wavelengths:
        out.write(f"R{nm},{nm},-8.00,one-cord,2026-03-02T07:00:00\n")
with open(folder / "readings.csv", "w") as out:
    out.write("link,strand,wavelength_nm,direction,power_dbm,time\n")
    n = 0
    for i in range(strands):
        link = f"C{i // 48:05d}"
        base = lengths[link] * 0.0003 + 0.3 * (2 + i // 48 % 3)
        for nm in wavelengths:
            for direction in ("AB", "BA"):
                if n == readings:
                    break
                second = n % 36000
                loss = base + random.gauss(0, 0.25)
                out.write(f"{link},{i % 48 + 1:02d},{nm},{direction},{-8 - max(loss, 0):.2f},"
                          f"2026-03-02T{8 + second // 3600:02d}:{second // 60 % 60:02d}:{second % 60:02d}\n")
                n += 1
