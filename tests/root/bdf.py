"""Reads fonts with Pillow. Usage: bdf.py FOLDER FILE...; a compiled font (.pcf.gz) is unpacked into FOLDER and turned into
BDF there with pcf2bdf, Pillow reading the compiled one. Prints the path of each BDF file, then for each glyph of a code below
256 its code, its advance and its lit pixels: to the right of the origin, below the baseline."""
import gzip
import os
import subprocess
import sys
from PIL import BdfFontFile, PcfFontFile

folder = sys.argv[1]
for path in sys.argv[2:]:
    bdf = path
    if path.endswith(".pcf.gz"):
        stem = os.path.join(folder, os.path.basename(path)[: -len(".pcf.gz")])
        with open(stem + ".pcf", "wb") as unpacked:
            unpacked.write(gzip.open(path).read())
        bdf = stem + ".bdf"
        subprocess.run(["pcf2bdf", "-o", bdf, stem + ".pcf"], check=True)
        font = PcfFontFile.PcfFontFile(open(stem + ".pcf", "rb"))
    else:
        font = BdfFontFile.BdfFontFile(open(path, "rb"))
    print("file", bdf)
    for code, glyph in enumerate(font.glyph):
        if glyph is None:
            continue
        (advance, _), (left, top, _, _), _, picture = glyph
        lit = [
            f"{left + x},{top + y}"
            for y in range(picture.size[1])
            for x in range(picture.size[0])
            if picture.getpixel((x, y))
        ]
        print(" ".join(["glyph", str(code), str(advance), *lit]))
