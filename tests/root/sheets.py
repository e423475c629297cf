"""Glyph sheets through Pillow. `read FILE` prints size and RGBA bytes in hexadecimal, a row a line. `modes FILE FOLDER` saves
the picture in every mode that a paint program may choose, as black and white, and prints the files' names."""
import sys
from PIL import Image

if sys.argv[1] == "read":
    picture = Image.open(sys.argv[2]).convert("RGBA")
    print(*picture.size)
    width = picture.size[0] * 4
    data = picture.tobytes()
    for start in range(0, len(data), width):
        print(data[start:start + width].hex())
else:
    sheet, folder = sys.argv[2:]
    grey = Image.open(sheet).convert("RGB").convert("L").point(lambda value: 255 if value > 127 else 0)
    pictures = {
        "one-bit": grey.convert("1"), "grey": grey, "grey-alpha": grey.convert("LA"), "sixteen-bit": grey.convert("I;16"),
        "colour": grey.convert("RGB"), "colour-alpha": grey.convert("RGBA"), "palette": grey.convert("P"),
        "few-colours": grey.convert("RGB").quantize(4),
    }
    pictures["sixteen-bit"] = Image.new("I;16", grey.size)
    pictures["sixteen-bit"].putdata([value * 257 for value in grey.tobytes()])
    for name, picture in pictures.items():
        picture.save(f"{folder}/{name}.png")
        print(f"{name}.png")
