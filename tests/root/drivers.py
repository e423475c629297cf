"""Drives controllers by published drivers (luma-oled 3.16.0 and luma-lcd 2.13.0 of PyPI) and writes down what they send into a folder,
a file for each: `c` and command bytes, `d` and data bytes. Usage: drivers.py FOLDER. The picture: a pixel at column x and row y is lit
if (7 x + 13 y + x y) mod 11 is less than 4."""
import os
import sys
from PIL import Image


class Recorder:
    """In place of the bus."""

    def __init__(self, file):
        self.file = file

    def line(self, kind, bytes):
        print(kind, *("%02X" % byte for byte in bytes), file=self.file)

    def command(self, *bytes):
        self.line("c", bytes)

    def data(self, bytes):
        self.line("d", bytes)

    def cleanup(self):
        pass


class NoPins:
    """In place of the pins of a backlight."""

    LOW, HIGH, OUT, IN = 0, 1, 0, 1

    def __getattr__(self, name):
        return lambda *arguments: None


def drive(folder, name, width, height, **options):
    if "gpio" in options:
        from luma.lcd import device
    else:
        from luma.oled import device
        options.update(width=width, height=height)
    with open(os.path.join(folder, f"{name}-{width}x{height}.txt"), "w") as file:
        display = getattr(device, name)(Recorder(file), **options)
        display.cleanup = lambda: None
        picture = Image.new("1", (width, height))
        for y in range(height):
            for x in range(width):
                picture.putpixel((x, y), 255 if (7 * x + 13 * y + x * y) % 11 < 4 else 0)
        display.display(picture)


for name, width, height in [
    ("ssd1305", 128, 64),
    ("ssd1309", 128, 64),
    ("ssd1315", 128, 64),
    ("sh1106", 128, 64),
    ("sh1107", 64, 128),
    ("sh1107", 128, 128),
]:
    drive(sys.argv[1], name, width, height)
drive(sys.argv[1], "st7567", 128, 64, gpio=NoPins())
drive(sys.argv[1], "uc1701x", 128, 64, gpio=NoPins())
drive(sys.argv[1], "pcd8544", 84, 48, gpio=NoPins())
