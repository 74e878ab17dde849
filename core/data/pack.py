"""Packs the climate grid and the places into the two files that the page loads.

    python3 pack.py SOURCE_FOLDER OUTPUT_FOLDER

SOURCE_FOLDER holds climate.bin.gz (40 planes of bytes), places.csv and countries.csv; the formats of the results are stated in
core/src/climate/grid.rs and core/src/climate/places.rs. Needs nothing but Python's own library.
"""

import csv
import gzip
import pathlib
import sys

ROWS, COLUMNS, PLANES = 180, 360, 40
SIZE = ROWS * COLUMNS


def packed_climate(raw: bytes) -> bytes:
    """Each month less the month before, then each cell less its western neighbour, modulo 256."""
    assert len(raw) == PLANES * SIZE
    planes = [raw[i * SIZE : (i + 1) * SIZE] for i in range(PLANES)]
    out = bytearray()
    for i, plane in enumerate(planes):
        if i < 36 and i % 12:
            plane = bytes((a - b) & 255 for a, b in zip(plane, planes[i - 1]))
        for row in range(ROWS):
            before = 0
            for value in plane[row * COLUMNS : (row + 1) * COLUMNS]:
                out.append((value - before) & 255)
                before = value
    return bytes(out)


def packed_places(places, countries) -> str:
    """Countries, time zones, then one place per line, most people first."""
    places = sorted(places, key=lambda p: -int(p["population"]))
    zones = sorted({p["tz"] for p in places})
    lines = [
        "|".join(f"{c['country']}={c['name']}" for c in countries),
        "|".join(zones),
    ]
    for p in places:
        lat, lon = (round(float(p[k]) * 100) for k in ("lat", "lon"))
        fields = [p["name"], p["admin1"], p["country"], lat, lon, p["elev_m"], zones.index(p["tz"])]
        assert not any("|" in str(f) for f in fields)
        lines.append("|".join(map(str, fields)))
    return "\n".join(lines) + "\n"


def write(path: pathlib.Path, data: bytes) -> None:
    path.write_bytes(gzip.compress(data, 9, mtime=0))


def main(source: str, output: str) -> None:
    source, output = pathlib.Path(source), pathlib.Path(output)
    write(output / "climate.bin.gz", packed_climate(gzip.decompress((source / "climate.bin.gz").read_bytes())))
    with open(source / "places.csv", newline="") as p, open(source / "countries.csv", newline="") as c:
        text = packed_places(list(csv.DictReader(p)), list(csv.DictReader(c)))
    write(output / "places.txt.gz", text.encode())


if __name__ == "__main__":
    main(*sys.argv[1:])
