"""Decodes a GIF or PNG with Pillow. Usage: pillow.py FILE PITCH LEFT TOP WIDTH HEIGHT, in pixels of the picture and of
the glass. Prints for each frame its delay in milliseconds and its glass, `#` where a dot shines."""
import sys
from PIL import Image, ImageSequence

path = sys.argv[1]
pitch, left, top, width, height = map(int, sys.argv[2:])
picture = Image.open(path)
print(picture.format, picture.size[0], picture.size[1], "loop", picture.info.get("loop"))
for frame in ImageSequence.Iterator(picture):
    print("delay", frame.info.get("duration"))
    rgb = frame.convert("RGB")
    for y in range(height):
        dots = (rgb.getpixel((left + x * pitch, top + y * pitch)) for x in range(width))
        print("".join("#" if max(dot) > 0x20 else "." for dot in dots))
